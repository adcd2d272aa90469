//! What there is to draw: the parts of a profile as plain lengths in metres, each with its place in the file.

use chockstone_schema::{
    Profile,
    id::VariantRef,
    model::{
        axle::{Axle, MotorKind},
        geometry::{Place, Zone, ZoneKind},
        point::{Point, PointKind},
    },
    outline::{OutlineUnit, PlanOutline, SideOutline},
    quantity::Quantity,
    report::{Estimate, MassResult},
    text::Text,
};

use super::{projection::View, tyre::TyreSize};

/// Everything that the two views show.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    /// The outline seen from the side and the one seen from above.
    pub outlines: Vec<Outline>,
    /// The axles with their wheels.
    pub axles: Vec<SceneAxle>,
    /// Battery packs.
    pub packs: Vec<Region>,
    /// Zones.
    pub zones: Vec<Region>,
    /// High-voltage cables.
    pub cables: Vec<Run>,
    /// Points.
    pub points: Vec<ScenePoint>,
    /// The centre of gravity, as far as it is known.
    pub centre: Option<Centre>,
}

/// A polygon in one view.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// The pointer of the outline in the file; none for one that was derived, which cannot be edited.
    pub pointer: Option<String>,
    /// In which view it lies.
    pub view: View,
    /// The unit of its corners.
    pub unit: OutlineUnit,
    /// Its corners in metres: across the view, then up it.
    pub corners: Vec<[f64; 2]>,
}

/// A pack or a zone.
#[derive(Clone, Debug)]
pub struct Region {
    /// Its pointer in the file.
    pub pointer: String,
    /// Its name.
    pub name: String,
    /// What it forbids or holds; none for a pack.
    pub kinds: Vec<ZoneKind>,
    /// Its polygons in both views, the mirrored ones too.
    pub polygons: Vec<Outline>,
}

/// A cable.
#[derive(Clone, Debug)]
pub struct Run {
    /// Its pointer in the file.
    pub pointer: String,
    /// Its name.
    pub name: String,
    /// Its corners in metres.
    pub path: Vec<[f64; 3]>,
}

/// An axle and its wheels.
#[derive(Clone, Debug)]
pub struct SceneAxle {
    /// Its pointer in the file.
    pub pointer: String,
    /// Its name, or its id.
    pub name: String,
    /// How far it is behind the front axle.
    pub x: f64,
    /// Its track, if stated.
    pub track: Option<f64>,
    /// The static loaded radius of its tyres, if stated.
    pub radius: Option<f64>,
    /// The size of its tyres, if the marking tells.
    pub tyre: Option<TyreSize>,
    /// Whether it has two wheels a side.
    pub twin_tyres: bool,
    /// Its drive motor, if any is stated.
    pub motor: Option<MotorKind>,
    /// Whether its wheels steer.
    pub steered: bool,
    /// What it carries, in kg, with the ± half-width.
    pub load: Option<(f64, Option<f64>)>,
}

/// A point.
#[derive(Clone, Debug)]
pub struct ScenePoint {
    /// Its pointer in the file.
    pub pointer: String,
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: PointKind,
    /// Where it is; on the ground while no height is stated.
    pub place: [f64; 3],
    /// Whether its height is stated.
    pub height_known: bool,
    /// Whether it has a twin on the other side of the centre plane.
    pub mirrored: bool,
    /// The ± half-width of its place, if stated.
    pub doubt: Option<f64>,
}

/// The centre of gravity: each coordinate with its ± half-width.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Centre {
    /// Behind the front axle.
    pub x: (f64, Option<f64>),
    /// To the right of the centre plane, if known.
    pub y: Option<(f64, Option<f64>)>,
    /// Above the ground, if known.
    pub z: Option<(f64, Option<f64>)>,
}

/// The radius of a wheel while no tyre is stated: drawn dashed, since it is no data.
pub const ASSUMED_RADIUS: f64 = 0.33;
/// The width of a tyre while its marking does not tell.
pub const ASSUMED_TYRE_WIDTH: f64 = 0.22;

impl SceneAxle {
    /// The radius to draw, and whether it is data rather than assumed.
    pub fn drawn_radius(&self) -> (f64, bool) {
        match (self.radius, self.tyre) {
            (Some(radius), _) => (radius, true),
            (None, Some(tyre)) => (tyre.free_radius(), true),
            (None, None) => (ASSUMED_RADIUS, false),
        }
    }

    /// The wheels from above: the y of each wheel's middle, and their width. None without a track.
    pub fn wheels(&self) -> (Vec<f64>, f64) {
        let width = self.tyre.map_or(ASSUMED_TYRE_WIDTH, |t| t.width);
        let Some(track) = self.track else {
            return (Vec::new(), width);
        };
        let half = track / 2.0;
        if self.twin_tyres {
            // Twin tyres stand a tenth of their width apart; the track is between the middles of the pairs.
            let off = width * 0.55;
            (
                vec![half - off, half + off, -half + off, -half - off],
                width,
            )
        } else {
            (vec![half, -half], width)
        }
    }
}

impl ScenePoint {
    /// The place of its twin on the other side, if it has one.
    pub fn twin(&self) -> Option<[f64; 3]> {
        let [x, y, z] = self.place;
        self.mirrored.then_some([x, -y, z])
    }
}

impl Scene {
    /// Gathers what a profile holds for one variant (`None`: the profile's general values and every part).
    pub fn new(profile: &Profile, variant: Option<&str>, mass: Option<&MassResult>) -> Self {
        let resolved = variant.and_then(|v| profile.for_variant(v));
        let shown = resolved.as_ref().unwrap_or(profile);
        let gather = Gather { profile, variant };
        Self {
            outlines: gather.outlines(shown),
            axles: gather.axles(&shown.axles, mass),
            packs: gather.packs(),
            zones: gather.zones(),
            cables: gather.cables(),
            points: gather.points(),
            centre: mass.and_then(centre),
        }
    }

    /// The least and the greatest place of everything; a metre around the origin when there is nothing.
    pub fn bounds(&self) -> [[f64; 3]; 2] {
        let mut bounds = Bounds::default();
        for axle in &self.axles {
            let (radius, _) = axle.drawn_radius();
            bounds.add([axle.x - radius, 0.0, 0.0]);
            bounds.add([axle.x + radius, 0.0, radius * 2.0]);
            let half = axle.track.unwrap_or(1.6) / 2.0 + ASSUMED_TYRE_WIDTH / 2.0;
            bounds.add([axle.x, half, 0.0]);
            bounds.add([axle.x, -half, 0.0]);
        }
        let regions = self
            .packs
            .iter()
            .chain(&self.zones)
            .flat_map(|r| &r.polygons);
        for outline in self.outlines.iter().chain(regions) {
            for corner in &outline.corners {
                bounds.add(outline.view.unflatten(*corner, [0.0; 3]));
            }
        }
        for place in self
            .points
            .iter()
            .flat_map(|p| p.twin().into_iter().chain([p.place]))
        {
            bounds.add(place);
        }
        for place in self.cables.iter().flat_map(|c| &c.path) {
            bounds.add(*place);
        }
        bounds.finish()
    }

    /// The point at a pointer or with a part of it at the pointer.
    pub fn point(&self, pointer: &str) -> Option<&ScenePoint> {
        self.points
            .iter()
            .find(|p| crate::pointer::is_within(pointer, &p.pointer))
    }

    /// Every polygon whose corners can be edited.
    pub fn editable_outlines(&self) -> impl Iterator<Item = &Outline> {
        let regions = self
            .packs
            .iter()
            .chain(&self.zones)
            .flat_map(|r| &r.polygons);
        self.outlines
            .iter()
            .chain(regions)
            .filter(|o| o.pointer.is_some())
    }

    /// Puts a dragged place in, so that the drawing follows the pointer before anything is changed in the file.
    pub fn preview_point(&mut self, pointer: &str, place: [f64; 3], states_height: bool) {
        if let Some(point) = self.points.iter_mut().find(|p| p.pointer == pointer) {
            point.place = place;
            point.height_known |= states_height;
        }
    }

    /// Puts a dragged corner in, as [`Scene::preview_point`] does for a point.
    pub fn preview_corner(&mut self, pointer: &str, index: usize, flat: [f64; 2]) {
        let regions = self
            .packs
            .iter_mut()
            .chain(&mut self.zones)
            .flat_map(|r| &mut r.polygons);
        let outlines = self.outlines.iter_mut().chain(regions);
        for outline in outlines.filter(|o| o.pointer.as_deref() == Some(pointer)) {
            if let Some(corner) = outline.corners.get_mut(index) {
                *corner = flat;
            }
        }
    }
}

#[derive(Default)]
struct Bounds(Option<[[f64; 3]; 2]>);

impl Bounds {
    fn add(&mut self, place: [f64; 3]) {
        let [mut least, mut greatest] = self.0.unwrap_or([place, place]);
        for ((low, high), value) in least.iter_mut().zip(&mut greatest).zip(place) {
            *low = low.min(value);
            *high = high.max(value);
        }
        self.0 = Some([least, greatest]);
    }

    fn finish(self) -> [[f64; 3]; 2] {
        self.0.unwrap_or([[-1.0, -1.0, 0.0], [1.0, 1.0, 1.0]])
    }
}

fn estimate(estimate: &Estimate) -> (f64, Option<f64>) {
    (estimate.value, estimate.plus_minus)
}

fn centre(mass: &MassResult) -> Option<Centre> {
    Some(Centre {
        x: estimate(mass.centre_x.as_ref()?),
        y: mass.centre_y.as_ref().map(estimate),
        z: mass.centre_z.as_ref().map(estimate),
    })
}

/// A place of the file in metres.
pub fn metres(place: &Place) -> [f64; 3] {
    [
        place.x.metres(),
        place.y.metres(),
        place.z.map_or(0.0, Quantity::metres),
    ]
}

struct Gather<'p> {
    profile: &'p Profile,
    variant: Option<&'p str>,
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

    fn outlines(&self, shown: &Profile) -> Vec<Outline> {
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

    fn axles(&self, axles: &[Axle], mass: Option<&MassResult>) -> Vec<SceneAxle> {
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
                    track: axle
                        .track
                        .as_ref()
                        .map(chockstone_schema::model::Sourced::si),
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

    fn packs(&self) -> Vec<Region> {
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

    fn zones(&self) -> Vec<Region> {
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

    fn cables(&self) -> Vec<Run> {
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

    fn points(&self) -> Vec<ScenePoint> {
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
