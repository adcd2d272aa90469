//! The ground that the wheels roll over: level ground, what is laid before the foot, tail, deck.

use super::ClearingError;
use super::plane::{Chain, FAR, Vector};

/// A surface of the way, from the ground up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surface {
    /// The level ground.
    Ground,
    /// The slope of a ramp or block laid before the foot.
    LaidSlope,
    /// The level top of a ramp or block laid before the foot.
    LaidTop,
    /// The tail ramp.
    Tail,
    /// The tilted deck.
    Deck,
    /// What lies level behind the tilted deck.
    LevelDeck,
}

impl Surface {
    /// Names the surface with its article.
    pub fn name(self) -> &'static str {
        match self {
            Self::Ground => "the ground",
            Self::LaidSlope => "the slope of the laid ramp",
            Self::LaidTop => "the top of the laid ramp",
            Self::Tail => "the tail ramp",
            Self::Deck => "the deck",
            Self::LevelDeck => "the level deck",
        }
    }
}

/// A ramp or block laid before the foot, its far end against the slope that it leads to.
///
/// A block with an upright face is entered with a steep slope, 60 degrees say: a wheel touches only
/// its upper edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LaidRamp {
    /// Height of its top above the ground, metres.
    pub height: f64,
    /// Angle of its slope to the ground, radians.
    pub slope: f64,
    /// Length of its level top, metres, as far as the surface that it leads to.
    pub top: f64,
}

/// The numbers of a way, without uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WayNumbers {
    pub(super) laid: Option<LaidRamp>,
    /// Length and angle.
    pub(super) tail: Option<(f64, f64)>,
    pub(super) tilt: f64,
    pub(super) deck_length: Option<f64>,
    /// Length of what lies level behind the deck.
    pub(super) level_after: Option<f64>,
}

/// The way as a chain, with the names of its pieces.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    pub(super) chain: Chain,
    pub(super) surfaces: Vec<Surface>,
    /// Where the level ground ends.
    pub(super) foot: Vector,
    /// How far along the last piece a wheel may go, if there is an end.
    pub(super) last_length: Option<f64>,
    /// Steepest slope less least slope, radians.
    pub(super) spread: f64,
}

impl Ground {
    pub(super) fn new(way: &WayNumbers) -> Result<Self, ClearingError> {
        check(way)?;
        let (mut corners, end) = slopes(way);
        if let Some(laid) = way.laid {
            corners = lay(&corners, end, laid)?;
        }
        let foot = corners.first().map_or(Vector::new(0.0, 0.0), |c| c.0);
        let mut points = vec![Vector::new(foot.x - FAR, 0.0)];
        let mut surfaces = vec![Surface::Ground];
        points.extend(corners.iter().map(|corner| corner.0));
        surfaces.extend(corners.iter().map(|corner| corner.1));
        points.push(end);
        let chain = Chain::new(&points, |_, _| 0);
        let angles = || chain.pieces.iter().map(|p| p.along.z.atan2(p.along.x));
        let spread = angles().fold(0.0, f64::max) - angles().fold(0.0, f64::min);
        if spread > WIDEST_SPREAD {
            return Err(ClearingError::TooSteep { angle: spread });
        }
        Ok(Self {
            chain,
            surfaces,
            foot,
            last_length: way.level_after.or(way.deck_length),
            spread,
        })
    }

    /// Whether a crest lies at the beginning of a piece.
    pub(super) fn crest_before(&self, piece: usize) -> bool {
        let start = self.chain.pieces.get(piece).map(|piece| piece.start);
        start.is_none_or(|start| self.chain.crests.contains(&start))
    }

    /// The two surfaces that meet in a crest.
    pub(super) fn beside_crest(&self, crest: usize) -> Option<(Surface, Surface)> {
        let corner = self.chain.crests.get(crest)?;
        let right = self
            .chain
            .pieces
            .iter()
            .position(|piece| piece.start == *corner)?;
        let before = self.surfaces.get(right.checked_sub(1)?)?;
        Some((*before, *self.surfaces.get(right)?))
    }
}

/// Between the steepest slope up and the steepest slope down. Beyond a right angle two wheels could
/// stand in two ways.
const WIDEST_SPREAD: f64 = 80.0 * std::f64::consts::PI / 180.0;

fn check(way: &WayNumbers) -> Result<(), ClearingError> {
    let steep = |angle: f64| !(0.0..=WIDEST_SPREAD).contains(&angle);
    let tail = way.tail.unwrap_or((1.0, 0.0));
    let slope = way.laid.map_or(0.1, |laid| laid.slope);
    for angle in [way.tilt, tail.1, slope] {
        if steep(angle) {
            return Err(ClearingError::TooSteep { angle });
        }
    }
    let laid = way.laid.unwrap_or(LaidRamp {
        height: 1.0,
        slope: 0.1,
        top: 0.0,
    });
    for (what, length) in [
        ("length of the tail", tail.0),
        ("length of the deck", way.deck_length.unwrap_or(1.0)),
        ("length of the level deck", way.level_after.unwrap_or(1.0)),
        ("height of the laid ramp", laid.height),
        ("slope of the laid ramp", slope),
    ] {
        if !(length > 0.0 && length < FAR / 2.0) {
            return Err(ClearingError::OutOfRange {
                what,
                value: length,
            });
        }
    }
    if !(laid.top >= 0.0 && laid.top < FAR / 2.0) {
        return Err(ClearingError::OutOfRange {
            what: "length of the laid ramp's top",
            value: laid.top,
        });
    }
    match (way.level_after, way.deck_length) {
        (Some(_), None) => Err(ClearingError::LevelDeckWithoutLength),
        _ => Ok(()),
    }
}

/// Corners from the foot on, each with the surface that begins there, and a far point of the last.
fn slopes(way: &WayNumbers) -> (Vec<(Vector, Surface)>, Vector) {
    let mut at = Vector::new(0.0, 0.0);
    let mut corners = Vec::with_capacity(6);
    if let Some((length, angle)) = way.tail {
        corners.push((at, Surface::Tail));
        at = at + Vector::at_angle(angle) * length;
    }
    corners.push((at, Surface::Deck));
    let mut last_angle = way.tilt;
    if let (Some(length), Some(_)) = (way.deck_length, way.level_after) {
        at = at + Vector::at_angle(way.tilt) * length;
        corners.push((at, Surface::LevelDeck));
        last_angle = 0.0;
    }
    (corners, at + Vector::at_angle(last_angle) * FAR)
}

/// Puts a laid ramp before the foot, up to where the slope behind has reached its height.
fn lay(
    corners: &[(Vector, Surface)],
    end: Vector,
    laid: LaidRamp,
) -> Result<Vec<(Vector, Surface)>, ClearingError> {
    let ends = corners.iter().skip(1).map(|corner| corner.0).chain([end]);
    let height = laid.height;
    // The corner behind is left out where the top reaches it to the micrometre.
    let Some((behind, (start, surface), stop)) = corners
        .iter()
        .zip(ends)
        .enumerate()
        .map(|(index, (corner, stop))| (index + 1, *corner, stop))
        .find(|(_, _, stop)| stop.z > height + 1e-6)
    else {
        return Err(ClearingError::LaidRampTooHigh { height });
    };
    let part = ((height - start.z) / (stop.z - start.z)).max(0.0);
    let meets = start.x + (stop.x - start.x) * part;
    let edge = meets - laid.top;
    let begins = edge - height / laid.slope.tan();
    if begins >= 0.0 {
        return Err(ClearingError::LaidRampHidden);
    }
    let mut with = vec![(Vector::new(begins, 0.0), Surface::LaidSlope)];
    if laid.top > 1e-6 {
        with.push((Vector::new(edge, height), Surface::LaidTop));
    }
    with.push((Vector::new(meets, height), surface));
    with.extend(corners.iter().skip(behind).copied());
    Ok(with)
}
