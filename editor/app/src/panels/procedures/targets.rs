//! What chips name: conditions, debts, hazard messages, points, variants and pictures, with what each means.

use chockstone_schema::conditions::{self, BuiltIn};
use serde_json::Value;

use crate::form::{Form, text_in};

/// A part that a chip can name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Target {
    pub(super) id: String,
    pub(super) name: String,
    /// What it means, or what else is said of it.
    pub(super) meaning: String,
}

impl Target {
    /// What stands under the pointer.
    pub(super) fn tooltip(&self) -> String {
        if self.meaning.is_empty() {
            format!("In the file: {}", self.id)
        } else {
            format!("{}\nIn the file: {}", self.meaning, self.id)
        }
    }

    /// Whether every typed word is part of the name or of the id.
    pub(super) fn matches(&self, typed: &str) -> bool {
        let whole = format!("{} {}", self.name, self.id).to_lowercase();
        typed
            .to_lowercase()
            .split_whitespace()
            .all(|word| whole.contains(word))
    }
}

/// Every part of a list that can be named; of conditions the profile's own first, then those built in.
pub(super) fn all(form: &Form<'_>, list: &str) -> Vec<Target> {
    let languages = form.languages();
    let own = super::items(form.context.document, list)
        .iter()
        .filter_map(|item| of_item(item, &languages));
    let built_in = if list == "/conditions" {
        conditions::BUILT_IN
    } else {
        &[]
    };
    own.chain(built_in.iter().map(|c| of_built_in(c, &languages)))
        .collect()
}

/// The part with this id; one that the document lacks is called by its id.
pub(super) fn find(form: &Form<'_>, list: &str, id: &str) -> Target {
    let languages = form.languages();
    let own = super::items(form.context.document, list)
        .iter()
        .find(|item| item.get("id").and_then(Value::as_str) == Some(id))
        .and_then(|item| of_item(item, &languages));
    let built_in = (list == "/conditions")
        .then(|| conditions::find(id))
        .flatten();
    own.or_else(|| built_in.map(|c| of_built_in(c, &languages)))
        .unwrap_or_else(|| Target {
            id: id.to_owned(),
            name: id.to_owned(),
            meaning: String::new(),
        })
}

fn of_built_in(condition: &BuiltIn, languages: &[&str]) -> Target {
    let [english, spanish] = [0, 1].map(|i| {
        let pick = |both: [&'static str; 2]| both.get(i).copied().unwrap_or_default();
        (pick(condition.name), pick(condition.meaning))
    });
    let is_spanish = languages
        .first()
        .is_some_and(|l| l.split('-').next() == Some("es"));
    let (name, meaning) = if is_spanish { spanish } else { english };
    Target {
        id: condition.id.to_owned(),
        name: name.to_owned(),
        meaning: meaning.to_owned(),
    }
}

fn of_item(item: &Value, languages: &[&str]) -> Option<Target> {
    let id = item.get("id")?.as_str()?;
    let string = |field: &str| text_in(item.get(field)?, languages);
    let name = ["name", "hazard", "title"].into_iter().find_map(string);
    let meanings = ["meaning", "why", "consequence", "avoidance", "note"];
    let meaning: Vec<&str> = meanings.into_iter().filter_map(string).collect();
    Some(Target {
        id: id.to_owned(),
        name: name.unwrap_or(id).to_owned(),
        meaning: meaning.join(" "),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]
    use super::*;
    use serde_json::json;

    #[test]
    fn a_part_is_found_by_words_of_its_name_or_id() {
        let target = of_built_in(conditions::find("low-voltage-alive").unwrap(), &["en"]);
        assert!(target.matches("alive low"));
        assert!(target.matches("voltage-al"));
        assert!(target.matches(""));
        assert!(!target.matches("high"));
    }

    #[test]
    fn names_and_meanings_are_told_in_the_base_language() {
        let target = of_built_in(conditions::find("key-present").unwrap(), &["es", "en"]);
        assert_eq!(target.name, "Llave presente");
        let own = json!({"id": "loop", "name": {"en": "Loop held"}, "meaning": {"en": "By hand."}});
        let own = of_item(&own, &["en"]).unwrap();
        assert_eq!(own.tooltip(), "By hand.\nIn the file: loop");
    }
}
