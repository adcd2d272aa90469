//! Canonical JSON by RFC 8785: the bytes that are hashed and signed.
//!
//! One rule is stricter than the RFC: a whole number beyond 2^53 - 1 that would be written without an exponent is refused,
//! also where it was held as a floating-point number. Once written, it could not be told from an integer that was
//! rounded, and reading the text back would refuse it. So whatever [`to_vec`] writes is read and written again to the
//! same bytes.

use serde_json::Value;

/// A number that canonical JSON cannot hold exactly.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "the number {number} at \"{pointer}\" cannot be held exactly: whole numbers are exact to 9007199254740991. Write a smaller number, or write it as a text"
)]
pub struct NotExact {
    /// The number as written.
    pub number: String,
    /// RFC 6901 pointer to it.
    pub pointer: String,
}

/// The largest integer that binary64 holds with all its neighbours (RFC 7493, 2.2).
const LARGEST_EXACT: u64 = (1 << 53) - 1;

/// Whole numbers from here on are written with an exponent (ECMAScript, Number::toString), and so are no integers to a
/// reader.
const FIRST_WITH_EXPONENT: f64 = 1e21;

/// The canonical bytes of a value. Refuses whole numbers that binary64 may have rounded.
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
    match number.as_f64() {
        Some(float) if !number.is_u64() && !is_rounded_integer(float) => {
            put_float(float, out);
            Ok(())
        }
        _ => Err(not_exact()),
    }
}

fn is_rounded_integer(float: f64) -> bool {
    let size = float.abs();
    size > LARGEST_EXACT as f64 && size < FIRST_WITH_EXPONENT
}

/// Writes a finite number as ECMAScript does; `serde_json` holds no other.
fn put_float(float: f64, out: &mut Vec<u8>) {
    out.extend(ryu_js::Buffer::new().format_finite(float).as_bytes());
}

/// `serde_json` escapes strings as RFC 8785, 3.2.2.2 asks.
fn put_plain(value: impl serde::Serialize, out: &mut Vec<u8>) {
    // Writing to a vector cannot fail.
    let _ = serde_json::to_writer(out, &value);
}

#[cfg(test)]
mod tests;
