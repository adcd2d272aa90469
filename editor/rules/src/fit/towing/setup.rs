//! What is known of wrecker and towed vehicle.

use chockstone_mechanics::{
    propagation::Tracked,
    towing::{LiftLoads, LiftedAxle, TowedVehicle, Wrecker},
};
use chockstone_schema::report::VehicleEnd;

use crate::fit::{
    Job,
    carrying::{Truck, missing_of},
    work::{Gear, Known, missing, refused},
};

/// A wrecker and its wheel lift, each number known or with the sentence that says what is missing.
#[derive(Debug)]
pub(super) struct Lift {
    pub(super) truck: Truck,
    pub(super) reach: Known,
    pub(super) rating: Known,
    pub(super) tow_rating: Known,
    pub(super) height: Known,
    pub(super) tyre_width: Known,
}

impl Lift {
    pub(super) fn of(job: &mut Job<'_>, gear: Gear<'_>) -> Self {
        let lift = gear.equipment.wheel_lift.as_ref();
        macro_rules! field {
            ($name:ident, $what:literal) => {
                job.of(
                    &gear,
                    lift.and_then(|lift| lift.$name.as_ref()),
                    $what,
                    concat!("/wheel_lift/", stringify!($name)),
                )
            };
        }
        Self {
            reach: field!(reach, "the wheel lift's reach"),
            rating: field!(rating, "the wheel lift's rating"),
            tow_rating: field!(tow_rating, "the heaviest vehicle that the lift may tow"),
            height: field!(
                lift_height,
                "the height to which the lift carries the wheels"
            ),
            tyre_width: field!(tyre_width, "the widest tyre that the lift takes"),
            truck: Truck::of(job, gear),
        }
    }

    /// The wrecker as the mechanics take it.
    pub(super) fn wrecker(&self) -> Wrecker {
        let known = |number: &Known| number.as_ref().ok().cloned();
        Wrecker {
            chassis: self.truck.chassis(),
            reach: known(&self.reach),
            lift_rating: known(&self.rating),
            tow_rating: known(&self.tow_rating),
        }
    }
}

/// What is known of one end of the towed vehicle.
#[derive(Clone, Debug)]
pub(super) struct End {
    /// From the end's wheels to the end of the vehicle.
    pub(super) overhang: Known,
    pub(super) track: Known,
    /// The width of one tyre, from its size marking.
    pub(super) tyre_width: Known,
}

/// The towed vehicle.
#[derive(Clone, Debug)]
pub(super) struct Towed {
    pub(super) mass: Known,
    pub(super) vehicle: Result<TowedVehicle, Vec<String>>,
    pub(super) wheelbase: Known,
    pub(super) centre_height: Known,
    pub(super) front: End,
    pub(super) rear: End,
}

impl Towed {
    pub(super) fn of(job: &mut Job<'_>) -> Self {
        let mass = job.mass();
        let centre = job.centre_x();
        let wheelbase = wheelbase(job);
        let vehicle = match (&mass, &centre, &wheelbase) {
            (Ok(mass), Ok(centre), Ok(wheelbase)) => Ok(TowedVehicle {
                mass: mass.clone(),
                centre: centre.clone(),
                wheelbase: wheelbase.clone(),
            }),
            _ => Err(missing_of(&[&mass, &centre, &wheelbase])),
        };
        let last = job.view.axles.len().saturating_sub(1);
        Self {
            centre_height: job.centre_z(),
            front: end(job, 0, true),
            rear: end(job, last, false),
            mass,
            vehicle,
            wheelbase,
        }
    }

    /// The loads with the vehicle level.
    pub(super) fn level(&self, lifted: LiftedAxle) -> Result<LiftLoads, Vec<String>> {
        let vehicle = self.vehicle.as_ref().map_err(Clone::clone)?;
        vehicle.level(lifted).map_err(|error| refused(&error))
    }

    /// The loads with one axle lifted by an angle, turning about a point this far above the ground.
    pub(super) fn lifted(
        &self,
        lifted: LiftedAxle,
        angle: &Tracked,
    ) -> Result<LiftLoads, Vec<String>> {
        let vehicle = self.vehicle.as_ref().map_err(Clone::clone)?;
        let height = self.centre_height.as_ref().map_err(Clone::clone)?;
        vehicle
            .lifted(lifted, angle, height, &Tracked::exact(0.0))
            .map_err(|error| refused(&error))
    }

    pub(super) fn end(&self, end: VehicleEnd) -> &End {
        match end {
            VehicleEnd::Front => &self.front,
            VehicleEnd::Rear => &self.rear,
        }
    }
}

/// With more than two axles what hangs on the lift depends on the springs, so nothing is computed.
fn wheelbase(job: &mut Job<'_>) -> Known {
    match job.view.axles.len() {
        0 | 1 => Err(missing("the vehicle's axles", "/axles")),
        2 => job.axle_x(1),
        _ => Err(vec![
            "With more than two axles the load on the lift depends on the springs: weigh it."
                .to_owned(),
        ]),
    }
}

fn end(job: &mut Job<'_>, axle: usize, is_front: bool) -> End {
    let dimensions = &job.view.profile.dimensions;
    let (field, what, pointer) = if is_front {
        (
            &dimensions.front_overhang,
            "the vehicle's front overhang",
            "/dimensions/front_overhang",
        )
    } else {
        (
            &dimensions.rear_overhang,
            "the vehicle's rear overhang",
            "/dimensions/rear_overhang",
        )
    };
    let overhang = match field {
        Some(value) => job.number(
            pointer,
            "m",
            value.si(),
            value.plus_minus_si().unwrap_or(0.0),
        ),
        None => Err(missing(what, pointer)),
    };
    let view = job.view;
    let of = view.axles.get(axle);
    let track = job.own(
        of.and_then(|axle| axle.track.as_ref()),
        "the track of the axle",
        &format!("/axles/{axle}/track"),
    );
    let tyre = of.and_then(|axle| axle.tyre.as_ref());
    let tyre_width = match tyre {
        None => Err(missing(
            "the tyre of the axle",
            &format!("/axles/{axle}/tyre"),
        )),
        Some(at) if at.value.wheels_per_side == Some(2) => Err(vec![
            "Twin tyres: no width of one tyre tells whether they fit.".to_owned(),
        ]),
        Some(at) => match section_width(at.value.size.as_str()) {
            Some(width) => job.number(&format!("{}/size", at.place), "m", width, 0.0),
            None => Err(vec![format!(
                "The tyre size {} at {} does not tell its width.",
                at.value.size.as_str(),
                at.place
            )]),
        },
    };
    End {
        overhang,
        track,
        tyre_width,
    }
}

/// The section width that a metric size marking states: "LT275/65R20" is 275 mm wide.
pub(super) fn section_width(marking: &str) -> Option<f64> {
    let (width, _) = marking.split_once('/')?;
    let digits = width
        .trim()
        .trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let millimetres: u16 = digits.trim().parse().ok()?;
    (100..=500)
        .contains(&millimetres)
        .then(|| f64::from(millimetres) / 1000.0)
}
