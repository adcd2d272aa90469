//! Low, equal share and high on each support.

use super::bounds::Lifted;
use super::error::{LiftError, LiftQuantity, check_positive, finite};
use super::place::Spot;
use super::polygon::{hull, numbered, size};
use super::shares::{equal_shares, pressing};
use super::stability::stability;
use crate::propagation::Tracked;
use crate::uncertain::Interval;

/// The most supports that loads are computed for.
pub const MAX_SUPPORTS: usize = 8;

/// A centre this little outside, beside the size of the polygon, counts as on its edge.
const ON_THE_EDGE: f64 = 1e-10;

/// What one support carries, kilograms.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportLoad {
    /// The least that balances allow.
    pub low: Tracked,
    /// Its share if all supports give alike.
    pub equal_share: Tracked,
    /// The most that balances allow.
    pub high: Tracked,
    /// Whether it bears if all supports give alike; if not, it has lifted off and carries nothing.
    pub bears: bool,
    /// From the least to the most, each widened by the uncertainty of the inputs (k = 2).
    pub interval: Interval,
}

/// Computes what each of 3 to 8 supports carries, in the order in which they are given.
///
/// `mass` in kilograms, places in metres in one plan frame. With three supports low, equal share and
/// high are one. Uncertain places of supports count too; mirrored supports should share their inputs.
///
/// # Errors
/// A mass that is not more than zero, anything that is not finite, fewer than three supports or more
/// than [`MAX_SUPPORTS`], supports that coincide or all lie on one line, and a centre of gravity
/// outside the support polygon ([`LiftError::CentreOutside`]; [`stability`] still tells by how much).
pub fn support_loads(
    mass: &Tracked,
    centre: &Spot,
    supports: &[Spot],
) -> Result<Vec<SupportLoad>, LiftError> {
    check_positive(mass, LiftQuantity::Mass)?;
    if supports.len() > MAX_SUPPORTS {
        let given = supports.len();
        return Err(LiftError::TooManySupports { given });
    }
    let numbered = numbered(supports)?;
    let edge = stability(centre, supports)?.smallest;
    let (from, to, margin) = (edge.from, edge.to, edge.margin.value());
    let outside = LiftError::CentreOutside { from, to, margin };
    if margin < -ON_THE_EDGE * size(&numbered) {
        return Err(outside);
    }
    let shares = equal_shares(mass, centre, supports, &numbered).ok_or(outside)?;
    let hull = hull(&numbered);
    let lifted = Lifted {
        mass,
        centre,
        supports,
        numbered: &numbered,
        hull: &hull,
    };
    shares
        .into_iter()
        .zip(&numbered)
        .map(|((share, bears), &(index, place))| {
            let quantity = LiftQuantity::Load(index);
            let low = lifted.low(index, place);
            let high = lifted.high(index, place).ok_or(outside)?;
            Ok(SupportLoad {
                low: finite(low.load, quantity)?,
                equal_share: finite(share, quantity)?,
                high: finite(pressing(high.load), quantity)?,
                bears,
                interval: Interval {
                    low: low.cautious,
                    high: high.cautious.max(0.0),
                },
            })
        })
        .collect()
}
