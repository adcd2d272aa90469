//! Data that is kept and not looked into: any JSON value, but nothing that JSON cannot say.

use std::fmt;

use serde::{
    Deserialize, Deserializer,
    de::{Error, MapAccess, SeqAccess, Visitor},
};
use serde_json::{Map, Number, Value};

/// A JSON value read strictly: RON's NaN and infinities would silently become null, and of two equal keys only the last
/// would be kept.
pub(super) struct Data(pub(super) Value);

impl<'de> Deserialize<'de> for Data {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(AnyData).map(Self)
    }
}

struct AnyData;

impl<'de> Visitor<'de> for AnyData {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any data that JSON can hold")
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Value, E> {
        Number::from_f64(value)
            .map(Value::Number)
            .ok_or_else(|| E::custom(format!("{value} is not a finite number")))
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_unit<E: Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_none<E: Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        let mut list = Vec::new();
        while let Some(Data(item)) = items.next_element()? {
            list.push(item);
        }
        Ok(Value::Array(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        let mut map = Map::new();
        while let Some((key, Data(value))) = entries.next_entry::<String, Data>()? {
            if map.contains_key(&key) {
                return Err(A::Error::custom(format!("the key {key:?} stands twice")));
            }
            map.insert(key, value);
        }
        Ok(Value::Object(map))
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    #[test]
    fn every_json_value_is_kept_as_it_is() {
        let text = r#"{"a":[null,true,-1,18446744073709551615,0.5,"x"],"b":{}}"#;
        let Data(value) = serde_json::from_str(text).unwrap();
        assert_eq!(value, serde_json::from_str::<Value>(text).unwrap());
    }

    #[test]
    fn what_json_cannot_hold_is_refused() {
        for text in ["NaN", "[inf]", "{\"a\": -inf}", "{\"a\": 1, \"a\": 2}"] {
            assert!(ron::from_str::<Data>(text).is_err(), "{text}");
        }
        assert!(serde_json::from_str::<Data>(r#"{"a": {"b": 1, "b": 1}}"#).is_err());
    }
}
