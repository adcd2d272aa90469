//! The rows of a set of dollies under the end that is not lifted.

use chockstone_mechanics::propagation::Tracked;
use chockstone_schema::report::{Judged, Trust, VehicleEnd, Verdict};

use super::setup::Towed;
use crate::{
    checks::references::{LOGIC, Rest},
    fit::{
        Job,
        carrying::{needed, sum_of, with},
        work::{Gear, Known, missing},
    },
};

/// Two supports share a weight.
const STATICS: Rest = (
    "Moment balance of a vehicle on two supports; arithmetic from the formula",
    Trust::Arithmetic,
);

/// Set, tyres, track and tyre width. `lifted_load` is the load with the other end lifted, where it is known.
pub(super) fn rows(
    job: &mut Job<'_>,
    set: Gear<'_>,
    towed: &Towed,
    lifted: VehicleEnd,
    level_load: &Known,
    lifted_load: Option<&Known>,
) -> Vec<Judged> {
    let own = Set::of(job, set);
    let (load, formula) = greater(level_load, lifted_load);
    let mut rows = vec![
        job.row(
            "dolly-load",
            "load on the dollies",
            &load,
            "kg",
            formula,
            STATICS,
        )
        .at_most(&own.rating, set.place("/dollies/rating")),
        tyre_row(job, set, &own, &load),
    ];
    let other = match lifted {
        VehicleEnd::Front => VehicleEnd::Rear,
        VehicleEnd::Rear => VehicleEnd::Front,
    };
    let end = towed.end(other);
    let row = |name, label: &'static str, value: &Known| {
        job.row(name, label, value, "m", "as stated", LOGIC)
    };
    rows.push(
        row(
            "dolly-track-least",
            "track on the dollies, not too narrow",
            &end.track,
        )
        .at_least(&own.min_track, set.place("/dollies/min_track")),
    );
    rows.push(
        row(
            "dolly-track-most",
            "track on the dollies, not too wide",
            &end.track,
        )
        .at_most(&own.max_track, set.place("/dollies/max_track")),
    );
    rows.push(
        row(
            "dolly-tyre-width",
            "width of the tyres on the dollies",
            &end.tyre_width,
        )
        .at_most(&own.max_tyre_width, set.place("/dollies/max_tyre_width")),
    );
    rows
}

struct Set {
    rating: Known,
    tyre_rating: Known,
    tyres: Known,
    own_mass: Known,
    min_track: Known,
    max_track: Known,
    max_tyre_width: Known,
}

impl Set {
    fn of(job: &mut Job<'_>, gear: Gear<'_>) -> Self {
        let set = gear.equipment.dollies.as_ref();
        macro_rules! field {
            ($name:ident, $what:literal) => {
                job.of(
                    &gear,
                    set.and_then(|set| set.$name.as_ref()),
                    $what,
                    concat!("/dollies/", stringify!($name)),
                )
            };
        }
        let tyres = gear.place("/dollies/tyres");
        Self {
            rating: field!(rating, "the rating of the dollies"),
            tyre_rating: field!(tyre_rating, "the rating of a dolly tyre"),
            own_mass: field!(own_mass, "the mass of the dollies"),
            min_track: field!(min_track, "the narrowest track that the dollies take"),
            max_track: field!(max_track, "the widest track that the dollies take"),
            max_tyre_width: field!(max_tyre_width, "the widest tyre that the dollies take"),
            tyres: match set.and_then(|set| set.tyres) {
                Some(count) => job.number(&tyres, "1", f64::from(count), 0.0),
                None => Err(missing("the number of dolly tyres", &tyres)),
            },
        }
    }
}

/// The greater of the level and the lifted load: lifting moves weight toward the dollies.
fn greater(level: &Known, lifted: Option<&Known>) -> (Known, &'static str) {
    match (level, lifted) {
        (Ok(level), Some(Ok(lifted))) if lifted.value() > level.value() => (
            Ok(lifted.clone()),
            "m - P, P = m x (b - h x tan phi) / L, turning about the dollies' contact",
        ),
        _ => (level.clone(), "m x (L - b) / L, level"),
    }
}

/// Load of a tyre with the set's own mass. Without that mass it can be beyond the rating, but not within.
fn tyre_row(job: &Job<'_>, gear: Gear<'_>, set: &Set, load: &Known) -> Judged {
    let each = |load: &Tracked, tyres: &Tracked| load / tyres;
    let row = |value: &Known, formula: &'static str| {
        job.row(
            "dolly-tyre",
            "load of each dolly tyre",
            value,
            "kg",
            formula,
            STATICS,
        )
        .at_most(&set.tyre_rating, gear.place("/dollies/tyre_rating"))
    };
    let whole = with(&sum_of(&[load, &set.own_mass]), &set.tyres, each);
    if let (Ok(load), Err(sentences)) = (load, &set.own_mass) {
        let least = needed(&[&set.tyres], || load.clone());
        let mut judged = row(
            &with(&least, &set.tyres, each),
            "axle load / tyres, without the mass of the dollies",
        );
        if judged.verdict != Some(Verdict::Beyond) {
            judged.verdict = Some(Verdict::NotKnown);
        }
        judged.not_known.extend(sentences.iter().cloned());
        return judged;
    }
    row(&whole, "(axle load + mass of the dollies) / tyres")
}
