//! Words and figures of the page.

use chockstone_schema::quantity::shortest;
use serde_json::Value;

use crate::form::{choice_title, text_in};

/// Writes seconds as a crew says them: "45 s", "1.5 min", "2 h 5 min".
pub(super) fn time(seconds: f64) -> String {
    if seconds < 60.0 {
        return format!("{} s", shortest(rounded(seconds)));
    }
    if seconds < 7200.0 {
        return format!("{} min", shortest(rounded(seconds / 60.0)));
    }
    let minutes = (seconds / 60.0).round();
    let hours = (minutes / 60.0).floor();
    match minutes - hours * 60.0 {
        rest if rest < 1.0 => format!("{} h", shortest(hours)),
        rest => format!("{} h {} min", shortest(hours), shortest(rest)),
    }
}

fn rounded(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// What a procedure is called, in the first of these languages that it has; else its id.
pub(super) fn name_of<'v>(item: &'v Value, languages: &[&str]) -> &'v str {
    let name = item.get("name").and_then(|name| text_in(name, languages));
    name.or_else(|| item.get("id")?.as_str())
        .unwrap_or("New procedure")
}

/// What a procedure is for.
pub(super) fn purpose_of(item: &Value) -> String {
    let purpose = item.get("purpose").and_then(Value::as_str);
    purpose.map_or_else(|| "Purpose not stated".to_owned(), choice_title)
}

/// What a step is about beside its text: its act and its time, each where stated.
pub(super) fn details_of(step: &Value) -> String {
    let act = step.get("act").and_then(Value::as_str).map(choice_title);
    let time = step.get("time").and_then(stated_time);
    let parts: Vec<String> = act.into_iter().chain(time).collect();
    parts.join(" · ")
}

fn stated_time(time: &Value) -> Option<String> {
    let value = quantity(time.get("value")?)?;
    Some(match time.get("plus_minus").and_then(quantity) {
        Some(spread) => format!("{value} ± {spread}"),
        None => value,
    })
}

fn quantity(pair: &Value) -> Option<String> {
    let number = pair.get(0)?.as_f64()?;
    let unit = pair.get(1)?.as_str()?;
    Some(format!("{} {unit}", shortest(number)))
}

/// Writes the name of a language with its tag; of one that is not known here, the tag alone.
pub(super) fn language(tag: &str) -> String {
    let primary = tag.split('-').next().unwrap_or(tag);
    let known = LANGUAGES.iter().find(|(known, _)| *known == primary);
    known.map_or_else(|| tag.to_owned(), |(_, name)| format!("{name} ({tag})"))
}

const LANGUAGES: [(&str, &str); 12] = [
    ("de", "German"),
    ("en", "English"),
    ("es", "Spanish"),
    ("fr", "French"),
    ("it", "Italian"),
    ("ja", "Japanese"),
    ("ko", "Korean"),
    ("nl", "Dutch"),
    ("pl", "Polish"),
    ("pt", "Portuguese"),
    ("vi", "Vietnamese"),
    ("zh", "Chinese"),
];

/// A list of names inside a sentence.
pub(super) fn listed(names: &[String]) -> String {
    names.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn times_are_written_as_a_crew_says_them() {
        for (seconds, text) in [
            (0.0, "0 s"),
            (45.0, "45 s"),
            (60.0, "1 min"),
            (90.0, "1.5 min"),
            (2100.0, "35 min"),
            (7200.0, "2 h"),
            (7500.0, "2 h 5 min"),
        ] {
            assert_eq!(time(seconds), text);
        }
    }

    #[test]
    fn a_step_is_summed_up_by_its_act_and_its_time() {
        let step = json!({
            "act": "attach_line",
            "time": {"value": [1.0, "min"], "plus_minus": [0.5, "min"]},
        });
        assert_eq!(details_of(&step), "Attach line · 1 min ± 0.5 min");
        assert_eq!(details_of(&json!({})), "");
    }

    #[test]
    fn languages_are_named_with_their_tag() {
        assert_eq!(language("en"), "English (en)");
        assert_eq!(language("es-MX"), "Spanish (es-MX)");
        assert_eq!(language("tlh"), "tlh");
    }
}
