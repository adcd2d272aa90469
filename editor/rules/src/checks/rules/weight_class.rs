//! The class of the gross vehicle weight rating.
//!
//! Table strings of NHTSA vPIC, read: bounds in pounds.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "weight-class",
    "The class of the gross vehicle weight rating.",
    Note,
    WEIGHT_CLASSES,
    check,
)];

const CLASSES: &[(f64, &str)] = &[
    (3_000.0, "1A"),
    (4_000.0, "1B"),
    (5_000.0, "1C"),
    (6_000.0, "1D"),
    (7_000.0, "2E"),
    (8_000.0, "2F"),
    (9_000.0, "2G"),
    (10_000.0, "2H"),
    (14_000.0, "3"),
    (16_000.0, "4"),
    (19_500.0, "5"),
    (26_000.0, "6"),
    (33_000.0, "7"),
];

fn class(kilograms: f64) -> &'static str {
    let pounds = kilograms / 0.453_592_37;
    CLASSES
        .iter()
        .find(|(most, _)| pounds <= most + 1e-6)
        .map_or("8", |(_, class)| class)
}

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for gvwr in ctx.views.iter().filter_map(|v| v.gvwr.as_ref()) {
        let class = class(gvwr.si());
        found
            .add(
                gvwr.number(),
                format!("The rating belongs to GVWR class {class}."),
                "Nothing to do: the class is for whoever chooses rules and trucks.",
            )
            .computed(format!("{}, class {class}", gvwr.value.value));
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail("weight-class", "a rating", "{}", "/mass/gvwr/value"),
    pass("weight-class", "no rating", r#"{"/mass/gvwr": null}"#),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// NHTSA vPIC list, read.
    #[test]
    fn ratings_fall_into_their_classes() {
        let of_pounds = |pounds: f64| class(pounds * 0.453_592_37);
        assert_eq!(of_pounds(5_500.0), "1D");
        assert_eq!(of_pounds(8_500.0), "2G");
        assert_eq!(of_pounds(10_000.0), "2H");
        assert_eq!(of_pounds(10_001.0), "3");
        assert_eq!(of_pounds(33_001.0), "8");
    }
}
