//! A JSON Patch (RFC 6902) from one profile to another.

use chockstone_schema::{Profile, read::to_canonical};
use serde_json::Value;

/// The operations that turn the canonical JSON of `a` into that of `b`, as an array for other programs.
///
/// Lists are patched by index, as RFC 6902 knows them: which part is which is for the
/// [`difference`](crate::difference::difference) to say.
pub fn patch(a: &Profile, b: &Profile) -> Value {
    let operations = json_patch::diff(&canonical(a), &canonical(b));
    // A patch is an array of plain objects, which always can be written.
    serde_json::to_value(operations).unwrap_or_default()
}

/// Read back from the canonical bytes, so that a number stands in the patch as it stands there: 145 and not 145.0.
fn canonical(profile: &Profile) -> Value {
    serde_json::from_slice(&to_canonical(profile)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use chockstone_schema::{canonical::to_vec, read::from_value, read::to_value};
    use json_patch::Patch;
    use serde_json::json;

    use super::*;
    use crate::testing::{number, small};

    /// Applies the patch from the small profile to an edited one, and compares the canonical bytes.
    #[track_caller]
    fn check(edit: impl FnOnce(&mut Value)) -> Value {
        let a = small();
        let mut value = to_value(&a);
        edit(&mut value);
        let b: Profile = from_value(&value).unwrap();
        let operations = patch(&a, &b);
        let typed: Patch = serde_json::from_value(operations.clone()).unwrap();
        let mut patched: Value = serde_json::from_slice(&to_canonical(&a)).unwrap();
        json_patch::patch(&mut patched, &typed).unwrap();
        assert_eq!(to_vec(&patched).unwrap(), to_canonical(&b));
        operations
    }

    #[test]
    fn applying_the_patch_gives_the_other_profile() {
        check(|p| {
            p["identity"]["model"] = "Two".into();
            p["release"] = number("1.0.0").as_str().into();
            p["axles"][1]["position"]["value"] = json!([3327.4, "mm"]);
            p["axles"][0]["tyre_radius"] = Value::Null;
            p["axles"][0].as_object_mut().unwrap().remove("tyre_radius");
        });
        check(|p| {
            p.as_object_mut().unwrap().remove("attachments");
        });
        check(|p| {
            let third = json!({"id": "third", "position": {"value": [100, "in"]}});
            p["axles"].as_array_mut().unwrap().insert(1, third);
        });
        check(|p| {
            // The two characters that RFC 6901 writes otherwise.
            p["extensions"] = json!({"org.example.a": {"b/c~d": [1, {"e": null}]}});
        });
    }

    #[test]
    fn nothing_changed_is_a_patch_without_operations() {
        assert_eq!(check(|_| {}), json!([]));
    }

    #[test]
    fn numbers_stand_in_a_patch_as_they_stand_in_canonical_json() {
        let operations = check(|p| p["axles"][1]["position"]["value"][0] = json!(145.0));
        assert_eq!(
            operations.to_string(),
            r#"[{"op":"replace","path":"/axles/1/position/value/0","value":145}]"#
        );
    }
}
