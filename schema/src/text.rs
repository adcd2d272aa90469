//! Texts that a crew may read: one string a language.

use std::{collections::BTreeMap, fmt};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{
    Deserialize, Deserializer, Serialize,
    de::{Error as _, MapAccess, Visitor},
};

/// The longest string accepted, in characters.
pub const LONGEST_TEXT: usize = 4000;
const LANGUAGE_PATTERN: &str = "^[a-z]{2,3}(-[A-Z][a-z]{3})?(-([A-Z]{2}|[0-9]{3}))?$";
// Tab, carriage return and the other control characters have no place in a sentence; a line feed may.
const PLAIN_PATTERN: &str = r"^[^\u0000-\u0009\u000b-\u001f\u007f]*[^\u0000-\u0020\u007f][^\u0000-\u0009\u000b-\u001f\u007f]*$";

/// A language by its BCP 47 tag: language, optional script, optional region (`en`, `es-MX`, `zh-Hant-TW`).
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct Language(String);

impl Language {
    /// Checks a tag's form and makes a language of it.
    pub fn new(tag: &str) -> Result<Self, String> {
        let mut parts = tag.split('-');
        let primary = parts.next().unwrap_or_default();
        let mut good =
            matches!(primary.len(), 2 | 3) && primary.bytes().all(|b| b.is_ascii_lowercase());
        let mut rest: Vec<&str> = parts.collect();
        if rest.first().is_some_and(|s| is_script(s)) {
            rest.remove(0);
        }
        if rest.first().is_some_and(|s| is_region(s)) {
            rest.remove(0);
        }
        good &= rest.is_empty();
        if good {
            Ok(Self(tag.to_owned()))
        } else {
            Err(format!(
                "{tag:?} is not a language tag of BCP 47 such as en, es-MX or zh-Hant-TW"
            ))
        }
    }

    /// The tag.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

fn is_script(part: &str) -> bool {
    part.len() == 4
        && part.bytes().enumerate().all(|(i, b)| {
            if i == 0 {
                b.is_ascii_uppercase()
            } else {
                b.is_ascii_lowercase()
            }
        })
}

fn is_region(part: &str) -> bool {
    (part.len() == 2 && part.bytes().all(|b| b.is_ascii_uppercase()))
        || (part.len() == 3 && part.bytes().all(|b| b.is_ascii_digit()))
}

impl fmt::Display for Language {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Language {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

impl JsonSchema for Language {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "language".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string", "pattern": LANGUAGE_PATTERN,
            "description": "A language by its BCP 47 tag, such as en, es or es-MX.", "x-kind": "language",
        })
    }
}

/// A text in one or more languages: `{"en": "…", "es": "…"}`. Never empty, and no string in it is blank.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Text(BTreeMap<Language, String>);

impl Text {
    /// Makes a text in one language; refuses blank or overlong strings and control characters.
    pub fn new(language: &Language, string: &str) -> Result<Self, String> {
        check_string(string)?;
        Ok(Self(BTreeMap::from([(
            language.clone(),
            string.to_owned(),
        )])))
    }

    /// Adds or replaces one language's string.
    pub fn set(&mut self, language: &Language, string: &str) -> Result<(), String> {
        check_string(string)?;
        self.0.insert(language.clone(), string.to_owned());
        Ok(())
    }

    /// The string in exactly this language.
    pub fn get(&self, language: &Language) -> Option<&str> {
        self.0.get(language).map(String::as_str)
    }

    /// The string in the first of these languages that has one, else in any.
    pub fn pick<'a>(&'a self, wanted: impl IntoIterator<Item = &'a Language>) -> &'a str {
        wanted
            .into_iter()
            .find_map(|l| self.get(l))
            .or_else(|| self.0.values().next().map(String::as_str))
            .unwrap_or_default()
    }

    /// Every language and its string, by tag.
    pub fn iter(&self) -> impl Iterator<Item = (&Language, &str)> {
        self.0.iter().map(|(l, s)| (l, s.as_str()))
    }
}

fn check_string(string: &str) -> Result<(), String> {
    if string.chars().all(char::is_whitespace) {
        return Err("a text may not be blank: leave the language out instead".to_owned());
    }
    if string.chars().count() > LONGEST_TEXT {
        return Err(format!("a text may have at most {LONGEST_TEXT} characters"));
    }
    match string
        .chars()
        .find(|c| *c != '\n' && (*c < ' ' || *c == '\u{7f}'))
    {
        Some(c) => Err(format!("a text may not hold the control character {c:?}")),
        None => Ok(()),
    }
}

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Strings;
        impl<'de> Visitor<'de> for Strings {
            type Value = Text;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text as a map from language to string, such as {\"en\": \"Park on level ground.\"}")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Text, A::Error> {
                let mut strings = BTreeMap::new();
                while let Some((language, string)) = map.next_entry::<Language, String>()? {
                    check_string(&string).map_err(A::Error::custom)?;
                    if strings.contains_key(&language) {
                        return Err(A::Error::custom(format!(
                            "the language {language} stands twice"
                        )));
                    }
                    strings.insert(language, string);
                }
                if strings.is_empty() {
                    return Err(A::Error::custom("a text needs at least one language"));
                }
                Ok(Text(strings))
            }
        }
        deserializer.deserialize_map(Strings)
    }
}

impl JsonSchema for Text {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "text".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object", "minProperties": 1,
            "propertyNames": {"pattern": LANGUAGE_PATTERN},
            "additionalProperties": {
                "type": "string", "minLength": 1, "maxLength": LONGEST_TEXT, "pattern": PLAIN_PATTERN,
                "description": "The text in the language of its key."
            },
            "description": "A text that a person may read: one string a language, by BCP 47 tag.", "x-kind": "text",
        })
    }
}

/// A single-line string that is the same in every language: a maker, a model, a size marking. Never blank.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct Label(String);

impl Label {
    /// Checks and keeps a string of 1 to 200 characters without control characters or blank ends.
    pub fn new(string: &str) -> Result<Self, String> {
        let length = string.chars().count();
        if string.trim() != string
            || length == 0
            || length > 200
            || string.chars().any(|c| c < ' ' || c == '\u{7f}')
        {
            return Err(format!(
                "{string:?} must be 1 to 200 characters on one line, without blanks at its ends"
            ));
        }
        Ok(Self(string.to_owned()))
    }

    /// The string.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Label {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

impl JsonSchema for Label {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "label".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string", "minLength": 1, "maxLength": 200,
            "pattern": r"^[^\u0000-\u0020\u007f]([^\u0000-\u001f\u007f]*[^\u0000-\u0020\u007f])?$",
            "description": "A single line that is the same in every language.",
        })
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    #[test]
    fn language_tags_follow_bcp_47() {
        // RFC 5646 appendix A: examples of language, script and region subtags.
        for good in [
            "de",
            "fr",
            "zh-Hant",
            "zh-Hans-CN",
            "es-419",
            "sl-IT",
            "de-DE",
        ] {
            assert!(Language::new(good).is_ok(), "{good}");
        }
        for bad in [
            "",
            "e",
            "EN",
            "en_US",
            "en-us",
            "english",
            "en-",
            "de-419-DE",
        ] {
            assert!(Language::new(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_language_given_twice_is_refused() {
        let error = serde_json::from_str::<Text>(r#"{"en": "a", "en": "b"}"#).unwrap_err();
        assert!(error.to_string().contains("stands twice"), "{error}");
    }

    #[test]
    fn blank_and_control_characters_are_refused() {
        for bad in [
            r#"{"en": " "}"#,
            r"{}",
            r#"{"en": "a\u0007"}"#,
            r#"{"en": ""}"#,
        ] {
            assert!(serde_json::from_str::<Text>(bad).is_err(), "{bad}");
        }
        assert!(serde_json::from_str::<Text>(r#"{"en": "a\nb"}"#).is_ok());
    }

    #[test]
    fn pick_takes_the_first_language_that_has_a_string() {
        let text: Text = serde_json::from_str(r#"{"en": "Lift", "es": "Elevar"}"#).unwrap();
        let (fr, es) = (Language::new("fr").unwrap(), Language::new("es").unwrap());
        assert_eq!(text.pick([&fr, &es]), "Elevar");
    }
}
