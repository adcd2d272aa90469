//! A layout: straps between holds and anchors, and the legs that they make.

use chockstone_mechanics::{
    propagation::Tracked,
    securing::{Leg, TyreStrap, weakest_part},
    uncertain::COVERAGE_FACTOR,
};

use super::parts::{Anchor, Hold, Parts, Tie};
use crate::fit::{
    carrying::missing_of,
    work::{Known, refused},
};

/// One strap or chain: what, from where, to one anchor, or over a tyre to one ahead and one behind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Strap {
    /// Index of the straps or chains.
    pub(super) tie: usize,
    /// Index of the hold.
    pub(super) hold: usize,
    /// Indices of the anchors.
    pub(super) anchors: Vec<usize>,
}

/// A straight leg of a strap.
pub(super) struct BuiltLeg<'p, 'a> {
    pub(super) hold: &'p Hold<'a>,
    pub(super) anchor: &'p Anchor<'a>,
    pub(super) tie: &'p Tie<'a>,
    pub(super) from: [Tracked; 3],
    pub(super) to: [Tracked; 3],
    /// The weakest of strap, point and anchor, N.
    pub(super) limit: Known,
    /// What is weakest, with its place.
    pub(super) weakest: String,
}

impl Strap {
    /// The parts that it is made of, when its indices are those of `parts`.
    fn parts<'p, 'a>(&self, parts: &'p Parts<'a>) -> Option<(&'p Tie<'a>, &'p Hold<'a>)> {
        Some((parts.ties.get(self.tie)?, parts.holds.get(self.hold)?))
    }

    /// Its straight legs, or why the strap cannot run so.
    pub(super) fn legs<'p, 'a>(
        &self,
        parts: &'p Parts<'a>,
    ) -> Result<Vec<BuiltLeg<'p, 'a>>, Vec<String>> {
        let Some((tie, hold)) = self.parts(parts) else {
            return Ok(Vec::new());
        };
        self.anchors
            .iter()
            .filter_map(|index| parts.anchors.get(*index))
            .map(|anchor| built(tie, hold, anchor))
            .collect()
    }

    /// What the whole may carry: the weakest of strap, point and all its anchors.
    pub(super) fn limit(&self, parts: &Parts<'_>) -> Known {
        let Some((tie, hold)) = self.parts(parts) else {
            return Err(Vec::new());
        };
        let anchors = self.anchors.iter().filter_map(|i| parts.anchors.get(*i));
        let limits: Vec<&Known> = std::iter::once(&tie.limit)
            .chain(&hold.rating)
            .chain(anchors.map(|anchor| &anchor.limit))
            .collect();
        least(&limits).map(|(_, limit)| limit)
    }

    /// The least rating of its point and anchors at the lower end, where all are known; for searches.
    pub(super) fn low_of_others(&self, parts: &Parts<'_>) -> Option<f64> {
        let (_, hold) = self.parts(parts)?;
        let anchors = self.anchors.iter().filter_map(|i| parts.anchors.get(*i));
        let limits = hold
            .rating
            .iter()
            .chain(anchors.map(|anchor| &anchor.limit));
        limits
            .map(|limit| limit.as_ref().ok().map(low))
            .try_fold(f64::INFINITY, |least, limit| Some(least.min(limit?)))
    }

    /// Its straight legs as plain places; `None` when the strap cannot run so, or pulls a point in a direction that it
    /// does not allow.
    pub(super) fn plain(&self, parts: &Parts<'_>) -> Option<Vec<[[f64; 3]; 2]>> {
        let (_, hold) = self.parts(parts)?;
        let mut legs = Vec::with_capacity(self.anchors.len());
        for anchor in self.anchors.iter().map(|index| parts.anchors.get(*index)) {
            let anchor = anchor?;
            let [from, to] = match &hold.radius {
                None => [values(&hold.place), values(&anchor.place)],
                Some(radius) => {
                    let exact =
                        over_tyre(&plain(&hold.place), radius, &plain(&anchor.place)).ok()?;
                    [values(&exact.from), values(&exact.to)]
                }
            };
            let direction = [0, 1, 2].map(|axis: usize| {
                to.get(axis).copied().unwrap_or(0.0) - from.get(axis).copied().unwrap_or(0.0)
            });
            if !is_allowed(hold, direction) {
                return None;
            }
            legs.push([from, to]);
        }
        (!legs.is_empty()).then_some(legs)
    }

    /// The length that it takes between its anchors or to its point, m: the straight legs, and over a tyre the arc
    /// between the two places where they leave it. Fittings and tensioner are not counted.
    pub(super) fn length(&self, parts: &Parts<'_>, legs: &[[[f64; 3]; 2]]) -> Option<f64> {
        let (_, hold) = self.parts(parts)?;
        let [cx, _, cz] = values(&hold.place);
        let of_leg = |[[fx, fy, fz], [tx, ty, tz]]: &[[f64; 3]; 2]| {
            let straight = (tx - fx).hypot(ty - fy).hypot(tz - fz);
            let arc = hold.radius.as_ref().map_or(0.0, |radius| {
                radius.value() * (fx - cx).abs().atan2(fz - cz)
            });
            straight + arc
        };
        Some(legs.iter().map(of_leg).sum())
    }
}

/// Whether a point allows a direction; wheels allow every one.
pub(super) fn is_allowed(hold: &Hold<'_>, direction: [f64; 3]) -> bool {
    chockstone_mechanics::winching::nearest_cone(direction, &hold.cones)
        .is_ok_and(|fit| fit.is_none_or(chockstone_mechanics::winching::ConeFit::is_inside))
}

fn built<'p, 'a>(
    tie: &'p Tie<'a>,
    hold: &'p Hold<'a>,
    anchor: &'p Anchor<'a>,
) -> Result<BuiltLeg<'p, 'a>, Vec<String>> {
    let leg = match &hold.radius {
        None => Leg {
            from: hold.place.clone(),
            to: anchor.place.clone(),
            limit: Tracked::exact(1.0),
        },
        Some(radius) => over_tyre(&hold.place, radius, &anchor.place)?,
    };
    let mut limits = vec![(&tie.limit, &tie.pointer)];
    limits.extend(hold.rating.as_ref().map(|rating| (rating, &hold.pointer)));
    limits.push((&anchor.limit, &anchor.pointer));
    let values: Vec<&Known> = limits.iter().map(|(limit, _)| *limit).collect();
    let (limit, weakest) = match least(&values) {
        Ok((index, limit)) => {
            let place = limits
                .get(index)
                .map_or_else(String::new, |(_, place)| (*place).clone());
            (Ok(limit), place)
        }
        Err(sentences) => (Err(sentences), String::new()),
    };
    Ok(BuiltLeg {
        hold,
        anchor,
        tie,
        from: leg.from,
        to: leg.to,
        limit,
        weakest,
    })
}

/// The leg over a tyre to one anchor: the other end is taken at the same distance on the other side of the wheel.
fn over_tyre(
    centre: &[Tracked; 3],
    radius: &Tracked,
    anchor: &[Tracked; 3],
) -> Result<Leg, Vec<String>> {
    let [cx, _, _] = centre;
    let [ax, ay, az] = anchor;
    let opposite = [cx * 2.0 - ax, ay.clone(), az.clone()];
    let is_ahead = ax.value() < cx.value();
    let (ahead, behind) = if is_ahead {
        (anchor.clone(), opposite)
    } else {
        (opposite, anchor.clone())
    };
    let strap = TyreStrap {
        centre: centre.clone(),
        radius: radius.clone(),
        ahead,
        behind,
        limit: Tracked::exact(1.0),
    };
    let [first, second] = strap.legs().map_err(|error| refused(&error))?;
    Ok(if is_ahead { first } else { second })
}

/// The least of limits that are all known, with its index.
fn least(limits: &[&Known]) -> Result<(usize, Tracked), Vec<String>> {
    let missing = missing_of(limits);
    if !missing.is_empty() {
        return Err(missing);
    }
    let known: Vec<Tracked> = limits
        .iter()
        .filter_map(|l| l.as_ref().ok().cloned())
        .collect();
    weakest_part(&known)
        .map(|(index, limit)| (index, limit.clone()))
        .map_err(|error| refused(&error))
}

/// The numbers of a place.
pub(super) fn values([x, y, z]: &[Tracked; 3]) -> [f64; 3] {
    [x.value(), y.value(), z.value()]
}

fn plain(place: &[Tracked; 3]) -> [Tracked; 3] {
    values(place).map(Tracked::exact)
}

/// The least that a number can be at about 95 %.
pub(super) fn low(number: &Tracked) -> f64 {
    COVERAGE_FACTOR.mul_add(-number.u(), number.value())
}

/// The most that a number can be at about 95 %.
pub(super) fn high(number: &Tracked) -> f64 {
    COVERAGE_FACTOR.mul_add(number.u(), number.value())
}
