//! What US federal rules say of the combination: the bridge formula and the licence by weight.

use chockstone_mechanics::{
    propagation::Tracked,
    towing::{LicenceGroup, WreckerLoads, bridge_groups, licence_group},
};
use chockstone_schema::{
    model::equipment::RearAxles,
    report::{Judged, Trust},
};
use std::borrow::Cow;

use super::rows::Tow;
use crate::{
    checks::references::Rest,
    fit::{
        Job,
        work::{Gear, Known},
    },
};

const POUND: f64 = 0.453_592_37;
const BRIDGE: Rest = (
    "23 CFR 658.5 and FHWA, Bridge Formula Weights (2019)",
    Trust::SecondHand,
);

/// The most used group of consecutive axles by the bridge formula, on a two-axle wrecker.
///
/// The wheels of the vehicle that stay down count as a third axle. Loads are those with the vehicle level. A tandem's
/// axle distance is in no file, so its groups are not judged.
pub(super) fn bridge(
    job: &Job<'_>,
    tow: &Tow<'_>,
    loads: &Result<WreckerLoads, Vec<String>>,
    down: &Known,
) -> Option<Judged> {
    let chassis = tow.wrecker.equipment.chassis.as_ref()?;
    if chassis.rear_axles == Some(RearAxles::Tandem) {
        return None;
    }
    let (loads, down) = (loads.as_ref().ok()?, down.as_ref().ok()?);
    let place = |length: &Known| Some(length.as_ref().ok()?.value());
    let wheelbase = place(&tow.lift.truck.wheelbase)?;
    let lifted = wheelbase + place(&tow.lift.reach)?;
    let places = [0.0, wheelbase, lifted + place(&tow.towed.wheelbase)?];
    let on_axles = [loads.front.clone(), loads.rear.clone(), down.clone()];
    let groups = bridge_groups(&places, &on_axles).ok()?;
    let used = |load: &Tracked, limit: f64| load.value() / limit;
    let most = groups.into_iter().max_by(|one, other| {
        used(&one.load, one.limit_pounds).total_cmp(&used(&other.load, other.limit_pounds))
    })?;
    let label = if most.first == most.last {
        format!(
            "axle {} of the combination, by the federal limit",
            most.first + 1
        )
    } else {
        format!(
            "axles {} to {} of the combination, by the bridge formula",
            most.first + 1,
            most.last + 1
        )
    };
    let row = job.row(
        "bridge-formula",
        Cow::Owned(label),
        &Ok(most.load),
        "kg",
        "W = 500 x (L x N / (N - 1) + 12 x N + 36) lb, at most 20,000 lb an axle; the most used group",
        BRIDGE,
    );
    let limit = Ok(Tracked::exact(most.limit_pounds * POUND));
    Some(row.at_most(&limit, "US federal bridge formula and axle limits"))
}

/// The licence that the combination needs by weight, where the ratings are stated.
pub(super) fn licence(job: &Job<'_>, wrecker: Gear<'_>) -> Option<String> {
    let truck = wrecker.equipment.chassis.as_ref()?.gvwr.as_ref()?.si();
    let towed = job.view.gvwr.as_ref()?.si();
    let group = match licence_group(truck / POUND, towed / POUND, None).ok()? {
        LicenceGroup::NoneByWeight => return None,
        LicenceGroup::B => "B",
        LicenceGroup::A => "A",
    };
    Some(format!(
        "By its ratings this combination needs a US commercial licence of group {group} (49 CFR 383.91)."
    ))
}
