//! The share of each support if all give alike.

use super::place::{Flat, Spot};
use super::polygon::{Numbered, flatness};
use crate::propagation::Tracked;

/// A load this small beside the whole, and below zero, is a rounding error and no pull.
const ROUNDING: f64 = 1e-9;

/// Returns the load of each support in kilograms and whether it bears; those lifted off carry zero.
///
/// `None` where no set of supports can hold the centre, or all lie on one line.
pub(super) fn equal_shares(
    mass: &Tracked,
    centre: &Spot,
    supports: &[Spot],
    numbered: &Numbered,
) -> Option<Vec<(Tracked, bool)>> {
    let bearing = bearing_set(centre.flat(), numbered)?;
    let bears = |index: usize| bearing & (1 << index) != 0;
    let borne = supports.iter().enumerate().filter(|(i, _)| bears(*i));
    let borne: Vec<&Spot> = borne.map(|(_, support)| support).collect();
    let mut loads = plane_loads(mass, centre, &borne).into_iter();
    Some(
        (0..supports.len())
            .map(|index| {
                let load = bears(index).then(|| loads.next()).flatten();
                (load.unwrap_or(Tracked::exact(0.0)), bears(index))
            })
            .collect(),
    )
}

/// Finds the supports that bear, as a set of bits.
///
/// Loads on springs that only press make the stored energy Σ F² / 2k least among all loads that
/// balance, and they lie in one plane on the supports that bear. So the set whose plane only presses,
/// with the least energy, is the answer; at most 2⁸ sets are tried, and mostly one.
fn bearing_set(centre: Flat, supports: &Numbered) -> Option<u32> {
    let all = (1u32 << supports.len()) - 1;
    if energy(centre, supports, all).is_some() {
        return Some(all);
    }
    (0..all)
        .filter(|set| set.count_ones() >= 3)
        .filter_map(|set| Some((energy(centre, supports, set)?, set)))
        .min_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, set)| set)
}

/// Returns Σ F² of the unit load on the supports of a set, or `None` where one would have to pull.
fn energy(centre: Flat, supports: &Numbered, set: u32) -> Option<f64> {
    let chosen = supports.iter().filter(|(i, _)| set & (1 << i) != 0);
    let chosen: Vec<Flat> = chosen.map(|(_, spot)| *spot).collect();
    let plane = Plane::of(&chosen);
    if plane.determinant <= flatness(supports) * (plane.xx + plane.yy) {
        return None;
    }
    let mut energy = 0.0;
    for spot in chosen {
        let load = plane.influence(spot, centre);
        if load < -ROUNDING {
            return None;
        }
        energy += load * load;
    }
    Some(energy)
}

/// The sums over a set of supports that decide their least-squares plane.
struct Plane {
    count: f64,
    middle: Flat,
    xx: f64,
    xy: f64,
    yy: f64,
    determinant: f64,
}

impl Plane {
    fn of(supports: &[Flat]) -> Self {
        let count = supports.len() as f64;
        let middle = Flat {
            x: supports.iter().map(|spot| spot.x).sum::<f64>() / count,
            y: supports.iter().map(|spot| spot.y).sum::<f64>() / count,
        };
        let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
        for spot in supports {
            let (x, y) = (spot.x - middle.x, spot.y - middle.y);
            (xx, xy, yy) = (xx + x * x, xy + x * y, yy + y * y);
        }
        Self {
            count,
            middle,
            xx,
            xy,
            yy,
            determinant: xx * yy - xy * xy,
        }
    }

    /// Returns how the share of a support grows as a unit load moves by a metre along x and y.
    fn slopes(&self, support: Flat) -> Flat {
        let (x, y) = (support.x - self.middle.x, support.y - self.middle.y);
        Flat {
            x: (x * self.yy - y * self.xy) / self.determinant,
            y: (y * self.xx - x * self.xy) / self.determinant,
        }
    }

    /// Returns the share that a support takes of a unit load at a place.
    fn influence(&self, support: Flat, place: Flat) -> f64 {
        let slopes = self.slopes(support);
        1.0 / self.count
            + slopes.x * (place.x - self.middle.x)
            + slopes.y * (place.y - self.middle.y)
    }
}

/// Solves Fᵢ = z + a·xᵢ + b·yᵢ for the three balances, with the slope of each load by each input.
///
/// With hᵢⱼ the share that i takes of a unit load at j, and uᵢ its slope along x:
/// ∂Fᵢ/∂x = W·uᵢ for the centre, and ∂Fᵢ/∂xⱼ = a·(δᵢⱼ − hᵢⱼ) − uᵢ·Fⱼ for the supports.
fn plane_loads(mass: &Tracked, centre: &Spot, supports: &[&Spot]) -> Vec<Tracked> {
    let places: Vec<Flat> = supports.iter().map(|support| support.flat()).collect();
    let plane = Plane::of(&places);
    let (whole, middle) = (mass.value(), centre.flat());
    let loads = places.iter().map(|p| whole * plane.influence(*p, middle));
    let loads: Vec<f64> = loads.collect();
    let tilt = plane.slopes(middle);
    let (a, b) = (whole * tilt.x, whole * tilt.y);
    let load_on = |(i, (place, load)): (usize, (&Flat, &f64))| {
        let own = plane.slopes(*place);
        let of_supports = supports.iter().zip(places.iter().zip(&loads)).enumerate();
        let by_supports = of_supports.flat_map(|(j, (support, (other, other_load)))| {
            let rest = f64::from(u8::from(i == j)) - plane.influence(*place, *other);
            [
                (a * rest - own.x * other_load, &support.x),
                (b * rest - own.y * other_load, &support.y),
            ]
        });
        let by_vehicle = [
            (load / whole, mass),
            (whole * own.x, &centre.x),
            (whole * own.y, &centre.y),
        ];
        pressing(Tracked::from_slopes(
            *load,
            by_vehicle.into_iter().chain(by_supports),
        ))
    };
    places.iter().zip(&loads).enumerate().map(load_on).collect()
}

/// Lifts a load that is below zero only by rounding to zero.
pub(super) fn pressing(load: Tracked) -> Tracked {
    let below = load.value().min(0.0);
    if below < 0.0 { load - below } else { load }
}
