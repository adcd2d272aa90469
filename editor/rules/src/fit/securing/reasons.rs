//! Why straps or chains that were given cannot be used at all.

use super::{
    choose::{candidate, groups, units_of},
    demand::Demand,
    layout::Strap,
    parts::{Hold, Parts, Tie},
};
use crate::fit::{winching::attach::fits, work::amount};

/// One sentence for everything given that no set can use, and for every axle that straps over tyres do not reach.
///
/// What is only not known, as a rating, is told elsewhere.
pub(super) fn reasons(parts: &Parts<'_>, demand: &Demand) -> Vec<String> {
    let mut sentences = Vec::new();
    for (index, tie) in parts.ties.iter().enumerate() {
        let of_kind: Vec<(Vec<usize>, &Hold<'_>)> =
            groups(parts.holds.iter().map(|hold| hold.pair))
                .into_iter()
                .filter_map(|group| {
                    let hold = parts.holds.get(*group.first()?)?;
                    (hold.radius.is_some() == tie.over_tyre).then_some((group, hold))
                })
                .collect();
        let fitting: Vec<_> = of_kind
            .iter()
            .filter(|(_, hold)| tie.over_tyre || fits(tie.fittings, hold.fittings))
            .collect();
        if fitting.is_empty() {
            sentences.extend(nothing_to_hold(tie, &of_kind));
        }
        for (group, hold) in fitting {
            let units = units_of(parts, index, group);
            sentences.extend(not_usable(parts, demand, tie, hold, &units));
        }
    }
    sentences
}

/// Nothing of the vehicle that the straps or chains could be made fast to.
fn nothing_to_hold(tie: &Tie<'_>, of_kind: &[(Vec<usize>, &Hold<'_>)]) -> Option<String> {
    let gear = tie.gear.id();
    if tie.over_tyre {
        // Wheels are left out only where something of them is not known, and that is told.
        return None;
    }
    let mut ids: Vec<&str> = of_kind.iter().map(|(_, hold)| hold.id).collect();
    ids.dedup();
    Some(if ids.is_empty() {
        format!("The vehicle has no point at which {gear} may be made fast.")
    } else {
        format!(
            "The fittings of {gear} suit none of the points that may be tied down at: {}.",
            ids.join(", ")
        )
    })
}

/// Why none of the ways to use a hold can be used; nothing where one can.
fn not_usable(
    parts: &Parts<'_>,
    demand: &Demand,
    tie: &Tie<'_>,
    hold: &Hold<'_>,
    units: &[Vec<Strap>],
) -> Option<String> {
    let usable = |unit: &Vec<Strap>| candidate(parts, demand, unit).is_some();
    if parts.anchors.is_empty() || units.iter().any(usable) {
        return None;
    }
    let gear = tie.gear.id();
    let at = if tie.over_tyre {
        format!("over the tyres of the axle {}", hold.id)
    } else {
        format!("at the point {}", hold.id)
    };
    if units.is_empty() {
        return tie.over_tyre.then(|| {
            format!(
                "No strap of {gear} runs {at}: no anchors lie clear of the tyre both ahead of it and behind it."
            )
        });
    }
    let length = |unit: &Vec<Strap>| {
        let of = |strap: &Strap| strap.length(parts, &strap.plain(parts)?);
        let lengths: Option<Vec<f64>> = unit.iter().map(of).collect();
        lengths.map(|lengths| lengths.into_iter().fold(0.0f64, f64::max))
    };
    let least = units.iter().filter_map(length).min_by(f64::total_cmp);
    match (least, tie.length) {
        (None, _) => {
            let why = if tie.over_tyre {
                "every anchor lies against the tyre"
            } else {
                "every anchor pulls it in a direction that it does not allow"
            };
            Some(format!("No tie-down of {gear} can run {at}: {why}."))
        }
        (Some(least), Some(length)) if least > length => Some(format!(
            "No tie-down of {gear} is long enough {at}: each is {} long, and the nearest anchors take {}.",
            amount(length, None, "m"),
            amount(least, None, "m")
        )),
        _ => None,
    }
}
