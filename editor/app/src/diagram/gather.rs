//! Gathers what a profile holds into a [`Scene`](super::scene::Scene).

use chockstone_schema::{
    Profile,
    id::VariantRef,
    model::{Sourced, axle::Axle, geometry::Zone, point::Point},
    outline::{PlanOutline, SideOutline},
    quantity::Quantity,
    report::{Estimate, MassResult},
    text::Text,
};

use super::{
    projection::View,
    scene::{Centre, Outline, Region, Run, SceneAxle, ScenePoint, metres},
    tyre::TyreSize,
};

/// A profile and the variant that is shown of it.
pub(super) struct Gather<'p> {
    pub(super) profile: &'p Profile,
    pub(super) variant: Option<&'p str>,
}

impl Gather<'_> {
    fn text(&self, text: &Text) -> String {
        text.pick([&self.profile.language]).to_owned()
    }

    /// Whether a part that only some variants have is shown.
    fn shows(&self, variants: &[VariantRef]) -> bool {
        let Some(variant) = self.variant else {
            return true;
        };
        variants.is_empty() || variants.iter().any(|v| v.as_str() == variant)
    }

    /// Where the outlines shown are kept: with the variant if it has its own, else with the dimensions.
    fn outline_pointer(&self, key: &str, own: impl Fn(usize) -> bool) -> String {
        let index = self
            .profile
            .variants
            .iter()
            .position(|v| Some(v.id.as_str()) == self.variant);
        match index {
            Some(index) if own(index) => format!("/variants/{index}/{key}"),
            _ => format!("/dimensions/{key}"),
        }
    }

    pub(super) fn outlines(&self, shown: &Profile) -> Vec<Outline> {
        let variants = &self.profile.variants;
        let side = shown.dimensions.side_outline.as_ref().map(|o| {
            let own = |i: usize| variants.get(i).is_some_and(|v| v.side_outline.is_some());
            side_polygon(o, Some(self.outline_pointer("side_outline", own)))
        });
        let plan = shown.dimensions.plan_outline.as_ref().map(|o| {
            let own = |i: usize| variants.get(i).is_some_and(|v| v.plan_outline.is_some());
            plan_polygon(o, Some(self.outline_pointer("plan_outline", own)))
        });
        side.into_iter().chain(plan).collect()
    }

    pub(super) fn axles(&self, axles: &[Axle], mass: Option<&MassResult>) -> Vec<SceneAxle> {
        let load_of = |id: &str| {
            let share = mass?.axles.iter().find(|a| a.axle == id)?;
            Some(estimate(&share.load))
        };
        axles
            .iter()
            .enumerate()
            .map(|(index, axle)| {
                let tyre = axle.tyre.as_ref();
                SceneAxle {
                    pointer: format!("/axles/{index}"),
                    name: axle
                        .name
                        .as_ref()
                        .map_or_else(|| axle.id.to_string(), |n| self.text(n)),
                    x: axle.position.si(),
                    track: axle.track.as_ref().map(Sourced::si),
                    radius: tyre.and_then(|t| Some(t.static_loaded_radius.as_ref()?.si())),
                    tyre: tyre.and_then(|t| TyreSize::parse(t.size.as_str())),
                    twin_tyres: tyre.is_some_and(|t| t.wheels_per_side == Some(2)),
                    motor: axle.motor.as_ref().map(|m| m.kind),
                    steered: axle.steered,
                    load: load_of(axle.id.as_str()),
                }
            })
            .collect()
    }

    pub(super) fn packs(&self) -> Vec<Region> {
        let Some(high_voltage) = &self.profile.energy.high_voltage else {
            return Vec::new();
        };
        let packs = high_voltage
            .packs
            .iter()
            .enumerate()
            .filter(|(_, p)| self.shows(&p.variants));
        packs
            .map(|(index, pack)| {
                let pointer = format!("/energy/high_voltage/packs/{index}");
                let heights = [pack.bottom, pack.top].map(|h| h.map(Quantity::metres));
                Region {
                    name: self.text(&pack.name),
                    kinds: Vec::new(),
                    polygons: polygons(
                        &pointer,
                        pack.side.as_ref(),
                        pack.plan.as_ref(),
                        heights,
                        false,
                    ),
                    pointer,
                }
            })
            .collect()
    }

    pub(super) fn zones(&self) -> Vec<Region> {
        let zones = self
            .profile
            .zones
            .iter()
            .enumerate()
            .filter(|(_, z)| self.shows(&z.variants));
        zones
            .map(|(index, zone)| self.zone(format!("/zones/{index}"), zone))
            .collect()
    }

    fn zone(&self, pointer: String, zone: &Zone) -> Region {
        let heights = [zone.bottom, zone.top].map(|h| h.map(Quantity::metres));
        Region {
            name: self.text(&zone.name),
            kinds: zone.kinds.clone(),
            polygons: polygons(
                &pointer,
                zone.side.as_ref(),
                zone.plan.as_ref(),
                heights,
                zone.mirrored,
            ),
            pointer,
        }
    }

    pub(super) fn cables(&self) -> Vec<Run> {
        let Some(high_voltage) = &self.profile.energy.high_voltage else {
            return Vec::new();
        };
        let cables = high_voltage
            .cables
            .iter()
            .enumerate()
            .filter(|(_, c)| self.shows(&c.variants));
        cables
            .map(|(index, cable)| Run {
                pointer: format!("/energy/high_voltage/cables/{index}"),
                name: self.text(&cable.name),
                path: cable.path.iter().map(metres).collect(),
            })
            .collect()
    }

    pub(super) fn points(&self) -> Vec<ScenePoint> {
        let points = self
            .profile
            .points
            .iter()
            .enumerate()
            .filter(|(_, p)| self.shows(&p.variants));
        points
            .map(|(index, point)| self.point(index, point))
            .collect()
    }

    fn point(&self, index: usize, point: &Point) -> ScenePoint {
        ScenePoint {
            pointer: format!("/points/{index}"),
            name: self.text(&point.name),
            kind: point.kind,
            place: metres(&point.place),
            height_known: point.place.z.is_some(),
            mirrored: point.mirrored,
            doubt: point.place_plus_minus.map(Quantity::metres),
        }
    }
}

fn side_polygon(outline: &SideOutline, pointer: Option<String>) -> Outline {
    Outline {
        pointer,
        view: View::Side,
        unit: outline.unit,
        corners: outline.metres(),
    }
}

fn plan_polygon(outline: &PlanOutline, pointer: Option<String>) -> Outline {
    Outline {
        pointer,
        view: View::Plan,
        unit: outline.unit,
        corners: outline.metres(),
    }
}

/// The polygons of a pack or zone: those stated, the mirrored one, and a box for the side where only the plan and
/// the heights are stated.
fn polygons(
    pointer: &str,
    side: Option<&SideOutline>,
    plan: Option<&PlanOutline>,
    [bottom, top]: [Option<f64>; 2],
    mirrored: bool,
) -> Vec<Outline> {
    let stated_side = side.map(|o| side_polygon(o, Some(format!("{pointer}/side"))));
    let stated_plan = plan.map(|o| plan_polygon(o, Some(format!("{pointer}/plan"))));
    let twin = stated_plan.as_ref().filter(|_| mirrored).map(|o| Outline {
        pointer: None,
        corners: o.corners.iter().map(|[x, y]| [*x, -y]).collect(),
        ..o.clone()
    });
    let from_plan = match (&stated_side, &stated_plan, bottom, top) {
        (None, Some(plan), Some(bottom), Some(top)) => Some(side_box(plan, bottom, top)),
        _ => None,
    };
    [stated_side, from_plan, stated_plan, twin]
        .into_iter()
        .flatten()
        .collect()
}

fn side_box(plan: &Outline, bottom: f64, top: f64) -> Outline {
    let xs = || plan.corners.iter().map(|[x, _]| *x);
    let (from, to) = (
        xs().fold(f64::INFINITY, f64::min),
        xs().fold(f64::NEG_INFINITY, f64::max),
    );
    Outline {
        pointer: None,
        view: View::Side,
        unit: plan.unit,
        corners: vec![[from, bottom], [to, bottom], [to, top], [from, top]],
    }
}

fn estimate(estimate: &Estimate) -> (f64, Option<f64>) {
    (estimate.value, estimate.plus_minus)
}

/// The centre of gravity of a mass result, if it has one.
pub(super) fn centre(mass: &MassResult) -> Option<Centre> {
    Some(Centre {
        x: estimate(mass.centre_x.as_ref()?),
        y: mass.centre_y.as_ref().map(estimate),
        z: mass.centre_z.as_ref().map(estimate),
    })
}
