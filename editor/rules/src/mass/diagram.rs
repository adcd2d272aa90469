//! The few figures that a drawing needs.

use chockstone_mechanics::{propagation::Tracked, uncertain::COVERAGE_FACTOR};
use chockstone_schema::Profile;

use super::Computed;
use crate::view::View;

/// A value and its ± half-width (two standard uncertainties), both in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// The half-width; zero when no input states its doubt.
    pub plus_minus: f64,
}

/// One axle in a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct DiagramAxle {
    /// The axle's id.
    pub axle: String,
    /// Metres behind the front axle, for this variant.
    pub x: f64,
    /// Kilograms on it, if known.
    pub load: Option<Figure>,
}

/// Mass, centre of gravity and axle loads of one variant for a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagram {
    /// Kilograms.
    pub mass: Option<Figure>,
    /// Metres behind the front axle.
    pub x: Option<Figure>,
    /// Metres to the right of the centre plane.
    pub y: Option<Figure>,
    /// Metres above the ground.
    pub z: Option<Figure>,
    /// The axles, from the front.
    pub axles: Vec<DiagramAxle>,
}

/// What a drawing shows of a variant, or of the profile in general; cheap enough for every edit.
pub fn diagram(profile: &Profile, variant: Option<&str>) -> Diagram {
    let index = variant.and_then(|id| profile.variants.iter().position(|v| v.id.as_str() == id));
    let view = View::new(profile, index);
    let computed = Computed::of(&view);
    let figure = |value: &Option<Tracked>| value.as_ref().map(of);
    let axles = view.axles.iter().enumerate().map(|(i, axle)| DiagramAxle {
        axle: axle.axle.id.to_string(),
        x: axle.position.si(),
        load: computed
            .axles
            .get(i)
            .and_then(|(_, load)| load.as_ref())
            .map(of),
    });
    Diagram {
        mass: figure(&computed.mass),
        x: figure(&computed.x),
        y: figure(&computed.y),
        z: figure(&computed.z),
        axles: axles.collect(),
    }
}

fn of(value: &Tracked) -> Figure {
    Figure {
        value: value.value(),
        plus_minus: COVERAGE_FACTOR * value.u(),
    }
}
