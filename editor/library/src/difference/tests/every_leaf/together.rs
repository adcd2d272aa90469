//! Several changes at once: none hides another.

use std::sync::LazyLock;

use proptest::prelude::*;

use super::{
    edits::apply,
    rewrites::{Digits, in_other_order, in_other_units},
    *,
};

static EVERYTHING: LazyLock<Value> = LazyLock::new(model::everything);
static CASES: LazyLock<Vec<Case>> = LazyLock::new(|| cases::all(&EVERYTHING));

fn everything_after(edits: &[&Edit]) -> Value {
    let mut after = EVERYTHING.clone();
    for edit in edits {
        apply(&mut after, edit);
    }
    after
}

fn told(before: &Value, after: &Value) -> Vec<Seen> {
    let changes = of_values(before, after).changes;
    sorted(changes.iter().map(seen).map(as_moved).collect())
}

/// The list at the top of the profile, or the field, that an edit is in.
fn top(case: &Case) -> &str {
    let (Edit::Set(place, _)
    | Edit::Remove(place)
    | Edit::Insert(place, _)
    | Edit::Swap(place, _)
    | Edit::Rename(place, ..)) = &case.edit;
    place.split('/').nth(1).unwrap()
}

fn is_of_a_number(case: &Case) -> bool {
    match &case.edit {
        Edit::Set(place, value) => {
            value.is_number() || value.is_array() || place.ends_with("/unit")
        }
        Edit::Insert(..) => true,
        Edit::Remove(place) => place.ends_with("/z"),
        _ => false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn two_edits_in_two_places_are_told_as_each_is_alone(one in 0..CASES.len(), two in 0..CASES.len()) {
        let (one, two) = (&CASES[one], &CASES[two]);
        // What a source is decides how another reference to it is graded, so the two would not be apart.
        prop_assume!(top(one) != top(two) && top(one) != "sources" && top(two) != "sources");
        // References that the other edit makes follow a new id too.
        let (one, two) = if matches!(one.edit, Edit::Rename(..)) { (two, one) } else { (one, two) };
        let after = everything_after(&[&one.edit, &two.edit]);
        let expected = one.told.iter().chain(&two.told).map(demanded).collect::<Vec<_>>();
        prop_assert_eq!(told(&EVERYTHING, &after), sorted(expected));
    }

    #[test]
    fn there_are_changes_exactly_where_the_meaning_changed(one in 0..CASES.len(), turn in 0_usize..8, few in any::<bool>()) {
        let case = &CASES[one];
        // Of a value that changes a little and is written in another unit, nobody can tell rounding from change.
        prop_assume!(!is_of_a_number(case));
        let digits = if few { Digits::Few } else { Digits::All };
        let mut after = everything_after(&[&case.edit]);
        in_other_units(Part::profile(), &mut after, turn, digits);
        in_other_order(Part::profile(), &mut after);
        let what = |seen: Seen| (seen.0, seen.1, seen.2);
        let there: Vec<_> = told(&EVERYTHING, &after).into_iter().map(what).collect();
        let expected: Vec<_> = case.told.iter().map(demanded).map(what).collect();
        prop_assert_eq!(sorted(there), sorted(expected));
    }

    #[test]
    fn both_ways_tell_the_same_places(picks in prop::collection::vec(0..CASES.len(), 1..6)) {
        // Edits one after another may meet in one part; those that no longer find their place are left out.
        let mut after = EVERYTHING.clone();
        for case in picks.iter().map(|i| &CASES[*i]) {
            let there = match &case.edit {
                Edit::Insert(place, _) => after.pointer(place.rsplit_once('/').unwrap().0).is_some(),
                Edit::Set(place, _) | Edit::Remove(place) => after.pointer(place).is_some(),
                Edit::Swap(list, first) => after.pointer(&format!("{list}/{}", first + 1)).is_some(),
                Edit::Rename(_, element, ..) => after.pointer(element).is_some(),
            };
            if there {
                apply(&mut after, &case.edit);
            }
        }
        let places = |s: &Seen| (s.0, s.1.clone(), s.3.clone(), s.4.clone());
        let there: Vec<Seen> = of_values(&EVERYTHING, &after).changes.iter().map(seen).collect();
        let back: Vec<Seen> = of_values(&after, &EVERYTHING).changes.iter().map(seen).collect();
        prop_assert_eq!(
            sorted(there.iter().map(turned).collect::<Vec<_>>()),
            sorted(back.iter().map(places).collect::<Vec<_>>())
        );
    }
}

#[test]
fn a_part_with_a_new_id_and_a_new_value_is_told_as_both() {
    let place = at(&pickup(), "/points", "lift-front");
    let found = changes(|p| {
        let rename = Edit::Rename(
            "/points".into(),
            place.clone(),
            "lift-front".into(),
            "lift-forward".into(),
        );
        apply(p, &rename);
        set(p, &format!("{place}/rating/value"), json!([3500, "lb"]));
    });
    let rows: Vec<(ChangeKind, &str)> = found.iter().map(|c| (c.kind, c.row.as_str())).collect();
    assert_eq!(
        rows,
        [
            (ChangeKind::Changed, "Point.rating"),
            (ChangeKind::Renamed, "Point.id")
        ]
    );
}

#[test]
fn a_step_that_is_moved_and_edited_is_told_as_both() {
    let found = changes(|p| {
        let steps = list(p, "/procedures/0/steps");
        let step = steps.remove(2);
        steps.insert(0, step);
        set(
            p,
            "/procedures/0/steps/0/text/en",
            "Do something else altogether.".into(),
        );
    });
    let told: Vec<(ChangeKind, &str, &str)> = found
        .iter()
        .map(|c| (c.kind, c.row.as_str(), c.place()))
        .collect();
    assert_eq!(
        told,
        [
            (
                ChangeKind::Changed,
                "Step.text",
                "/procedures/0/steps/0/text"
            ),
            (
                ChangeKind::Moved,
                "Procedure.steps",
                "/procedures/0/steps/0"
            ),
        ]
    );
}

#[test]
fn another_part_under_an_id_that_was_in_use_is_told_field_by_field() {
    let before = pickup();
    let (old, other) = (
        at(&before, "/points", "tie-rear"),
        at(&before, "/points", "jump-positive"),
    );
    let mut new = before.pointer(&other).unwrap().clone();
    new["id"] = "tie-rear".into();
    let mut after = before.clone();
    set(&mut after, &old, new.clone());
    apply(&mut after, &Edit::Remove(other));
    let found = of_values(&before, &after).changes;
    // Every field in which the two differ is told, in one change or more; so is the part that is gone.
    let was = before.pointer(&old).unwrap();
    for (field, value) in was
        .as_object()
        .unwrap()
        .iter()
        .chain(new.as_object().unwrap())
    {
        let differs = was.get(field) != new.get(field);
        let told = found.iter().any(|c| c.row == format!("Point.{field}"));
        assert_eq!(told, differs, "{field}: {value}");
    }
    assert!(
        found
            .iter()
            .any(|c| c.kind == ChangeKind::Removed && c.row == "Profile.points"),
        "{found:#?}"
    );
}

#[test]
fn parts_that_exchange_their_ids_are_told_field_by_field() {
    let before = pickup();
    let [front, rear] = ["lift-front", "lift-rear"].map(|id| at(&before, "/points", id));
    let found = changes(|p| {
        set(p, &format!("{front}/id"), "lift-rear".into());
        set(p, &format!("{rear}/id"), "lift-front".into());
    });
    let differing = ["Point.access", "Point.name", "Point.place"];
    for row in differing {
        assert_eq!(
            found.iter().filter(|c| c.row == row).count(),
            2,
            "{row}: {found:#?}"
        );
    }
    assert!(
        found
            .iter()
            .any(|c| c.kind == ChangeKind::Removed && c.row == "Point.cautions")
    );
    assert!(
        found
            .iter()
            .any(|c| c.kind == ChangeKind::Added && c.row == "Point.cautions")
    );
}
