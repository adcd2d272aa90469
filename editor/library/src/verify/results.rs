//! Whether a bundle's computed results are those of its profile.

use chockstone_rules::{PROGRAM, fit};
use chockstone_schema::{
    Profile,
    bundle::{FINDINGS, OpenBundle, RESULTS},
    report::{ResultsReport, VerifyStep},
};
use serde_json::Value;

use super::{bad, file, good, judged, step};

/// The largest relative difference between two computations of one figure: sines and the like differ in their last
/// digits from one machine to another.
const ROUNDING: f64 = 1e-9;

/// What the bundle says was computed, and what this program computes from the profile itself.
///
/// Results that this version made must be those that it computes again; a bundle that it made has results. Another version
/// may compute otherwise, as methods get better: that is told and is no fault of a bundle, which is never made again.
pub(super) fn look(bundle: &OpenBundle, profile: &Profile) -> VerifyStep {
    let Some(bytes) = bundle.payload.get(RESULTS) else {
        return absent(bundle);
    };
    let told: ResultsReport = match serde_json::from_slice(bytes) {
        Ok(told) => told,
        Err(error) => return bad("results", format!("{RESULTS} could not be read: {error}.")),
    };
    if let Some(fault) = of_another(&told, profile) {
        return bad("results", fault);
    }
    let place = first_difference(&told, &fit::general(profile));
    if told.program == PROGRAM {
        of_this_version(place)
    } else {
        of_another_version(&told.program, place)
    }
}

fn of_this_version(place: Option<String>) -> VerifyStep {
    let fault = place.map(|place| {
        format!(
            "{RESULTS} says that {PROGRAM} made it, but this program computes something else at \"{place}\"."
        )
    });
    let fine = format!("{PROGRAM} computes the same results from the profile.");
    judged("results", fault, fine)
}

fn of_another_version(maker: &str, place: Option<String>) -> VerifyStep {
    match place {
        None => {
            let message = format!("{maker} made {RESULTS}, and {PROGRAM} computes the same.");
            good("results", message)
        }
        Some(place) => {
            let message = format!(
                "{maker} made {RESULTS}; {PROGRAM} computes something else, first at \"{place}\". Compute them again \
                 before you rely on them."
            );
            step("results", None, message)
        }
    }
}

/// Results were not always part of a bundle; this program's bundles have them.
fn absent(bundle: &OpenBundle) -> VerifyStep {
    let made_here = serde_json::from_slice::<Value>(file(bundle, FINDINGS))
        .is_ok_and(|findings| findings.get("program").and_then(Value::as_str) == Some(PROGRAM));
    if made_here {
        let message = format!("{PROGRAM} made the bundle, but {RESULTS} is missing.");
        return bad("results", message);
    }
    step("results", None, format!("The bundle has no {RESULTS}."))
}

fn of_another(told: &ResultsReport, profile: &Profile) -> Option<String> {
    if told.profile != profile.id.as_str() {
        return Some(format!(
            "{RESULTS} is of {}, but the profile is {}.",
            told.profile, profile.id
        ));
    }
    let named = told.variants.iter().map(|v| v.variant.as_deref());
    let same = if profile.variants.is_empty() {
        named.eq([None])
    } else {
        named.eq(profile.variants.iter().map(|v| Some(v.id.as_str())))
    };
    (!same).then(|| format!("{RESULTS} has other variants than the profile."))
}

/// The place of the first difference that rounding does not explain, as an RFC 6901 pointer.
fn first_difference(told: &ResultsReport, computed: &ResultsReport) -> Option<String> {
    let value = |report| {
        let mut value: Value = serde_json::to_value(report).unwrap_or_default();
        // Which program computed it is looked at apart.
        value.as_object_mut().map(|fields| fields.remove("program"));
        value
    };
    let mut place = String::new();
    (!same(&value(told), &value(computed), &mut place)).then_some(place)
}

/// Compares two values; where they differ, `place` is left at the difference.
fn same(told: &Value, computed: &Value, place: &mut String) -> bool {
    match (told, computed) {
        (Value::Object(told), Value::Object(computed)) => {
            told.len() == computed.len()
                && told.iter().all(|(key, inner)| {
                    inside(place, key, |place| {
                        computed.get(key).is_some_and(|c| same(inner, c, place))
                    })
                })
        }
        (Value::Array(told), Value::Array(computed)) => {
            told.len() == computed.len()
                && told
                    .iter()
                    .zip(computed)
                    .enumerate()
                    .all(|(i, (t, c))| inside(place, &i.to_string(), |place| same(t, c, place)))
        }
        (Value::Number(told), Value::Number(computed)) => told
            .as_f64()
            .zip(computed.as_f64())
            .is_some_and(|(t, c)| (t - c).abs() <= ROUNDING * t.abs().max(c.abs()).max(ROUNDING)),
        (told, computed) => told == computed,
    }
}

fn inside(place: &mut String, segment: &str, compare: impl FnOnce(&mut String) -> bool) -> bool {
    let before = place.len();
    place.push('/');
    place.push_str(&segment.replace('~', "~0").replace('/', "~1"));
    let same = compare(place);
    if same {
        place.truncate(before);
    }
    same
}

#[cfg(test)]
#[expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests state facts"
)]
mod tests {
    use chockstone_schema::bundle::Bag;
    use serde_json::json;

    use super::*;
    use crate::{
        contents,
        testing::{attachments, day, number, small},
        verify::verify,
    };

    /// The step of the good bag after one change of its results.
    #[track_caller]
    fn after(change: impl FnOnce(&mut Value)) -> VerifyStep {
        after_bag(|bag| {
            let mut results = serde_json::from_slice(&bag.payload[RESULTS]).unwrap();
            change(&mut results);
            let text = serde_json::to_vec(&results).unwrap();
            bag.payload.insert(RESULTS.into(), text);
        })
    }

    #[track_caller]
    fn after_bag(change: impl FnOnce(&mut Bag)) -> VerifyStep {
        let mut bag = contents::bag(&small(), &number("1.0.0"), day(), &attachments(), None);
        change(&mut bag);
        let report = verify("x.zip", &bag.to_zip().unwrap()).unwrap();
        report
            .steps
            .into_iter()
            .find(|s| s.step == "results")
            .unwrap()
    }

    #[test]
    fn the_results_of_an_untouched_bundle_are_computed_again() {
        let step = after(|_| {});
        assert_eq!(step.good, Some(true), "{}", step.message);
        assert!(step.message.contains("computes the same"));
    }

    #[test]
    fn a_changed_figure_is_told_with_its_place() {
        let step = after(|results| results["variants"][0]["carrier"]["answer"] = json!("Any."));
        assert_eq!(step.good, Some(false));
        assert!(
            step.message.contains("\"/variants/0/carrier/answer\""),
            "{}",
            step.message
        );
    }

    #[test]
    fn results_with_an_unknown_field_are_told() {
        let step = after(|results| results["more"] = json!(1));
        assert!(
            step.message.contains("could not be read"),
            "{}",
            step.message
        );
    }

    #[test]
    fn results_of_another_profile_are_told_whatever_made_them() {
        let step = after(|results| {
            results["program"] = json!("chockstone 9.0.0");
            results["profile"] = json!("large");
        });
        assert!(step.message.contains("is of large"), "{}", step.message);
    }

    #[test]
    fn results_of_other_variants_are_told_whatever_made_them() {
        let step = after(|results| {
            results["program"] = json!("chockstone 9.0.0");
            results["variants"][0]["variant"] = json!("long-range");
        });
        assert!(step.message.contains("other variants"), "{}", step.message);
    }

    #[test]
    fn results_of_another_version_may_differ_and_the_place_is_told() {
        let step = after(|results| {
            results["program"] = json!("chockstone 9.0.0");
            results["variants"][0]["carrier"]["answer"] = json!("Any.");
        });
        assert_eq!(step.good, None);
        for words in [
            "chockstone 9.0.0 made",
            "first at \"/variants/0/carrier/answer\"",
        ] {
            assert!(step.message.contains(words), "{words}: {}", step.message);
        }
    }

    #[test]
    fn the_same_results_of_another_version_are_good() {
        let step = after(|results| results["program"] = json!("chockstone 9.0.0"));
        assert_eq!(step.good, Some(true));
        let told = "chockstone 9.0.0 made results.json, and chockstone";
        assert!(step.message.contains(told), "{}", step.message);
    }

    #[test]
    fn missing_results_are_told_of_this_program_and_not_of_an_older_one() {
        let without = |bag: &mut Bag| drop(bag.payload.remove(RESULTS));
        assert_eq!(after_bag(without).good, Some(false));
        let older = after_bag(|bag| {
            without(bag);
            let text = String::from_utf8(bag.payload[FINDINGS].clone()).unwrap();
            let text = text.replace(PROGRAM, "chockstone 0.0.9");
            bag.payload.insert(FINDINGS.into(), text.into_bytes());
        });
        assert_eq!(older.good, None);
    }

    #[test]
    fn numbers_may_differ_by_rounding_and_no_more() {
        let figure = json!({"a": [1.0, 20_000.0]});
        let mut place = String::new();
        let close = json!({"a": [1.000_000_000_1, 20_000.000_001]});
        assert!(same(&figure, &close, &mut place) && place.is_empty());
        let far = json!({"a": [1.0, 20_000.01]});
        assert!(!same(&figure, &far, &mut place));
        assert_eq!(place, "/a/1");
    }
}
