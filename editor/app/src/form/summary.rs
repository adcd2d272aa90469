//! One line about a list item.

use serde_json::Value;

use super::words;

/// The line that stands for an item, and the short name that its fields are told apart by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Summary {
    /// Its id where it has one, else its position: "front-lift", "Load 2".
    pub key: String,
    /// Its name or what it says, where it has one.
    pub detail: String,
}

impl Summary {
    /// The whole line.
    pub fn line(&self) -> String {
        if self.detail.is_empty() {
            self.key.clone()
        } else {
            format!("{} — {}", self.key, self.detail)
        }
    }
}

/// What a line is made of, the most telling first.
const TELLING: [&str; 15] = [
    "name",
    "title",
    "text",
    "hazard",
    "what",
    "pattern",
    "toward",
    "method",
    "standard",
    "decision",
    "explanation",
    "who",
    "release",
    "variant",
    "date",
];
const LONGEST: usize = 90;

/// Sums a list item up, with texts in the first of these languages that they have.
pub(super) fn of(item: &Value, position: usize, list_label: &str, languages: &[&str]) -> Summary {
    let named = ["id", "axle", "condition"]
        .iter()
        .find_map(|field| item.get(field)?.as_str());
    let key = named.map_or_else(|| by_position(position, list_label), str::to_owned);
    let told = TELLING
        .iter()
        .find_map(|field| tell(item.get(field)?, languages))
        .or_else(|| tell(item, languages));
    Summary {
        key,
        detail: told.as_deref().map(shortened).unwrap_or_default(),
    }
}

fn by_position(position: usize, list_label: &str) -> String {
    let one = words::singular(list_label).unwrap_or_else(|| words::in_sentence(list_label));
    format!("{} {}", words::capitalised(&one), position + 1)
}

fn tell(value: &Value, languages: &[&str]) -> Option<String> {
    match value {
        Value::String(text) => Some(words::capitalised(&text.replace('_', " "))),
        Value::Object(_) => text_in(value, languages).map(str::to_owned),
        _ => None,
    }
}

/// The string of a text in the first of these languages that it has; texts only.
pub(crate) fn text_in<'v>(text: &'v Value, languages: &[&str]) -> Option<&'v str> {
    languages
        .iter()
        .find_map(|language| text.get(language))
        .and_then(Value::as_str)
}

fn shortened(text: &str) -> String {
    let line = text.replace('\n', " ");
    if line.chars().count() <= LONGEST {
        return line;
    }
    let cut: String = line.chars().take(LONGEST).collect();
    format!("{}…", cut.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[track_caller]
    fn check(item: &Value, label: &str, expected: &str) {
        assert_eq!(of(item, 1, label, &["es", "en"]).line(), expected);
    }

    #[test]
    fn items_are_summed_up_by_id_and_name() {
        check(
            &json!({"id": "lf", "name": {"en": "Left front", "es": "Delantero izquierdo"}}),
            "Points",
            "lf — Delantero izquierdo",
        );
        check(
            &json!({"id": "lf", "name": {"en": "Left front"}}),
            "Points",
            "lf — Left front",
        );
        check(
            &json!({"id": "r", "method": "front_lift"}),
            "Rules",
            "r — Front lift",
        );
        check(&json!({"axle": "rear"}), "Loads", "rear");
        check(
            &json!({"en": "Mind the post."}),
            "Cautions",
            "Caution 2 — Mind the post.",
        );
        check(&json!({}), "Loads", "Load 2");
    }

    #[test]
    fn long_texts_are_cut() {
        let line = of(
            &json!({"text": {"en": "a".repeat(500)}}),
            0,
            "Steps",
            &["en"],
        )
        .line();
        assert!(line.chars().count() < 110 && line.ends_with('…'));
    }
}
