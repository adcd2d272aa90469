//! What tie-downs run between: points and wheels of the vehicle as it stands on the deck, anchors, straps and chains.

use chockstone_mechanics::{
    STANDARD_GRAVITY,
    propagation::Tracked,
    securing::{ChainGrade, PrintedLimit, chain_default, webbing_default},
    winching::Cone,
};
use chockstone_schema::{
    model::{
        equipment::StrapKind,
        point::{Fitting, Point, PointUse},
    },
    report::{Facing, Side},
};

use crate::fit::{
    Job,
    carrying::{ends, missing_of, with},
    winching::attach::{cones, place_plus_minus},
    work::{Gear, Known, missing},
};

/// Metres in a sixteenth of an inch.
const SIXTEENTH: f64 = 0.0254 / 16.0;
const POUND: f64 = 0.453_592_37;

/// From the vehicle's frame to the deck's: x rearward from the deck's front edge, y to its right, z up from its surface.
pub(super) struct Stand {
    offset: Tracked,
    sign: f64,
}

impl Stand {
    /// The vehicle with its foremost place on the truck `placement` metres behind the deck's front edge.
    ///
    /// Several placements may be tried in one fit; only that of the result is an input of figures.
    pub(super) fn new(
        job: &mut Job<'_>,
        facing: Facing,
        placement: &Known,
    ) -> Result<Self, Vec<String>> {
        let (front, rear) = ends(job);
        let (offset, sign) = match facing {
            Facing::NoseFirst => (with(placement, &front, |at, front| at - front), 1.0),
            Facing::TailFirst => (with(placement, &rear, |at, rear| at + rear), -1.0),
        };
        offset.map(|offset| Self { offset, sign })
    }

    fn place(&self, [x, y, z]: [Tracked; 3]) -> [Tracked; 3] {
        [&self.offset + x * self.sign, y * self.sign, z]
    }

    fn cone(&self, cone: Cone) -> Cone {
        let [x, y, z] = cone.axis;
        Cone {
            axis: [x * self.sign, y * self.sign, z],
            ..cone
        }
    }
}

/// One anchor of the deck, one side of a pair.
pub(super) struct Anchor<'a> {
    pub(super) id: &'a str,
    pub(super) side: Side,
    /// Anchors of one pair have the same number.
    pub(super) pair: usize,
    pub(super) place: [Tracked; 3],
    pub(super) limit: Known,
    pub(super) pointer: String,
}

/// What a tie-down holds at the vehicle, one side of a pair.
pub(super) struct Hold<'a> {
    /// The id of the point or axle.
    pub(super) id: &'a str,
    pub(super) side: Side,
    /// Holds of one pair have the same number.
    pub(super) pair: usize,
    /// The point, or the wheel's centre, on the deck.
    pub(super) place: [Tracked; 3],
    /// The wheel's radius; absent for a point.
    pub(super) radius: Option<Tracked>,
    /// The point's rating; absent for a wheel.
    pub(super) rating: Option<Known>,
    pub(super) cones: Vec<Cone>,
    pub(super) fittings: &'a [Fitting],
    pub(super) pointer: String,
    /// Whether it is at the vehicle's own front.
    pub(super) at_vehicle_front: bool,
    /// Whether it is at the end toward the truck's front.
    pub(super) at_truck_front: bool,
}

/// Straps or chains, all alike.
pub(super) struct Tie<'a> {
    pub(super) gear: Gear<'a>,
    /// Over tyres, and not at points.
    pub(super) over_tyre: bool,
    pub(super) count: u32,
    pub(super) limit: Known,
    pub(super) pointer: String,
    pub(super) length: Option<f64>,
    pub(super) fittings: &'a [Fitting],
}

/// Everything that a layout is made of.
pub(super) struct Parts<'a> {
    pub(super) holds: Vec<Hold<'a>>,
    pub(super) anchors: Vec<Anchor<'a>>,
    pub(super) ties: Vec<Tie<'a>>,
    /// The centre of gravity behind the deck's front edge, m.
    pub(super) centre: Known,
    /// What was left out and why, one sentence each.
    pub(super) left_out: Vec<String>,
}

impl<'a> Parts<'a> {
    pub(super) fn of(job: &mut Job<'a>, deck: Gear<'a>, stand: &Stand) -> Self {
        let none = || Tracked::exact(0.0);
        let centre = job.centre_x().map(|x| {
            let [x, _, _] = stand.place([x, none(), none()]);
            x
        });
        let mut parts = Self {
            centre,
            holds: Vec::new(),
            anchors: anchors(job, deck),
            ties: ties(job),
            left_out: Vec::new(),
        };
        parts.add_points(job, stand);
        parts.add_wheels(job, stand);
        if parts.anchors.is_empty() {
            let place = deck.place("/deck/anchors");
            parts.left_out.extend(missing("the deck's anchors", &place));
        }
        parts
    }

    fn add_points(&mut self, job: &mut Job<'a>, stand: &Stand) {
        let profile = job.view.profile;
        for (index, point) in profile.points.iter().enumerate() {
            if !job.view.has(&point.variants) {
                continue;
            }
            let allowed = point.uses.contains(&PointUse::TieDown)
                && !point.forbidden.contains(&PointUse::TieDown);
            if allowed {
                self.add_point(job, stand, index, point);
            } else if point.uses.contains(&PointUse::TieDownLongHaul) {
                self.left_out.push(format!(
                    "The point {} is for long-haul transporters only and was left out.",
                    point.id
                ));
            }
        }
    }

    fn add_point(&mut self, job: &mut Job<'a>, stand: &Stand, index: usize, point: &'a Point) {
        let pointer = format!("/points/{index}");
        let Some(z) = &point.place.z else {
            let what = format!("the height of the point {}", point.id);
            self.left_out
                .extend(missing(&what, &format!("{pointer}/place/z")));
            return;
        };
        let half = place_plus_minus(point);
        let mut number = |axis: &str, value: f64| {
            job.number(&format!("{pointer}/place/{axis}"), "m", value, half)
        };
        let place = (
            number("x", point.place.x.si()),
            number("y", point.place.y.si()),
            number("z", z.si()),
        );
        let (Ok(x), Ok(y), Ok(z)) = place else {
            return;
        };
        let rating_pointer = format!("{pointer}/rating");
        let rating = match &point.rating {
            Some(rating) => job.number(
                &rating_pointer,
                "N",
                rating.si(),
                rating.plus_minus_si().unwrap_or(0.0),
            ),
            None => Err(missing(
                &format!("the rating of the point {}", point.id),
                &rating_pointer,
            )),
        };
        let sides: &[f64] = if point.mirrored { &[1.0, -1.0] } else { &[1.0] };
        let pair = self.pair_of(point);
        for sign in sides {
            let y = &y * *sign;
            let outward = if y.value() < 0.0 { -1.0 } else { 1.0 };
            let ends = ends_of(job, stand, x.value());
            self.holds.push(Hold {
                id: point.id.as_str(),
                side: side(y.value()),
                pair,
                place: stand.place([x.clone(), y, z.clone()]),
                radius: None,
                rating: Some(rating.clone()),
                cones: cones(point, outward)
                    .into_iter()
                    .map(|cone| stand.cone(cone))
                    .collect(),
                fittings: &point.fittings,
                pointer: rating_pointer.clone(),
                at_vehicle_front: ends.0,
                at_truck_front: ends.1,
            });
        }
    }

    /// The number of the pair: that of the point on the other side, where both were measured by themselves.
    fn pair_of(&self, point: &Point) -> usize {
        let partner = point.mirror_of.as_ref().and_then(|other| {
            let found = self.holds.iter().find(|hold| hold.id == other.as_str());
            found.map(|hold| hold.pair)
        });
        partner.unwrap_or_else(|| self.next_pair())
    }

    fn next_pair(&self) -> usize {
        self.holds.last().map_or(0, |last| last.pair + 1)
    }

    /// The wheels, when straps over tyres are given.
    fn add_wheels(&mut self, job: &mut Job<'a>, stand: &Stand) {
        if !self.ties.iter().any(|tie| tie.over_tyre) {
            return;
        }
        let view = job.view;
        for axle in &view.axles {
            let place = axle.place();
            let x = job.axle_x(axle.index);
            let track = job.own(
                axle.track.as_ref(),
                "the track of the axle",
                &format!("{place}/track"),
            );
            let tyre = axle.tyre.as_ref();
            let radius_at = tyre.map_or_else(|| format!("{place}/tyre"), |tyre| tyre.place.clone());
            let radius_at = format!("{radius_at}/static_loaded_radius");
            let radius = match tyre.and_then(|t| t.value.static_loaded_radius.as_ref()) {
                Some(radius) => job.number(
                    &radius_at,
                    "m",
                    radius.si(),
                    radius.plus_minus_si().unwrap_or(0.0),
                ),
                None => Err(missing("the static loaded radius of the tyre", &radius_at)),
            };
            let (Ok(x), Ok(track), Ok(radius)) = (&x, &track, &radius) else {
                self.left_out.extend(missing_of(&[&x, &track, &radius]));
                continue;
            };
            self.add_pair_of_wheels(
                job,
                stand,
                axle.axle.id.as_str(),
                &place,
                [x, track, radius],
            );
        }
    }

    fn add_pair_of_wheels(
        &mut self,
        job: &Job<'_>,
        stand: &Stand,
        id: &'a str,
        pointer: &str,
        [x, track, radius]: [&Tracked; 3],
    ) {
        let pair = self.next_pair();
        let ends = ends_of(job, stand, x.value());
        for sign in [1.0, -1.0] {
            let y = track * (sign / 2.0);
            self.holds.push(Hold {
                id,
                side: side(y.value()),
                pair,
                place: stand.place([x.clone(), y, radius.clone()]),
                radius: Some(radius.clone()),
                rating: None,
                cones: Vec::new(),
                fittings: &[],
                pointer: pointer.to_owned(),
                at_vehicle_front: ends.0,
                at_truck_front: ends.1,
            });
        }
    }
}

/// Whether a place along the vehicle is in its own front half, and in the half toward the truck's front.
fn ends_of(job: &Job<'_>, stand: &Stand, x: f64) -> (bool, bool) {
    let middle = job.view.last_axle().unwrap_or(0.0) / 2.0;
    let front = x < middle;
    (front, front == (stand.sign > 0.0))
}

/// The side of a place, by how far it lies to the right.
fn side(y: f64) -> Side {
    if y > 0.0 {
        Side::Right
    } else if y < 0.0 {
        Side::Left
    } else {
        Side::Middle
    }
}

fn anchors<'a>(job: &mut Job<'a>, gear: Gear<'a>) -> Vec<Anchor<'a>> {
    let Some(deck) = &gear.equipment.deck else {
        return Vec::new();
    };
    let mut anchors = Vec::with_capacity(2 * deck.anchors.len());
    for (index, anchor) in deck.anchors.iter().enumerate() {
        let pointer = format!("/deck/anchors/{index}");
        let mut number = |axis: &str, value: f64| {
            job.number(&gear.place(&format!("{pointer}/{axis}")), "m", value, 0.0)
        };
        let place = (
            number("x", anchor.x.si()),
            number("y", anchor.y.si()),
            number("z", anchor.z.si()),
        );
        let (Ok(x), Ok(y), Ok(z)) = place else {
            continue;
        };
        let limit_pointer = format!("{pointer}/working_load_limit");
        let limit = job.of(
            &gear,
            anchor.working_load_limit.as_ref(),
            &format!("the working load limit of the anchor {}", anchor.id),
            &limit_pointer,
        );
        let sides: &[f64] = if anchor.mirrored {
            &[1.0, -1.0]
        } else {
            &[1.0]
        };
        for sign in sides {
            let y = &y * *sign;
            anchors.push(Anchor {
                id: anchor.id.as_str(),
                side: side(y.value()),
                pair: index,
                place: [x.clone(), y, z.clone()],
                limit: limit.clone(),
                pointer: gear.place(&limit_pointer),
            });
        }
    }
    anchors
}

fn ties<'a>(job: &mut Job<'a>) -> Vec<Tie<'a>> {
    let gear = job.gear.clone();
    let mut ties = Vec::new();
    for gear in gear {
        if let Some(straps) = &gear.equipment.straps {
            let pointer = "/straps/working_load_limit";
            let stated = straps.working_load_limit.as_ref();
            let width = straps
                .width
                .as_ref()
                .and_then(|width| sixteenths(width.si()));
            let unmarked = width.and_then(webbing_default);
            let limit = match (stated, unmarked) {
                (None, Some(printed)) => default_limit(job, gear, "webbing", printed),
                _ => job.of(&gear, stated, "the straps' working load limit", pointer),
            };
            ties.push(Tie {
                gear,
                over_tyre: straps.kind == StrapKind::Wheel,
                count: u32::from(straps.count),
                limit,
                pointer: gear.place(pointer),
                length: straps.length.as_ref().map(chockstone_schema::Sourced::si),
                fittings: &straps.fittings,
            });
        }
        if let Some(chains) = &gear.equipment.chains {
            let pointer = "/chains/working_load_limit";
            let stated = chains.working_load_limit.as_ref();
            // Chain without a mark counts as grade 30.
            let grade = chains.grade.as_ref().map_or(Some(ChainGrade::G30), |mark| {
                ChainGrade::from_mark(mark.as_str())
            });
            let size = chains.size.as_ref().and_then(|size| sixteenths(size.si()));
            let unmarked = size
                .zip(grade)
                .and_then(|(size, grade)| chain_default(size, grade));
            let limit = match (stated, unmarked) {
                (None, Some(printed)) => default_limit(job, gear, "chain", printed),
                _ => job.of(&gear, stated, "the chains' working load limit", pointer),
            };
            ties.push(Tie {
                gear,
                over_tyre: false,
                count: u32::from(chains.count),
                limit,
                pointer: gear.place(pointer),
                length: chains.length.as_ref().map(chockstone_schema::Sourced::si),
                fittings: &chains.fittings,
            });
        }
    }
    ties
}

/// A size in whole sixteenths of an inch, when it is one within half a millimetre.
fn sixteenths(size: f64) -> Option<u32> {
    let count = (size / SIXTEENTH).round();
    let near = (count * SIXTEENTH - size).abs() < 0.0005 && (1.0..1000.0).contains(&count);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "within 1 and 1000"
    )]
    near.then_some(count as u32)
}

/// The limit of what carries no marking, from the printed pounds.
fn default_limit(job: &mut Job<'_>, gear: Gear<'_>, what: &str, printed: PrintedLimit) -> Known {
    let place = format!(
        "{}: default for {what} without a marking, {} lb (49 CFR 393.108, second-hand)",
        gear.id(),
        printed.pounds
    );
    job.number(
        &place,
        "N",
        f64::from(printed.pounds) * POUND * STANDARD_GRAVITY,
        0.0,
    )
}
