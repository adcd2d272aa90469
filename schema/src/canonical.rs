//! Canonical JSON by RFC 8785: the bytes that are hashed and signed.

use serde_json::Value;

/// A number that canonical JSON cannot hold exactly.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "the integer {number} at {pointer} cannot be held exactly: RFC 8785 numbers are binary64, exact to 9007199254740991"
)]
pub struct NotExact {
    /// The number as written.
    pub number: String,
    /// RFC 6901 pointer to it.
    pub pointer: String,
}

/// The largest integer that binary64 holds with all its neighbours (RFC 7493, 2.2).
const LARGEST_EXACT: u64 = (1 << 53) - 1;

/// The canonical bytes of a value. Refuses integers that binary64 would round.
pub fn to_vec(value: &Value) -> Result<Vec<u8>, NotExact> {
    let mut out = Vec::with_capacity(1024);
    put(value, &mut out, &mut String::new())?;
    Ok(out)
}

fn put(value: &Value, out: &mut Vec<u8>, pointer: &mut String) -> Result<(), NotExact> {
    match value {
        Value::Number(number) => put_number(number, out, pointer),
        Value::Array(items) => {
            out.push(b'[');
            for (i, item) in items.iter().enumerate() {
                if i > 0 {
                    out.push(b',');
                }
                put_inside(item, &i.to_string(), out, pointer)?;
            }
            out.push(b']');
            Ok(())
        }
        Value::Object(map) => put_object(map, out, pointer),
        plain => {
            put_plain(plain, out);
            Ok(())
        }
    }
}

fn put_object(
    map: &serde_json::Map<String, Value>,
    out: &mut Vec<u8>,
    pointer: &mut String,
) -> Result<(), NotExact> {
    let mut entries: Vec<(&String, &Value)> = map.iter().collect();
    // RFC 8785, 3.2.3: by UTF-16 code units, which differs from the order of bytes above U+FFFF.
    if !entries.iter().all(|(key, _)| key.is_ascii()) {
        entries.sort_by(|a, b| a.0.encode_utf16().cmp(b.0.encode_utf16()));
    }
    out.push(b'{');
    for (i, (key, inner)) in entries.into_iter().enumerate() {
        if i > 0 {
            out.push(b',');
        }
        put_plain(key, out);
        out.push(b':');
        put_inside(inner, key, out, pointer)?;
    }
    out.push(b'}');
    Ok(())
}

fn put_inside(
    value: &Value,
    key: &str,
    out: &mut Vec<u8>,
    pointer: &mut String,
) -> Result<(), NotExact> {
    let length = pointer.len();
    pointer.push('/');
    pointer.push_str(&key.replace('~', "~0").replace('/', "~1"));
    put(value, out, pointer)?;
    pointer.truncate(length);
    Ok(())
}

fn put_number(
    number: &serde_json::Number,
    out: &mut Vec<u8>,
    pointer: &str,
) -> Result<(), NotExact> {
    let not_exact = || NotExact {
        number: number.to_string(),
        pointer: pointer.to_owned(),
    };
    if let Some(integer) = number.as_i64() {
        if integer.unsigned_abs() > LARGEST_EXACT {
            return Err(not_exact());
        }
        out.extend(integer.to_string().as_bytes());
        return Ok(());
    }
    match number
        .as_f64()
        .filter(|f| f.is_finite() && !number.is_u64())
    {
        Some(float) => {
            out.extend(ryu_js::Buffer::new().format_finite(float).as_bytes());
            Ok(())
        }
        None => Err(not_exact()),
    }
}

/// `serde_json` escapes strings as RFC 8785, 3.2.2.2 asks.
fn put_plain(value: impl serde::Serialize, out: &mut Vec<u8>) {
    // Writing to a vector cannot fail.
    let _ = serde_json::to_writer(out, &value);
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use proptest::prelude::*;
    use sha2::{Digest as _, Sha256};

    use super::*;

    fn hash(json: &str) -> String {
        hex::encode(Sha256::digest(
            to_vec(&serde_json::from_str(json).unwrap()).unwrap(),
        ))
    }

    /// The test data of the author of RFC 8785 (cyberphone/json-canonicalization, testdata/input), by the SHA-256 of
    /// its outputs.
    #[test]
    fn the_authors_test_data_gives_the_published_bytes() {
        let arrays = r#"[56, {"d": true, "10": null, "1": [ ]}]"#;
        assert_eq!(
            hash(arrays),
            "099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42"
        );
        let structures = r#"{"1": {"f": {"f": "hi", "F": 5}, "\n": 56.0}, "10": {}, "": "empty", "a": {}, "111": [{"e": "yes", "E": "no"}], "A": {}}"#;
        assert_eq!(
            hash(structures),
            "605f65004ec2db7692522a0852c22f1c989e036d547e88963d1a3143cf3195d5"
        );
        let values = r#"{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
            "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"#;
        assert_eq!(
            hash(values),
            "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"
        );
        let unicode = r#"{"Unnormalized Unicode":"A\u030a"}"#;
        assert_eq!(
            hash(unicode),
            "0d99aad92a125196ff887876643fd3206786a84ddce2cee52ba4ad256d2381d3"
        );
    }

    /// RFC 8785 appendix B and the author's number list.
    #[test]
    fn numbers_are_written_as_published() {
        let cases = [
            (0x4340_0000_0000_0001, "9007199254740994"),
            (0x444b_1ae4_d6e2_ef50, "1e+21"),
            (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
            (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
            (0x8000_0000_0000_0000_u64, "0"),
        ];
        for (bits, expected) in cases {
            let value = Value::from(f64::from_bits(bits));
            assert_eq!(
                String::from_utf8(to_vec(&value).unwrap()).unwrap(),
                expected
            );
        }
    }

    #[test]
    fn integers_that_would_be_rounded_are_refused_with_their_place() {
        let value: Value = serde_json::from_str(r#"{"a/b": [1, 9007199254740993]}"#).unwrap();
        assert_eq!(to_vec(&value).unwrap_err().pointer, "/a~1b/1");
        assert!(to_vec(&Value::from(u64::MAX)).is_err());
        assert!(to_vec(&Value::from(-9_007_199_254_740_991_i64)).is_ok());
    }

    #[test]
    fn numbers_are_plain_and_keys_are_sorted_whatever_a_dependency_switches_on() {
        // With preserve_order or arbitrary_precision on, these would differ.
        assert_eq!(
            serde_json::to_string(&serde_json::json!({"b": 1, "a": 2})).unwrap(),
            r#"{"a":2,"b":1}"#
        );
        assert_eq!(
            serde_json::from_str::<Value>("1.0e0").unwrap().to_string(),
            "1.0"
        );
    }

    fn json() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            (-9_007_199_254_740_991_i64..9_007_199_254_740_991).prop_map(Value::from),
            any::<f64>()
                .prop_filter("finite", |f| f.is_finite())
                .prop_map(Value::from),
            any::<String>().prop_map(Value::from),
        ];
        leaf.prop_recursive(4, 64, 8, |inner| {
            prop_oneof![
                proptest::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
                proptest::collection::btree_map(any::<String>(), inner, 0..6)
                    .prop_map(|m| Value::Object(m.into_iter().collect())),
            ]
        })
    }

    proptest! {
        #[test]
        fn any_value_is_written_as_another_implementation_writes_it(value in json()) {
            let expected = serde_json_canonicalizer::to_vec(&value).unwrap();
            prop_assert_eq!(to_vec(&value).unwrap(), expected);
        }
    }
}
