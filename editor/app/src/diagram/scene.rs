//! What there is to draw: the parts of a profile as plain lengths in metres, each with its place in the file.

use chockstone_schema::{
    Profile,
    model::{
        axle::MotorKind,
        geometry::{Place, ZoneKind},
        point::PointKind,
    },
    outline::OutlineUnit,
    quantity::Quantity,
    report::MassResult,
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
        let gather = super::gather::Gather { profile, variant };
        Self {
            outlines: gather.outlines(shown),
            axles: gather.axles(&shown.axles, mass),
            packs: gather.packs(),
            zones: gather.zones(),
            cables: gather.cables(),
            points: gather.points(),
            centre: mass.and_then(super::gather::centre),
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

/// A place of the file in metres.
pub fn metres(place: &Place) -> [f64; 3] {
    [
        place.x.metres(),
        place.y.metres(),
        place.z.map_or(0.0, Quantity::metres),
    ]
}
