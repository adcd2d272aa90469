//! A profile as it is for one variant, by reference: each value with the place that it comes from.
//!
//! The same as [`Profile::for_variant`], without copying and with pointers into the profile as it is written.

use chockstone_schema::{
    Profile, Sourced,
    id::{Id, VariantRef},
    model::{axle::*, identity::*},
    outline::{PlanOutline, SideOutline},
    quantity::*,
};

/// A value and the pointer of the part that holds it.
#[derive(Debug)]
pub(crate) struct At<'p, T> {
    pub(crate) value: &'p T,
    pub(crate) place: String,
}

impl<T> Clone for At<'_, T> {
    fn clone(&self) -> Self {
        Self {
            value: self.value,
            place: self.place.clone(),
        }
    }
}

impl<K: Kind> At<'_, Sourced<K>> {
    /// The value in SI units.
    pub(crate) fn si(&self) -> f64 {
        self.value.si()
    }

    /// The ± half-width in SI units; zero when none is stated.
    pub(crate) fn doubt(&self) -> f64 {
        self.value.plus_minus_si().unwrap_or(0.0)
    }

    /// The pointer of the number itself.
    pub(crate) fn number(&self) -> String {
        format!("{}/value", self.place)
    }
}

/// One axle of a view.
#[derive(Debug)]
pub(crate) struct AxleView<'p> {
    pub(crate) index: usize,
    pub(crate) axle: &'p Axle,
    pub(crate) position: At<'p, Sourced<CoordinateKind>>,
    pub(crate) track: Option<At<'p, Sourced<SizeKind>>>,
    pub(crate) gawr: Option<At<'p, Sourced<MassKind>>>,
    pub(crate) tyre: Option<At<'p, Tyre>>,
    pub(crate) motor: Option<At<'p, Motor>>,
    pub(crate) turning: Option<At<'p, Turning>>,
}

impl AxleView<'_> {
    /// Whether a drive motor is on the axle.
    pub(crate) fn has_motor(&self) -> bool {
        self.motor
            .as_ref()
            .is_some_and(|m| m.value.kind != MotorKind::None)
    }

    /// The pointer of the axle in the list.
    pub(crate) fn place(&self) -> String {
        format!("/axles/{}", self.index)
    }
}

/// The profile for one variant, or in general.
#[derive(Debug)]
pub(crate) struct View<'p> {
    pub(crate) profile: &'p Profile,
    pub(crate) variant: Option<&'p Variant>,
    pub(crate) curb_mass: Option<At<'p, Sourced<MassKind>>>,
    pub(crate) gvwr: Option<At<'p, Sourced<MassKind>>>,
    pub(crate) wheelbase: Option<At<'p, Sourced<SizeKind>>>,
    pub(crate) length: Option<At<'p, Sourced<SizeKind>>>,
    pub(crate) width: Option<At<'p, Sourced<SizeKind>>>,
    pub(crate) height: Option<At<'p, Sourced<SizeKind>>>,
    pub(crate) ground_clearance: Option<At<'p, Sourced<DistanceKind>>>,
    pub(crate) side_outline: Option<At<'p, SideOutline>>,
    pub(crate) plan_outline: Option<At<'p, PlanOutline>>,
    pub(crate) axles: Vec<AxleView<'p>>,
    pub(crate) working_voltage: Option<At<'p, Sourced<VoltageKind>>>,
    pub(crate) maximum_voltage: Option<At<'p, Sourced<VoltageKind>>>,
    pub(crate) capacity: Option<At<'p, Sourced<StoredEnergyKind>>>,
}

impl<'p> View<'p> {
    /// The profile as it is for a variant, given by its position in the list, or in general.
    pub(crate) fn new(profile: &'p Profile, index: Option<usize>) -> Self {
        let variant = index.and_then(|i| Some((i, profile.variants.get(i)?)));
        let own = Own(variant.map(|(i, _)| i));
        let variant = variant.map(|(_, v)| v);
        let general = &profile.dimensions;
        let energy = profile.energy.high_voltage.as_ref();
        let difference = variant.and_then(|v| v.energy.as_ref());
        Self {
            profile,
            variant,
            curb_mass: own.pick(
                variant.and_then(|v| v.curb_mass.as_ref()),
                "curb_mass",
                profile.mass.curb_mass.as_ref(),
                "/mass/curb_mass",
            ),
            gvwr: own.pick(
                variant.and_then(|v| v.gvwr.as_ref()),
                "gvwr",
                profile.mass.gvwr.as_ref(),
                "/mass/gvwr",
            ),
            wheelbase: own.pick(
                variant.and_then(|v| v.wheelbase.as_ref()),
                "wheelbase",
                general.wheelbase.as_ref(),
                "/dimensions/wheelbase",
            ),
            length: own.pick(
                variant.and_then(|v| v.length.as_ref()),
                "length",
                general.length.as_ref(),
                "/dimensions/length",
            ),
            width: own.pick(None, "width", general.width.as_ref(), "/dimensions/width"),
            height: own.pick(
                variant.and_then(|v| v.height.as_ref()),
                "height",
                general.height.as_ref(),
                "/dimensions/height",
            ),
            ground_clearance: own.pick(
                variant.and_then(|v| v.ground_clearance.as_ref()),
                "ground_clearance",
                general.ground_clearance.as_ref(),
                "/dimensions/ground_clearance",
            ),
            side_outline: own.pick(
                variant.and_then(|v| v.side_outline.as_ref()),
                "side_outline",
                general.side_outline.as_ref(),
                "/dimensions/side_outline",
            ),
            plan_outline: own.pick(
                variant.and_then(|v| v.plan_outline.as_ref()),
                "plan_outline",
                general.plan_outline.as_ref(),
                "/dimensions/plan_outline",
            ),
            axles: profile
                .axles
                .iter()
                .enumerate()
                .map(|(i, a)| axle_view(i, a, own, variant))
                .collect(),
            working_voltage: own.pick(
                difference.and_then(|d| d.working_voltage.as_ref()),
                "energy/working_voltage",
                energy.and_then(|e| e.working_voltage.as_ref()),
                "/energy/high_voltage/working_voltage",
            ),
            maximum_voltage: own.pick(
                difference.and_then(|d| d.maximum_voltage.as_ref()),
                "energy/maximum_voltage",
                energy.and_then(|e| e.maximum_voltage.as_ref()),
                "/energy/high_voltage/maximum_voltage",
            ),
            capacity: own.pick(
                difference.and_then(|d| d.capacity.as_ref()),
                "energy/capacity",
                energy.and_then(|e| e.capacity.as_ref()),
                "/energy/high_voltage/capacity",
            ),
        }
    }

    /// One view for each variant, or the general one for a profile without variants.
    pub(crate) fn all(profile: &'p Profile) -> Vec<Self> {
        if profile.variants.is_empty() {
            vec![Self::new(profile, None)]
        } else {
            (0..profile.variants.len())
                .map(|i| Self::new(profile, Some(i)))
                .collect()
        }
    }

    /// Whether something that names these variants belongs to this view; naming none means all.
    pub(crate) fn has(&self, variants: &[VariantRef]) -> bool {
        variants.is_empty()
            || self
                .variant
                .is_some_and(|own| variants.iter().any(|v| v.as_str() == own.id.as_str()))
    }

    /// The variant's id.
    pub(crate) fn id(&self) -> Option<&'p Id> {
        self.variant.map(|v| &v.id)
    }

    /// " of the variant long-range", or nothing, for sentences.
    pub(crate) fn of_variant(&self) -> String {
        self.variant
            .map_or_else(String::new, |v| format!(" of the variant {}", v.id))
    }

    /// The axle with this id.
    pub(crate) fn axle(&self, id: &str) -> Option<&AxleView<'p>> {
        self.axles.iter().find(|a| a.axle.id.as_str() == id)
    }

    /// The position of the last axle, in metres: the whole support length along the vehicle.
    pub(crate) fn last_axle(&self) -> Option<f64> {
        self.axles
            .last()
            .map(|a| a.position.si())
            .filter(|x| *x > 0.0)
    }
}

/// The variant's position, for the pointers of its own values.
#[derive(Clone, Copy)]
struct Own(Option<usize>);

impl Own {
    fn pick<'p, T>(
        self,
        own: Option<&'p T>,
        field: &str,
        general: Option<&'p T>,
        place: &str,
    ) -> Option<At<'p, T>> {
        match (own, self.0) {
            (Some(value), Some(i)) => Some(At {
                value,
                place: format!("/variants/{i}/{field}"),
            }),
            _ => general.map(|value| At {
                value,
                place: place.to_owned(),
            }),
        }
    }
}

fn axle_view<'p>(
    index: usize,
    axle: &'p Axle,
    own: Own,
    variant: Option<&'p Variant>,
) -> AxleView<'p> {
    let difference = variant.and_then(|v| {
        v.axles
            .iter()
            .enumerate()
            .find(|(_, d)| d.axle.as_str() == axle.id.as_str())
    });
    let at = difference.map_or(0, |(i, _)| i);
    let difference = difference.map(|(_, d)| d);
    let field = |name: &str| {
        (
            format!("axles/{at}/{name}"),
            format!("/axles/{index}/{name}"),
        )
    };
    let position = At {
        value: &axle.position,
        place: format!("/axles/{index}/position"),
    };
    macro_rules! pick {
        ($name:ident) => {{
            let (own_place, place) = field(stringify!($name));
            own.pick(
                difference.and_then(|d| d.$name.as_ref()),
                &own_place,
                axle.$name.as_ref(),
                &place,
            )
        }};
    }
    AxleView {
        index,
        axle,
        position: own
            .pick(
                difference.and_then(|d| d.position.as_ref()),
                &field("position").0,
                None,
                "",
            )
            .unwrap_or(position),
        track: pick!(track),
        gawr: pick!(gawr),
        tyre: pick!(tyre),
        motor: pick!(motor),
        turning: pick!(turning),
    }
}
