//! New profiles from a body style: two axles and outlines that scale with the dimensions entered.
//!
//! Nothing here is a fact about any vehicle. The outlines are our own drawings, marked as an estimate until somebody
//! traces or measures the vehicle; every other value is left for the author.

use chockstone_schema::{
    Profile, Sourced,
    codes::{Extensions, FormatVersion},
    id::{Id, SourceRef},
    model::{
        advice::{Emergency, Transport},
        axle::Axle,
        energy::Energy,
        geometry::Dimensions,
        identity::{BodyStyle, Identity, Propulsion},
        mass::MassData,
        record::{Source, SourceKind},
    },
    outline::{PlanOutline, SideOutline},
    quantity::{Coordinate, Distance, Size},
    text::{Label, Language, Text},
};

mod outlines;

/// The id of the source that marks the outlines of a start as an estimate.
pub const OUTLINE_SOURCE: &str = "outline-estimate";
const OUTLINE_NOTE: &str = "Outline drawn from a body-style start; trace or measure to replace";

/// The body styles that a new profile can start from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BodyStart {
    /// A pickup truck with an open bed.
    Pickup,
    /// A delivery or passenger van.
    Van,
    /// A car with a tailgate.
    Hatch,
    /// A car with a separate boot.
    Sedan,
    /// A sport utility vehicle.
    Suv,
    /// A bus or minibus.
    Bus,
    /// A truck with a box body.
    BoxTruck,
}

impl BodyStart {
    /// Every start.
    pub const ALL: [Self; 7] = [
        Self::Pickup,
        Self::Van,
        Self::Hatch,
        Self::Sedan,
        Self::Suv,
        Self::Bus,
        Self::BoxTruck,
    ];

    /// What the start is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pickup => "Pickup",
            Self::Van => "Van",
            Self::Hatch => "Hatchback",
            Self::Sedan => "Sedan",
            Self::Suv => "Sport utility vehicle",
            Self::Bus => "Bus",
            Self::BoxTruck => "Box truck",
        }
    }

    /// The body style that it gives to a profile.
    pub fn body_style(self) -> BodyStyle {
        match self {
            Self::Pickup => BodyStyle::Pickup,
            Self::Van => BodyStyle::Van,
            Self::Hatch => BodyStyle::Hatch,
            Self::Sedan => BodyStyle::Sedan,
            Self::Suv => BodyStyle::Suv,
            Self::Bus => BodyStyle::Bus,
            Self::BoxTruck => BodyStyle::BoxTruck,
        }
    }

    /// The start whose outline suits a body style.
    pub fn for_style(style: BodyStyle) -> Self {
        match style {
            BodyStyle::Pickup | BodyStyle::ChassisCab => Self::Pickup,
            BodyStyle::Van => Self::Van,
            BodyStyle::Hatch => Self::Hatch,
            BodyStyle::Sedan | BodyStyle::Other => Self::Sedan,
            BodyStyle::Suv => Self::Suv,
            BodyStyle::Bus => Self::Bus,
            BodyStyle::BoxTruck => Self::BoxTruck,
        }
    }
}

/// Who makes the vehicle and what it is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Naming {
    /// The profile's id.
    pub id: Id,
    /// The language of its texts.
    pub language: Language,
    /// The maker, as on the vehicle.
    pub maker: Label,
    /// The model, as on the vehicle.
    pub model: Label,
}

/// The dimensions that an outline scales with, kept as entered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lengths {
    /// From the front axle to the rear axle.
    pub wheelbase: Size,
    /// Overall length.
    pub length: Size,
    /// Overall width without mirrors.
    pub width: Size,
    /// Overall height.
    pub height: Size,
    /// From the front axle to the foremost point, if known.
    pub front_overhang: Option<Distance>,
}

/// Makes a profile with two axles, the dimensions given and outlines of the body style.
pub fn new_profile(start: BodyStart, naming: Naming, lengths: &Lengths) -> Profile {
    let mut profile = empty(start, naming, lengths);
    rescale_outlines(&mut profile, start);
    profile
}

/// Draws both outlines again from wheelbase, length, width, height and front overhang as they stand, and marks them as
/// an estimate. Without one of the first four nothing is changed and the answer is false.
pub fn rescale_outlines(profile: &mut Profile, start: BodyStart) -> bool {
    let d = &profile.dimensions;
    let (Some(wheelbase), Some(length), Some(width), Some(height)) =
        (&d.wheelbase, &d.length, &d.width, &d.height)
    else {
        return false;
    };
    let frame = outlines::Frame {
        wheelbase: wheelbase.si(),
        length: length.si(),
        width: width.si(),
        height: height.si(),
        front_overhang: d.front_overhang.as_ref().map(Sourced::si),
        rear_overhang: d.rear_overhang.as_ref().map(Sourced::si),
    };
    let side = SideOutline::from_metres(&outlines::side(start, &frame));
    let plan = PlanOutline::from_metres(&outlines::plan(start, &frame));
    let (Ok(side), Ok(plan)) = (side, plan) else {
        return false;
    };
    profile.dimensions.side_outline = Some(side);
    profile.dimensions.plan_outline = Some(plan);
    mark_as_estimate(profile);
    true
}

fn mark_as_estimate(profile: &mut Profile) {
    let title = Text::new(&profile.language, OUTLINE_NOTE);
    let (Ok(id), Ok(reference), Ok(title)) = (
        Id::new(OUTLINE_SOURCE),
        SourceRef::new(OUTLINE_SOURCE),
        title,
    ) else {
        return;
    };
    if profile.sources.iter().all(|s| s.id != id) {
        let source = Source {
            id,
            kind: SourceKind::Estimate,
            title,
            date: None,
            who: None,
            locator: None,
            address: None,
            attachments: Vec::new(),
            note: None,
        };
        profile.sources.push(source);
    }
    profile.dimensions.outline_source = Some(reference);
}

fn empty(start: BodyStart, naming: Naming, lengths: &Lengths) -> Profile {
    Profile {
        format: FormatVersion::current(),
        id: naming.id,
        release: None,
        language: naming.language,
        languages: Vec::new(),
        identity: Identity {
            maker: naming.maker,
            model: naming.model,
            body_style: start.body_style(),
            model_years: None,
            markets: Vec::new(),
            propulsion: Propulsion::Electric,
            vin_patterns: Vec::new(),
            recognition: None,
            note: None,
        },
        variants: Vec::new(),
        dimensions: dimensions(lengths),
        axles: axles(lengths.wheelbase),
        mass: MassData {
            curb_mass: None,
            curb_mass_basis: None,
            gvwr: None,
            readings: Vec::new(),
            items: Vec::new(),
            centre_height: None,
        },
        points: Vec::new(),
        zones: Vec::new(),
        energy: Energy {
            high_voltage: None,
            low_voltage: None,
            ready_indication: None,
            inlets: Vec::new(),
            disconnects: Vec::new(),
            waits: None,
        },
        conditions: Vec::new(),
        debts: Vec::new(),
        procedures: Vec::new(),
        safety_rules: Vec::new(),
        hazards: Vec::new(),
        emergency: Emergency {
            fire: None,
            submersion: None,
            storage: None,
        },
        transport: Transport {
            rules: Vec::new(),
            securing: None,
            hazmat_note: None,
            note: None,
        },
        sources: Vec::new(),
        attachments: Vec::new(),
        reviews: Vec::new(),
        changes: Vec::new(),
        conflicts: Vec::new(),
        extensions: Extensions::default(),
    }
}

fn dimensions(lengths: &Lengths) -> Dimensions {
    Dimensions {
        wheelbase: Some(Sourced::bare(lengths.wheelbase)),
        length: Some(Sourced::bare(lengths.length)),
        width: Some(Sourced::bare(lengths.width)),
        width_with_mirrors: None,
        height: Some(Sourced::bare(lengths.height)),
        front_overhang: lengths.front_overhang.map(Sourced::bare),
        rear_overhang: None,
        ground_clearance: None,
        approach_angle: None,
        departure_angle: None,
        breakover_angle: None,
        side_outline: None,
        plan_outline: None,
        outline_source: None,
    }
}

fn axles(wheelbase: Size) -> Vec<Axle> {
    let rear = Coordinate::new(wheelbase.value(), wheelbase.unit());
    let positions = [
        ("front", Coordinate::new(0.0, wheelbase.unit())),
        ("rear", rear),
    ];
    positions
        .into_iter()
        .filter_map(|(id, position)| axle(id, position.ok()?))
        .collect()
}

fn axle(id: &str, position: Coordinate) -> Option<Axle> {
    Some(Axle {
        id: Id::new(id).ok()?,
        name: None,
        position: Sourced::bare(position),
        track: None,
        gawr: None,
        tyre: None,
        steered: id == "front",
        steering_lock: None,
        braked: true,
        holds: Vec::new(),
        suspension: None,
        motor: None,
        turning: None,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use chockstone_schema::read;
    use proptest::prelude::*;

    use super::*;
    use crate::geometry;

    fn naming() -> Naming {
        Naming {
            id: Id::new("new-vehicle").unwrap(),
            language: Language::new("en").unwrap(),
            maker: Label::new("Invented Works").unwrap(),
            model: Label::new("One").unwrap(),
        }
    }

    fn lengths(wheelbase: f64, length: f64, width: f64, height: f64) -> Lengths {
        let size = |v| Size::new(v, "mm").unwrap();
        Lengths {
            wheelbase: size(wheelbase),
            length: size(length),
            width: size(width),
            height: size(height),
            front_overhang: None,
        }
    }

    #[test]
    fn every_start_gives_a_profile_that_reads_back() {
        for start in BodyStart::ALL {
            let profile = new_profile(start, naming(), &lengths(3000.0, 4800.0, 1900.0, 1700.0));
            let back = read::from_value::<Profile>(&read::to_value(&profile)).unwrap();
            assert_eq!(back, profile, "{}", start.name());
            assert_eq!(BodyStart::for_style(profile.identity.body_style), start);
        }
    }

    #[test]
    fn outlines_scale_again_after_a_dimension_changes() {
        let mut profile = new_profile(
            BodyStart::Van,
            naming(),
            &lengths(3000.0, 4800.0, 1900.0, 1700.0),
        );
        profile.dimensions.height = Some(Sourced::bare(Size::new(2.6, "m").unwrap()));
        assert!(rescale_outlines(&mut profile, BodyStart::Van));
        let corners = profile.dimensions.side_outline.unwrap().metres();
        let [_, (_, top)] = geometry::extent(&corners).unwrap();
        assert!((top - 2.6).abs() < 1e-9, "{top}");
        assert_eq!(profile.sources.len(), 1);
    }

    #[test]
    fn without_a_dimension_nothing_is_drawn() {
        let mut profile = new_profile(
            BodyStart::Van,
            naming(),
            &lengths(3000.0, 4800.0, 1900.0, 1700.0),
        );
        profile.dimensions.width = None;
        let before = profile.clone();
        assert!(!rescale_outlines(&mut profile, BodyStart::Suv));
        assert_eq!(profile, before);
    }

    proptest! {
        #[test]
        fn outlines_fill_the_dimensions_and_never_cross(
            start in prop::sample::select(BodyStart::ALL.to_vec()),
            wheelbase in 1500.0..7000.0f64,
            overhangs in 600.0..5000.0f64,
            width in 1200.0..2600.0f64,
            height in 1000.0..4000.0f64,
        ) {
            let profile = new_profile(start, naming(), &lengths(wheelbase, wheelbase + overhangs, width, height));
            let side = profile.dimensions.side_outline.unwrap().metres();
            let plan = profile.dimensions.plan_outline.unwrap().metres();
            prop_assert_eq!(geometry::self_crossing(&side), None);
            prop_assert_eq!(geometry::self_crossing(&plan), None);
            let [(front, back), (_, top)] = geometry::extent(&side).unwrap();
            prop_assert!((back - front - (wheelbase + overhangs) / 1000.0).abs() < 2e-3);
            prop_assert!((top - height / 1000.0).abs() < 2e-3);
            let [_, (left, right)] = geometry::extent(&plan).unwrap();
            prop_assert!((right - left - width / 1000.0).abs() < 2e-3);
        }
    }
}
