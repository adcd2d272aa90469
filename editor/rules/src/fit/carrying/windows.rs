//! The windows of placements in the report's words, and the chart of use over the placement.

use chockstone_mechanics::carrying::{End, Placements, Rating, Shut, Window};
use chockstone_schema::report::{ChartLine, PlacementChart, PlacementWindow};
use std::borrow::Cow;

use super::{
    rows::{label, name},
    setup::{Carrier, Case},
};
use crate::fit::work::amount;

/// The windows, or why there is none.
#[derive(Debug, Default)]
pub(super) struct Windows {
    pub(super) window: Option<PlacementWindow>,
    pub(super) sure: Option<PlacementWindow>,
    pub(super) none: Option<String>,
}

/// The windows of a case. With a rating that cannot be judged there is none: it might allow less.
pub(super) fn of(carrier: &Carrier<'_>, case: &Case) -> Windows {
    let placements = match &case.placements {
        Ok(placements) => placements,
        Err(problem) => return none(problem.sentences().join(" ")),
    };
    match placements.window() {
        Err(shut) => none(shut_words(&shut)),
        Ok(_) if !placements.unknown().is_empty() => none(format!(
            "The window is not known. {}",
            carrier.missing().join(" ")
        )),
        Ok(window) => Windows {
            window: span(&window),
            sure: placements.sure_window().ok().as_ref().and_then(span),
            none: None,
        },
    }
}

fn none(sentence: String) -> Windows {
    Windows {
        none: Some(sentence),
        ..Windows::default()
    }
}

fn span(window: &Window) -> Option<PlacementWindow> {
    let (first, last) = (window.first?, window.last?);
    Some(PlacementWindow {
        from: first.place.value,
        to: last.place.value,
        from_set_by: Cow::Borrowed(name(first.rating)),
        to_set_by: Cow::Borrowed(name(last.rating)),
    })
}

fn shut_words(shut: &Shut) -> String {
    match shut {
        Shut::Never(rating) => format!("No placement: {} allows none.", setter(*rating)),
        Shut::Exclude { from, to } => {
            let end = |end: &End| {
                let u = end.place.u;
                amount(end.place.value, (u > 0.0).then_some(2.0 * u), "m")
            };
            format!(
                "No placement: {} allows nothing ahead of {}, and {} nothing behind {}.",
                setter(from.rating),
                end(from),
                setter(to.rating),
                end(to)
            )
        }
    }
}

/// What sets an end, in a sentence.
fn setter(rating: Rating) -> &'static str {
    match rating {
        Rating::FrontAxle => "the front axle of the truck",
        Rating::RearAxle => "the rear axle of the truck",
        Rating::Gross => "the gross rating of the truck",
        Rating::Steering => "the load kept for steering",
        Rating::FrontOnRoad => "keeping the front axle on the road",
        Rating::DeckCapacity => "the capacity of the deck",
        Rating::DeckFront | Rating::FirstTyres => "the deck's front edge",
        Rating::RearOverhang => "the overhang allowed behind the deck",
        Rating::LastTyres => "the length of the deck",
        Rating::BehindNeighbour(_) | Rating::AheadOfNeighbour(_) => "the other vehicle",
    }
}

/// Use of every rating over the placement: 1 is the rating.
///
/// From the deck's front edge to where the allowed overhang ends, and as far as the vehicle was placed.
pub(super) fn chart(carrier: &Carrier<'_>, case: &Case) -> Option<PlacementChart> {
    let placements = case.placements.as_ref().ok()?;
    let standing = case.standing.as_ref().ok()?;
    let deck = carrier.length.as_ref().ok()?.value();
    let allowed = carrier
        .overhang_allowed
        .as_ref()
        .map_or(0.0, chockstone_mechanics::propagation::Tracked::value);
    let placement = case.placement()?;
    let from = placement.min(0.0);
    let to = (deck + allowed - standing.length.value())
        .max(placement)
        .max(from + LEAST_CHART);
    let lines = [
        Rating::RearAxle,
        Rating::FrontAxle,
        Rating::Steering,
        Rating::Gross,
        Rating::DeckCapacity,
    ];
    let lines = lines.into_iter().filter_map(|rating| {
        let used = |s: f64| use_of(carrier, placements, rating, s);
        Some(ChartLine {
            name: Cow::Borrowed(name(rating)),
            label: Cow::Borrowed(label(rating)),
            at_from: used(from)?,
            at_to: used(to)?,
        })
    });
    Some(PlacementChart {
        from,
        to,
        lines: lines.collect(),
    })
}

/// A chart is at least this long, in m.
const LEAST_CHART: f64 = 0.5;

/// Load over rating; for steering what is taken off the front axle, over what may be: straight in the placement too.
fn use_of(carrier: &Carrier<'_>, placements: &Placements, rating: Rating, s: f64) -> Option<f64> {
    let mut conditions = placements.conditions().iter();
    let condition = conditions.find(|condition| condition.rating == rating)?;
    let value = condition.value.at(s).value();
    let limit = condition.limit.value();
    let used = if rating == Rating::Steering {
        let empty = carrier.truck.front_empty.as_ref().ok()?.value();
        (empty - value) / (empty - limit)
    } else {
        value / limit
    };
    used.is_finite().then_some(used)
}
