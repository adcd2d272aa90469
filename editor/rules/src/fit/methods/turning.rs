//! What happens to an axle whose wheels turn, on the road or at walking pace.
//!
//! The stricter statement wins: a motor that always turns with its wheels counts as harmful unless the maker says that it
//! rolls freely, and where nothing is said the wheel must not turn.

use chockstone_schema::{
    id::SourceRef,
    model::{
        advice::TransportMethod,
        axle::{Hold, Motor, MotorKind, Turning, TurningEffect},
        record::SourceKind,
    },
};

use crate::{
    checks::references::{LOGIC, PRACTICE, Rest, TURNING_WHEELS},
    view::{AxleView, View},
};

/// Whether an axle may turn, from free to never.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::fit) enum Rolling {
    /// It may turn.
    Free,
    /// It may turn within limits of speed, distance or preparation.
    Limited,
    /// Nothing says that it may.
    Unknown,
    /// It must not turn.
    Never,
}

/// The answer for one axle, and what it rests on.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::fit) struct AxleAnswer {
    pub(in crate::fit) rolling: Rolling,
    pub(in crate::fit) reason: String,
    pub(in crate::fit) place: String,
    pub(in crate::fit) rest: Rest,
    pub(in crate::fit) max_speed: Option<f64>,
    pub(in crate::fit) max_distance: Option<f64>,
}

/// How an axle turns under a method.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::fit) enum Pace {
    /// On the road, at road speed.
    Road,
    /// At walking pace, up a deck or by hand.
    Walking,
}

/// The pace at which an axle turns under a method; `None` when it does not.
///
/// All rear axles of a tandem are taken as lifted together, as the checks of a profile do.
pub(in crate::fit) fn pace(
    method: TransportMethod,
    index: usize,
    axle_count: usize,
) -> Option<Pace> {
    let last = axle_count.saturating_sub(1);
    let on_road = match method {
        TransportMethod::FrontLift => index != 0,
        TransportMethod::RearLift => index == 0 || (last > 1 && index < last - 1),
        TransportMethod::AllWheelsGround => true,
        TransportMethod::WinchRolling | TransportMethod::Push => return Some(Pace::Walking),
        TransportMethod::Carrier
        | TransportMethod::FrontLiftDollies
        | TransportMethod::RearLiftDollies
        | TransportMethod::WinchSkates => false,
    };
    on_road.then_some(Pace::Road)
}

/// Whether an axle may turn at this pace.
pub(in crate::fit) fn answer(view: &View<'_>, axle: &AxleView<'_>, pace: Pace) -> AxleAnswer {
    let turning = axle.turning.as_ref();
    let (rolling, why, rest) = match pace {
        Pace::Road => on_road(view, axle),
        Pace::Walking => walking(axle),
    };
    let says = turning
        .map(|turning| format!("{}/effect", turning.place))
        .or_else(|| axle.motor.as_ref().map(|motor| motor.place.clone()))
        .unwrap_or_else(|| axle.place());
    let counts = rolling == Rolling::Limited;
    let limits = turning.map(|turning| turning.value).filter(|_| counts);
    AxleAnswer {
        rolling,
        reason: format!("The axle {} would turn: {why}.", axle.axle.id),
        place: says,
        rest,
        max_speed: limits.and_then(|turning| Some(turning.max_speed.as_ref()?.si())),
        max_distance: limits.and_then(|turning| Some(turning.max_distance.as_ref()?.si())),
    }
}

type Answer = (Rolling, String, Rest);

fn on_road(view: &View<'_>, axle: &AxleView<'_>) -> Answer {
    let motor = axle.motor.as_ref().map(|motor| motor.value);
    let kind = motor.map(|motor| motor.kind);
    let turning = axle.turning.as_ref().map(|turning| turning.value);
    let never = |why: &str, rest: Rest| (Rolling::Never, why.to_owned(), rest);
    match turning.map(|turning| turning.effect) {
        Some(TurningEffect::Generates) => never(
            "its motor makes voltage and heat, so it must not turn on the road",
            TURNING_WHEELS,
        ),
        Some(TurningEffect::Locked) => never("it does not turn", LOGIC),
        Some(TurningEffect::NotKnown) | None if kind == Some(MotorKind::Fixed) => never(
            "a motor turns with its wheels and nothing says that it may",
            PRACTICE,
        ),
        Some(TurningEffect::NotKnown) | None => (
            Rolling::Unknown,
            "nothing says what turning it does, so it must not turn".to_owned(),
            PRACTICE,
        ),
        Some(TurningEffect::Free | TurningEffect::Drags)
            if kind == Some(MotorKind::Fixed) && !turning.is_some_and(|t| makers(view, t)) =>
        {
            never(
                "a motor always turns with its wheels, and no document of the maker says that it may",
                TURNING_WHEELS,
            )
        }
        Some(TurningEffect::Free) => rolls_freely(motor, turning),
        Some(TurningEffect::Drags) => drags(motor, turning),
    }
}

fn rolls_freely(motor: Option<&Motor>, turning: Option<&Turning>) -> Answer {
    if let Some(answer) = disconnected(motor) {
        return answer;
    }
    let limited = turning.is_some_and(|t| t.max_speed.is_some() || t.max_distance.is_some());
    if limited {
        let why = "it rolls freely within the speed and distance stated";
        (Rolling::Limited, why.to_owned(), LOGIC)
    } else {
        (Rolling::Free, "it rolls freely".to_owned(), LOGIC)
    }
}

fn drags(motor: Option<&Motor>, turning: Option<&Turning>) -> Answer {
    let limited = turning.is_some_and(|t| t.max_speed.is_some() && t.max_distance.is_some());
    if !limited {
        let why = "it drags and may overheat, and no limit of speed and distance is stated";
        return (Rolling::Unknown, why.to_owned(), LOGIC);
    }
    disconnected(motor).unwrap_or_else(|| {
        let why = "it drags, and may within the speed and distance stated";
        (Rolling::Limited, why.to_owned(), LOGIC)
    })
}

/// The answer for a motor that has to be disconnected first.
fn disconnected(motor: Option<&Motor>) -> Option<Answer> {
    let motor = motor.filter(|motor| motor.kind == MotorKind::Disconnectable)?;
    Some(if motor.how.is_some() {
        let why = "it may only with its motor disconnected and seen to be so";
        (Rolling::Limited, why.to_owned(), TURNING_WHEELS)
    } else {
        let why = "its motor can be disconnected, but nothing says how a crew can tell that it is";
        (Rolling::Unknown, why.to_owned(), TURNING_WHEELS)
    })
}

fn walking(axle: &AxleView<'_>) -> Answer {
    let turning = axle.turning.as_ref().map(|turning| turning.value);
    let limited = turning.is_some_and(|t| t.max_speed.is_some() || t.max_distance.is_some());
    match turning.map(|turning| turning.effect) {
        Some(TurningEffect::Locked) => (Rolling::Never, "it does not turn".to_owned(), LOGIC),
        Some(TurningEffect::Free | TurningEffect::Drags) => {
            (Rolling::Free, "it may at walking pace".to_owned(), LOGIC)
        }
        Some(TurningEffect::Generates) if limited => {
            let why = "its motor makes voltage and heat; walking pace within the limit stated only";
            (Rolling::Limited, why.to_owned(), TURNING_WHEELS)
        }
        Some(TurningEffect::Generates) => {
            let why = "its motor makes voltage and heat, and no limit is stated";
            (Rolling::Unknown, why.to_owned(), TURNING_WHEELS)
        }
        Some(TurningEffect::NotKnown) | None => {
            let why = "nothing says what turning it does";
            (Rolling::Unknown, why.to_owned(), PRACTICE)
        }
    }
}

/// Whether the statement on turning rests on a document of the maker.
fn makers(view: &View<'_>, turning: &Turning) -> bool {
    source_kind(view, turning.source.as_ref()) == Some(SourceKind::MakersDocument)
}

pub(super) fn source_kind(view: &View<'_>, source: Option<&SourceRef>) -> Option<SourceKind> {
    let id = source?;
    let sources = &view.profile.sources;
    let found = sources.iter().find(|s| s.id.as_str() == id.as_str())?;
    Some(found.kind)
}

/// What must be done before an axle may turn: whatever holds it must be released.
pub(in crate::fit) fn releases(axle: &AxleView<'_>) -> Vec<String> {
    let id = &axle.axle.id;
    let sentence = |hold: &Hold| match hold {
        Hold::ParkingBrake => format!("Release the parking brake of the axle {id}; it would drag."),
        Hold::ElectricParkingBrake => format!(
            "Release the electric parking brake of the axle {id}; that needs low voltage, so do it while there is some."
        ),
        Hold::ParkPawl => format!(
            "Take the park pawl of the axle {id} out: the vehicle must be in neutral, and stay there."
        ),
    };
    axle.axle.holds.iter().map(sentence).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rear lift of a vehicle with a rear tandem lifts both of its axles.
    #[test]
    fn the_axles_that_turn_are_those_that_are_not_lifted() {
        use TransportMethod::*;
        let turning = |method, count| -> Vec<usize> {
            (0..count)
                .filter(|i| pace(method, *i, count) == Some(Pace::Road))
                .collect()
        };
        assert_eq!(turning(FrontLift, 2), [1]);
        assert_eq!(turning(RearLift, 2), [0]);
        assert_eq!(turning(FrontLift, 3), [1, 2]);
        assert_eq!(turning(RearLift, 3), [0]);
        assert_eq!(turning(AllWheelsGround, 3), [0, 1, 2]);
        for method in [Carrier, FrontLiftDollies, RearLiftDollies, WinchSkates] {
            assert_eq!(turning(method, 2), [0; 0]);
        }
        assert_eq!(pace(WinchRolling, 1, 2), Some(Pace::Walking));
        assert_eq!(pace(Push, 0, 2), Some(Pace::Walking));
    }
}
