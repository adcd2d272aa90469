//! How far the pads of a lift stay clear of zones that must not carry load.

use std::rc::Rc;

use chockstone_mechanics::{lifting as statics, propagation::Tracked};
use chockstone_schema::{
    model::{
        equipment::VehicleLift,
        geometry::{Zone, ZoneKind},
    },
    report::{Judged, Trust},
};

use super::super::work::{Gear, Job, Known, missing};
use super::gear::{Bound, hardest, interval};
use super::supports::Support;
use crate::checks::references::Rest;

const PLANE: Rest = ("Distance in the plane; arithmetic", Trust::Arithmetic);
const FORMULA: &str = "Distance from the pad's middle to the zone seen from above, less half the pad's diameter; below zero inside";

/// A pad beside a zone.
struct Beside<'z> {
    zone: &'z Zone,
    support: &'z Support,
    distance: Known,
}

/// The pad that is nearest to a zone, and each zone that is not drawn from above.
pub(super) fn distances(
    job: &mut Job<'_>,
    gear: Gear<'_>,
    lift: &VehicleLift,
    supports: &[Rc<Support>],
) -> Vec<Judged> {
    let view = job.view;
    let pointer = "/vehicle_lift/pad_diameter";
    let diameter = lift.pad_diameter.as_ref();
    let diameter = job.of(&gear, diameter, "the diameter of a pad", pointer);
    let mut pads = Vec::new();
    let mut rows = Vec::new();
    let zones = view.profile.zones.iter().enumerate();
    for (index, zone) in zones.filter(|(_, z)| view.has(&z.variants) && must_stay_clear(z)) {
        match &zone.plan {
            Some(plan) => pads.extend(beside(zone, &plan.metres(), supports, &diameter)),
            None if zone.kinds.contains(&ZoneKind::NoLifting) => {
                rows.push(undrawn(job, index, zone));
            }
            None => {}
        }
    }
    let intervals = pads.iter().map(|pad| interval(&pad.distance));
    let nearest = hardest(intervals, Bound::AtLeast, &Ok(Tracked::exact(0.0)));
    rows.extend(nearest.and_then(|n| pads.get(n)).map(|pad| row(job, pad)));
    rows
}

fn must_stay_clear(zone: &Zone) -> bool {
    let kinds = &zone.kinds;
    kinds.contains(&ZoneKind::NoLifting) || kinds.contains(&ZoneKind::HighVoltage)
}

/// A pad presses from below: what ends below the point is out of its way, and high-voltage parts that begin above it
/// only matter where nothing may press under them.
fn matters(zone: &Zone, support: &Support) -> bool {
    let Ok(point) = support.height.as_ref().map(Tracked::value) else {
        return true;
    };
    let below = zone.top.is_some_and(|top| top.metres() < point);
    let above = zone.bottom.is_some_and(|bottom| bottom.metres() > point);
    let must_not_press = zone.kinds.contains(&ZoneKind::NoLifting);
    !below && (must_not_press || !above)
}

/// The zone, and its mirror image where it has one.
fn regions(corners: &[[f64; 2]], is_mirrored: bool) -> Vec<Vec<(f64, f64)>> {
    let signs: &[f64] = if is_mirrored { &[1.0, -1.0] } else { &[1.0] };
    let side = |sign: &f64| corners.iter().map(|[x, y]| (*x, sign * y)).collect();
    signs.iter().map(side).collect()
}

/// Every pad whose height matters, beside the zone and its mirror image.
fn beside<'z>(
    zone: &'z Zone,
    plan: &[[f64; 2]],
    supports: &'z [Rc<Support>],
    diameter: &Known,
) -> Vec<Beside<'z>> {
    let mut pads = Vec::new();
    for region in regions(plan, zone.mirrored) {
        for support in supports.iter().filter(|support| matters(zone, support)) {
            let distance = match diameter {
                Ok(diameter) => statics::pad_distance(&support.spot, diameter, &region)
                    .map(|pad| pad.distance)
                    .map_err(|error| vec![format!("Impossible: {error}.")]),
                Err(sentences) => Err(sentences.clone()),
            };
            pads.push(Beside {
                zone,
                support,
                distance,
            });
        }
    }
    pads
}

fn row(job: &Job<'_>, pad: &Beside<'_>) -> Judged {
    let name = pad.zone.name.pick([&job.view.profile.language]);
    let label = format!("Pad under “{}” clear of “{name}”", pad.support.words);
    judged(job, pad.zone, label, &pad.distance)
}

/// A zone where nothing may press, of which nobody knows where it lies across the vehicle.
fn undrawn(job: &Job<'_>, index: usize, zone: &Zone) -> Judged {
    let name = zone.name.pick([&job.view.profile.language]);
    let pointer = format!("/zones/{index}/plan");
    let distance = Err(missing("the zone seen from above", &pointer));
    judged(job, zone, format!("Pads clear of “{name}”"), &distance)
}

fn judged(job: &Job<'_>, zone: &Zone, label: String, distance: &Known) -> Judged {
    job.row("pad-distance", label, distance, "m", FORMULA, PLANE)
        .at_least(
            &Ok(Tracked::exact(0.0)),
            format!("The zone {}: no pad presses there", zone.id),
        )
}
