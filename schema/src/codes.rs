//! Short codes with a fixed form: versions, hashes, sign codes, country codes, patterns for vehicle numbers.

use std::{collections::BTreeMap, fmt};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{
    Deserialize, Deserializer, Serialize,
    de::{Error as _, MapAccess, Visitor},
};

use sha2::{Digest as _, Sha256};

mod data;

use data::Data;

/// The format version that this crate writes.
pub const CURRENT_FORMAT: &str = "1.0";

/// The ISO 7010 signs that a hazard message may show, with their titles (second-hand, from a public register's copy
/// of 2025-10; titles shortened by us).
pub const SIGNS: &[(&str, &str)] = &[
    ("E003", "First aid"),
    ("E011", "Eyewash station"),
    ("E012", "Safety shower"),
    ("F001", "Fire extinguisher"),
    ("F016", "Fire blanket"),
    ("M002", "Refer to instruction manual"),
    ("M004", "Wear eye protection"),
    ("M005", "Connect an earth terminal to the ground"),
    ("M006", "Disconnect mains plug from outlet"),
    ("M008", "Wear safety footwear"),
    ("M009", "Wear protective gloves"),
    ("M010", "Wear protective clothing"),
    ("M013", "Wear a face shield"),
    ("M015", "Wear high-visibility clothing"),
    ("M017", "Wear respiratory protection"),
    (
        "M021",
        "Disconnect before carrying out maintenance or repair",
    ),
    ("M028", "Keep locked"),
    ("M047", "Use self-contained breathing appliance"),
    ("M056", "Ventilate before and during entering"),
    ("M057", "Ensure continuous ventilation"),
    ("P002", "No smoking"),
    ("P003", "No open flame"),
    (
        "P007",
        "No access for people with active implanted cardiac devices",
    ),
    ("P010", "Do not touch"),
    ("P011", "Do not extinguish with water"),
    ("P012", "No heavy load"),
    ("P015", "No reaching in"),
    ("P016", "Do not spray with water"),
    ("P024", "Do not walk or stand here"),
    ("P031", "Do not alter the state of the switch"),
    ("P080", "No access for unauthorized persons"),
    ("W001", "General warning"),
    ("W002", "Explosive material"),
    ("W012", "Electricity"),
    ("W015", "Overhead load"),
    ("W016", "Toxic material"),
    ("W017", "Hot surface"),
    ("W018", "Automatic start-up"),
    ("W019", "Crushing"),
    ("W021", "Flammable material"),
    ("W022", "Sharp element"),
    ("W023", "Corrosive substance"),
    ("W024", "Crushing of hands"),
    ("W026", "Battery charging"),
    ("W029", "Pressurized cylinder"),
    ("W041", "Asphyxiating atmosphere"),
    ("W042", "Arc flash"),
    ("W071", "Health hazard"),
];

macro_rules! codes {
    ($($name:ident $key:literal $pattern:literal $check:ident $doc:literal $wrong:literal;)*) => {$(
        #[doc = $doc]
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(transparent)]
        pub struct $name(String);

        impl $name {
            /// Checks the form and keeps the code.
            pub fn new(text: &str) -> Result<Self, String> {
                if $check(text) { Ok(Self(text.to_owned())) } else { Err(format!(concat!("{:?} is not ", $wrong), text)) }
            }

            /// The code as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                Self::new(&String::deserialize(deserializer)?).map_err(D::Error::custom)
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                $key.into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({"type": "string", "pattern": $pattern, "description": $doc, "x-kind": $key})
            }
        }
    )*};
}
codes! {
    FormatVersion "format_version" "^1\\.0$" is_current_format
        "The version of the file format: 1.0."
        "a format version that this program reads: it reads 1.0. A file of a later version needs a later program";
    ReleaseNumber "release_number" "^(0|[1-9][0-9]{0,8})\\.(0|[1-9][0-9]{0,8})\\.(0|[1-9][0-9]{0,8})$" is_release
        "A release number of three numbers (Semantic Versioning 2.0.0, without pre-release or build parts)."
        "a release number: three numbers with points between, without leading zeros, such as 1.0.2";
    Sha256Hex "sha256_hex" "^[0-9a-f]{64}$" is_sha256
        "A SHA-256 as 64 lower-case hexadecimal digits."
        "a SHA-256: 64 lower-case hexadecimal digits";
    SignCode "sign_code" "^[EFMPW][0-9]{3}$" is_sign
        "An ISO 7010 sign by its code, such as W012."
        "the code of an ISO 7010 sign: one of the letters E, F, M, P, W and three digits";
    Market "market" "^[A-Z]{2}$" is_market
        "A country by its ISO 3166-1 alpha-2 code."
        "a country code: two capital letters such as US";
    MediaType "media_type" "^(image/png|image/jpeg|application/pdf|text/plain|text/csv)$" is_media_type
        "The media type of an attachment: image/png, image/jpeg, application/pdf, text/plain or text/csv."
        "a media type accepted for attachments: image/png, image/jpeg, application/pdf, text/plain or text/csv";
    PartPath "part_path" "^(/([^/~]|~[01])+)+$" is_part_path
        "A part of a profile by the names of fields, and by the id of a list's element (or what else it is recognised by) in the place of its number: /points/front-eye/rating. ~0 stands for ~ and ~1 for /, as in RFC 6901."
        "the path of a part: fields and ids, each after a slash, such as /points/front-eye/rating";
    VinMask "vin_mask" "^[A-HJ-NPR-Z0-9*]{17}$" is_vin_mask
        "Seventeen characters of a vehicle identification number; an asterisk stands for any character."
        "a pattern for vehicle numbers: 17 capital letters (never I, O, Q), digits or asterisks";
}

fn is_current_format(text: &str) -> bool {
    text == CURRENT_FORMAT
}

fn is_release(text: &str) -> bool {
    let parts: Vec<&str> = text.split('.').collect();
    let number = |p: &&str| {
        (1..=9).contains(&p.len())
            && p.bytes().all(|b| b.is_ascii_digit())
            && (*p == "0" || !p.starts_with('0'))
    };
    parts.len() == 3 && parts.iter().all(number)
}

fn is_sha256(text: &str) -> bool {
    text.len() == 64
        && text
            .bytes()
            .all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
}

fn is_sign(text: &str) -> bool {
    let (head, tail) = text.split_at_checked(1).unwrap_or_default();
    ["E", "F", "M", "P", "W"].contains(&head)
        && tail.len() == 3
        && tail.bytes().all(|b| b.is_ascii_digit())
}

fn is_market(text: &str) -> bool {
    text.len() == 2 && text.bytes().all(|b| b.is_ascii_uppercase())
}

/// The media types accepted for attachments and the endings of their files.
const MEDIA_TYPES: [(&str, &str); 5] = [
    ("image/png", "png"),
    ("image/jpeg", "jpg"),
    ("application/pdf", "pdf"),
    ("text/plain", "txt"),
    ("text/csv", "csv"),
];

fn is_media_type(text: &str) -> bool {
    MEDIA_TYPES.iter().any(|(name, _)| *name == text)
}

impl MediaType {
    /// The ending of a file of this type.
    pub fn ending(&self) -> &'static str {
        MEDIA_TYPES
            .iter()
            .find(|(name, _)| *name == self.0)
            .map_or("bin", |(_, ending)| ending)
    }
}

/// A path longer than this was not made by the program.
const LONGEST_PATH: usize = 2_000;

fn is_part_path(text: &str) -> bool {
    let segment = |s: &str| {
        !s.is_empty()
            && s.split('~')
                .skip(1)
                .all(|rest| rest.starts_with(['0', '1']))
    };
    text.len() <= LONGEST_PATH
        && text
            .strip_prefix('/')
            .is_some_and(|rest| rest.split('/').all(segment))
}

impl PartPath {
    /// The names of its fields and the ids of its elements, from the whole profile down.
    pub fn segments(&self) -> Vec<String> {
        let segments = self.0.split('/').skip(1);
        segments
            .map(|s| s.replace("~1", "/").replace("~0", "~"))
            .collect()
    }
}

fn is_vin_mask(text: &str) -> bool {
    let good = |b: u8| {
        b == b'*'
            || b.is_ascii_digit()
            || (b.is_ascii_uppercase() && !matches!(b, b'I' | b'O' | b'Q'))
    };
    text.len() == 17 && text.bytes().all(good)
}

impl Sha256Hex {
    /// The SHA-256 of bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(hex::encode(Sha256::digest(bytes)))
    }
}

impl FormatVersion {
    /// The version that this crate writes.
    pub fn current() -> Self {
        Self(CURRENT_FORMAT.to_owned())
    }
}

impl ReleaseNumber {
    /// The three numbers, for comparing.
    pub fn parts(&self) -> [u32; 3] {
        let mut parts = self.0.split('.').map(|p| p.parse().unwrap_or(0));
        [(); 3].map(|()| parts.next().unwrap_or(0))
    }
}

impl SignCode {
    /// The sign's title, when the code is one of [`SIGNS`].
    pub fn title(&self) -> Option<&'static str> {
        SIGNS
            .iter()
            .find(|(code, _)| *code == self.0)
            .map(|(_, title)| *title)
    }
}

/// A value of the model as it stands in a file, kept for a person to choose.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct KeptValue(serde_json::Value);

impl KeptValue {
    /// Keeps a value.
    pub fn new(value: serde_json::Value) -> Self {
        Self(value)
    }

    /// The value.
    pub fn value(&self) -> &serde_json::Value {
        &self.0
    }
}

impl<'de> Deserialize<'de> for KeptValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Data::deserialize(deserializer).map(|Data(value)| Self(value))
    }
}

impl JsonSchema for KeptValue {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "kept_value".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A value of the model as it stands in a file, kept for a person to choose.",
            "x-kind": "kept-value",
        })
    }
}

/// Data of other programs by a reverse domain name, kept and not looked into.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Extensions(BTreeMap<String, serde_json::Value>);

impl Extensions {
    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The data under one name.
    pub fn get(&self, name: &str) -> Option<&serde_json::Value> {
        self.0.get(name)
    }
}

fn is_reverse_domain(text: &str) -> bool {
    let label = |p: &str| {
        !p.is_empty()
            && p.bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
            && p.starts_with(|c: char| c.is_ascii_lowercase())
    };
    text.len() <= 100 && text.split('.').count() >= 2 && text.split('.').all(label)
}

impl<'de> Deserialize<'de> for Extensions {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Names;
        impl<'de> Visitor<'de> for Names {
            type Value = Extensions;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(
                    "a map from reverse domain names, such as \"org.example.shop\", to data",
                )
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Extensions, A::Error> {
                let mut names = BTreeMap::new();
                while let Some((name, Data(data))) = map.next_entry::<String, Data>()? {
                    if !is_reverse_domain(&name) {
                        return Err(A::Error::custom(format!(
                            "{name:?} is not a reverse domain name such as org.example.shop"
                        )));
                    }
                    if names.insert(name.clone(), data).is_some() {
                        return Err(A::Error::custom(format!("the name {name} stands twice")));
                    }
                }
                Ok(Extensions(names))
            }
        }
        deserializer.deserialize_map(Names)
    }
}

impl JsonSchema for Extensions {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "extensions".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "propertyNames": {"maxLength": 100, "pattern": "^[a-z][a-z0-9-]*(\\.[a-z][a-z0-9-]*)+$"},
            "description": "Data of other programs by a reverse domain name; readers keep it and check nothing in it.",
            "x-kind": "extensions",
        })
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    #[test]
    fn release_numbers_follow_semantic_versioning() {
        // Semantic Versioning 2.0.0, items 2 and 11.
        assert!(ReleaseNumber::new("1.0.0").is_ok());
        for bad in [
            "v1.2.3",
            "1.2",
            "01.2.3",
            "1.2.3-alpha",
            "1.2.3+5",
            "1..3",
            "",
        ] {
            assert!(ReleaseNumber::new(bad).is_err(), "{bad}");
        }
        let order =
            ["1.0.0", "2.0.0", "2.1.0", "2.1.1"].map(|t| ReleaseNumber::new(t).unwrap().parts());
        assert!(order.is_sorted());
    }

    #[test]
    fn a_path_names_fields_and_ids() {
        let path = PartPath::new("/points/front-eye/rating").unwrap();
        assert_eq!(path.segments(), ["points", "front-eye", "rating"]);
        assert_eq!(
            PartPath::new("/extensions/a~1b~0c").unwrap().segments(),
            ["extensions", "a/b~c"]
        );
        for bad in ["", "points", "/", "/points//x", "/a~2", "/a~"] {
            assert!(PartPath::new(bad).is_err(), "{bad:?}");
        }
    }

    #[test]
    fn vehicle_number_patterns_never_hold_i_o_or_q() {
        // ISO 3779 by summaries of it: 17 characters without I, O and Q.
        assert!(VinMask::new("1ZZAB1C2*A*******").is_ok());
        for bad in ["IZZAB1C2*A*******", "1ZZAB1C2*A******", "1zzAB1C2*A*******"] {
            assert!(VinMask::new(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn sign_codes_have_a_letter_and_three_digits() {
        assert_eq!(SignCode::new("W012").unwrap().title(), Some("Electricity"));
        assert_eq!(SignCode::new("W999").unwrap().title(), None);
        assert!(SignCode::new("X012").is_err());
        assert!(SignCode::new("W12").is_err());
        assert!(SignCode::new("ÿ012").is_err());
    }

    #[test]
    fn every_listed_sign_has_a_good_code() {
        assert!(SIGNS.iter().all(|(code, _)| is_sign(code)));
    }
}
