//! The layout that was chosen, or the smallest set of the straps given that holds.

use chockstone_mechanics::{
    propagation::Tracked,
    securing::{
        Candidate, Direction, Outcome, Path, Requirements, Shortfall, plain_shares, propose,
    },
};
use chockstone_schema::report::TieDownChoice;

use super::{
    demand::{Demand, Limb, Need},
    layout::{Strap, low},
    parts::Parts,
};
use crate::fit::{winching::attach::fits, work::refused};

/// Places that the search keeps apart: a bit for each.
const MOST_PLACES: usize = 128;

/// What the search came to.
pub(super) enum Proposal {
    /// A set that holds, and whether it is surely the best of its size.
    Found(Vec<Strap>, bool),
    /// None does; why, as sentences.
    None(Vec<String>),
}

/// Turns the choices into a layout; what cannot be found is told.
///
/// Two choices from the same wheel with the same straps are the two ends of one strap over its tyre.
pub(super) fn chosen(parts: &Parts<'_>, choices: &[TieDownChoice]) -> (Vec<Strap>, Vec<String>) {
    let mut straps: Vec<Strap> = Vec::new();
    let mut unknown = Vec::new();
    for choice in choices {
        let hold = parts
            .holds
            .iter()
            .position(|hold| hold.id == choice.from && hold.side == choice.from_side);
        let anchor = parts
            .anchors
            .iter()
            .position(|anchor| anchor.id == choice.to && anchor.side == choice.to_side);
        let tie = parts
            .ties
            .iter()
            .position(|tie| tie.gear.id() == choice.with);
        let (Some(hold), Some(anchor), Some(tie)) = (hold, anchor, tie) else {
            unknown.push(format!(
                "The tie-down from {} to {} with {} is not possible: point or wheel, anchor or straps are not there, or may not be used.",
                choice.from, choice.to, choice.with
            ));
            continue;
        };
        let over_tyre = parts
            .holds
            .get(hold)
            .is_some_and(|hold| hold.radius.is_some());
        let other_end = straps
            .iter_mut()
            .find(|s| over_tyre && s.tie == tie && s.hold == hold && s.anchors.len() == 1);
        match other_end {
            Some(strap) => strap.anchors.push(anchor),
            None => straps.push(Strap {
                tie,
                hold,
                anchors: vec![anchor],
            }),
        }
    }
    (straps, unknown)
}

/// Finds the smallest set that meets a demand; `only` keeps to some of the points.
pub(super) fn proposed(parts: &Parts<'_>, demand: &Demand, only: Option<&[&str]>) -> Proposal {
    let sets: Vec<Vec<Strap>> = units(parts)
        .into_iter()
        .filter(|unit| {
            let named = |strap: &Strap| {
                let hold = parts.holds.get(strap.hold);
                only.is_none_or(|ids| hold.is_some_and(|hold| ids.contains(&hold.id)))
            };
            unit.iter().all(named)
        })
        .collect();
    let mut usable = Vec::new();
    let mut candidates = Vec::new();
    for unit in sets {
        if let Some(candidate) = candidate(parts, demand, &unit) {
            candidates.push(candidate);
            usable.push(unit);
        }
    }
    let requirements = Requirements {
        needs: demand.needs.iter().map(|need| demand.asked(need)).collect(),
        counts: demand.counts.iter().map(|(_, count)| *count).collect(),
        available: parts.ties.iter().map(|tie| tie.count).collect(),
    };
    if candidates.is_empty() {
        // That each requirement lacks everything says less than why nothing can be used.
        return Proposal::None(Vec::new());
    }
    match propose(&candidates, &requirements) {
        Ok(Outcome::Found(found)) => {
            let straps = found
                .candidates
                .iter()
                .filter_map(|index| usable.get(*index))
                .flatten()
                .cloned()
                .collect();
            Proposal::Found(straps, found.is_proven)
        }
        Ok(Outcome::Fails(short)) => Proposal::None(
            short
                .iter()
                .map(|one| demand.sentence(one, "at most"))
                .collect(),
        ),
        Ok(Outcome::FailsTogether(short)) => Proposal::None(together(demand, &short)),
        Ok(Outcome::Unfinished) => Proposal::None(vec![
            "There are too many ways to tie it down to look at all of them; choose the tie-downs."
                .to_owned(),
        ]),
        Err(error) => Proposal::None(refused(&error)),
    }
}

fn together(demand: &Demand, short: &[Shortfall]) -> Vec<String> {
    let mut sentences =
        vec!["Each requirement can be met by itself, but not all by one set.".to_owned()];
    sentences.extend(
        short
            .iter()
            .map(|one| demand.sentence(one, "a set that meets all else brings")),
    );
    sentences
}

/// Straps that come together: mirrored pairs, and single ones at points and anchors without a partner.
fn units(parts: &Parts<'_>) -> Vec<Vec<Strap>> {
    let mut units = Vec::new();
    for tie in 0..parts.ties.len() {
        for holds in groups(parts.holds.iter().map(|hold| hold.pair)) {
            units.extend(units_of(parts, tie, &holds));
        }
    }
    units
}

/// The units of one kind of straps or chains at one pair of holds.
pub(super) fn units_of(parts: &Parts<'_>, tie_index: usize, holds: &[usize]) -> Vec<Vec<Strap>> {
    let mut units = Vec::new();
    let hold = holds.first().and_then(|first| parts.holds.get(*first));
    let (Some(tie), Some(hold)) = (parts.ties.get(tie_index), hold) else {
        return units;
    };
    if hold.radius.is_some() != tie.over_tyre {
        return units;
    }
    if tie.over_tyre {
        over_tyres(parts, tie_index, holds, &mut units);
    } else if fits(tie.fittings, hold.fittings) {
        at_points(parts, tie_index, holds, &mut units);
    }
    units
}

/// The indices of each pair.
pub(super) fn groups(pairs: impl Iterator<Item = usize>) -> Vec<Vec<usize>> {
    let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
    for (index, pair) in pairs.enumerate() {
        match groups.iter_mut().find(|(of, _)| *of == pair) {
            Some((_, group)) => group.push(index),
            None => groups.push((pair, vec![index])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

fn anchor_groups(parts: &Parts<'_>) -> Vec<Vec<usize>> {
    groups(parts.anchors.iter().map(|anchor| anchor.pair))
}

/// How far a hold or an anchor lies to the deck's right.
fn across(place: Option<&[Tracked; 3]>) -> f64 {
    place.map_or(0.0, |[_, y, _]| y.value())
}

fn at_points(parts: &Parts<'_>, tie: usize, holds: &[usize], units: &mut Vec<Vec<Strap>>) {
    let strap = |hold: usize, anchor: usize| Strap {
        tie,
        hold,
        anchors: vec![anchor],
    };
    for anchors in anchor_groups(parts) {
        match (holds, anchors.as_slice()) {
            ([a, b], [c, d]) => {
                units.push(vec![strap(*a, *c), strap(*b, *d)]);
                units.push(vec![strap(*a, *d), strap(*b, *c)]);
            }
            ([one], several) => {
                units.extend(several.iter().map(|anchor| vec![strap(*one, *anchor)]));
            }
            _ => {}
        }
    }
}

/// Straps over both tyres of an axle, straight to a pair of anchors ahead and one behind.
fn over_tyres(parts: &Parts<'_>, tie: usize, holds: &[usize], units: &mut Vec<Vec<Strap>>) {
    let wheels: Vec<_> = holds
        .iter()
        .filter_map(|index| Some((*index, parts.holds.get(*index)?)))
        .collect();
    let pairs = anchor_groups(parts);
    let along = |group: &Vec<usize>| {
        let first = group.first().and_then(|index| parts.anchors.get(*index));
        first.map_or(f64::NAN, |anchor| anchor.place[0].value())
    };
    let Some((_, wheel)) = wheels.first() else {
        return;
    };
    let reach = wheel.radius.as_ref().map_or(0.0, Tracked::value);
    let centre = wheel.place[0].value();
    for ahead in pairs.iter().filter(|group| along(group) < centre - reach) {
        for behind in pairs.iter().filter(|group| along(group) > centre + reach) {
            let unit: Vec<Strap> = wheels
                .iter()
                .filter_map(|(hold, wheel)| {
                    let side = across(Some(&wheel.place));
                    let on_side = |group: &Vec<usize>| {
                        group.iter().copied().find(|index| {
                            across(parts.anchors.get(*index).map(|a| &a.place)) * side > 0.0
                        })
                    };
                    Some(Strap {
                        tie,
                        hold: *hold,
                        anchors: vec![on_side(ahead)?, on_side(behind)?],
                    })
                })
                .collect();
            if unit.len() == wheels.len() {
                units.push(unit);
            }
        }
    }
}

/// What a unit brings to every need and count; `None` when it cannot be used or its limits are not known.
pub(super) fn candidate(parts: &Parts<'_>, demand: &Demand, unit: &[Strap]) -> Option<Candidate> {
    let mut gives = vec![0.0; demand.needs.len()];
    let mut counts = vec![0; demand.counts.len()];
    let mut occupies = 0u128;
    for strap in unit {
        let tie = parts.ties.get(strap.tie)?;
        let of_strap = low(tie.limit.as_ref().ok()?);
        let of_others = strap.low_of_others(parts)?;
        let limit = of_strap.min(of_others);
        let legs = strap.plain(parts)?;
        let takes = strap.length(parts, &legs)?;
        if tie.length.is_some_and(|length| takes > length) {
            return None;
        }
        let shares: Vec<[f64; 5]> = legs
            .into_iter()
            .map(|[from, to]| plain_shares(from, to, demand.counted_friction))
            .collect::<Option<_>>()?;
        for (gives, need) in gives.iter_mut().zip(&demand.needs) {
            *gives += given(need, &shares, strap, demand, limit);
        }
        let hold = parts.holds.get(strap.hold)?;
        for (count, (of, _)) in counts.iter_mut().zip(&demand.counts) {
            *count += u32::from(of.counts(hold));
        }
        let places = strap
            .anchors
            .iter()
            .copied()
            .chain([parts.anchors.len() + strap.hold]);
        for place in places {
            occupies |= (place < MOST_PLACES).then(|| 1u128 << place)?;
        }
    }
    Some(Candidate {
        straps: u32::try_from(unit.len()).ok()?,
        kind: unit.first()?.tie,
        occupies,
        gives,
        counts,
    })
}

fn given(need: &Need, shares: &[[f64; 5]], strap: &Strap, demand: &Demand, limit: f64) -> f64 {
    let in_direction = |direction: Direction| -> f64 {
        let of = |shares: &[f64; 5]| {
            Direction::ALL
                .iter()
                .zip(shares)
                .find(|(one, _)| **one == direction)
                .map_or(0.0, |(_, share)| *share)
        };
        shares.iter().map(of).sum()
    };
    match need.limb {
        Limb::Aggregate => demand.counting.share(path(strap)) * limit,
        // Nobody states breaking strengths; they are no less than the limits.
        Limb::Breaking(direction) | Limb::Working(direction) => in_direction(direction) * limit,
    }
}

/// How a strap counts toward the aggregate: over a tyre it comes back to the same side.
pub(super) fn path(strap: &Strap) -> Path {
    if strap.anchors.len() > 1 {
        Path::SameSide
    } else {
        Path::Direct
    }
}
