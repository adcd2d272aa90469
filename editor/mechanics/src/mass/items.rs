//! Mass and centre of gravity after something is fitted or removed.
//!
//! # Free body
//! The vehicle's weight M acts at its centre of gravity, each item's weight mᵢ at its own place; a
//! removed item counts as a weight that acts upward. The sum acts where the moments balance:
//!
//! - mass M′ = M ± Σ mᵢ
//! - place x′ = (M·x ± Σ mᵢ·xᵢ) / M′, likewise y and z.
//!
//! This is the weight-and-moment method from a datum of NAVEDTRA 14233 (ch. 4), read, and of vehicle
//! lift balancing sheets, read second-hand.
//!
//! # Valid for
//! Any number of items, anywhere, also outside the wheelbase. A coordinate that one of the parts
//! lacks stays unknown in the whole. Springs settle under a fitted item; heights here do not.

use super::error::{MassError, Quantity, check_finite, check_positive, finite, positive};
use crate::propagation::Tracked;

/// Mass and centre of gravity of a vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Mass, kilograms.
    pub mass: Tracked,
    /// Metres behind the front axle.
    pub x: Tracked,
    /// Metres to the vehicle's right, if known.
    pub y: Option<Tracked>,
    /// Metres above the ground, if known.
    pub z: Option<Tracked>,
}

/// Whether an item comes or goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Change {
    /// It was not there and now is.
    Fitted,
    /// It was there and now is not.
    Removed,
}

impl Change {
    fn sign(self) -> f64 {
        match self {
            Self::Fitted => 1.0,
            Self::Removed => -1.0,
        }
    }
}

/// Something fitted or removed, with its mass and the place of its own centre of gravity.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Whether it comes or goes.
    pub change: Change,
    /// Mass, kilograms, more than zero either way.
    pub mass: Tracked,
    /// Metres behind the front axle; negative ahead of it.
    pub x: Tracked,
    /// Metres to the vehicle's right, if known.
    pub y: Option<Tracked>,
    /// Metres above the ground, if known.
    pub z: Option<Tracked>,
}

/// Fits and removes items, all at once.
///
/// # Errors
/// Masses that are not more than zero, more mass removed than there is, a centre of gravity that would
/// come to lie on or under the ground, and anything that is not finite.
pub fn with_items(body: &Body, items: &[Item]) -> Result<Body, MassError> {
    check_body(body)?;
    for (index, item) in items.iter().enumerate() {
        check_item(index, item)?;
    }
    let signed = || items.iter().map(|item| (item.change.sign(), &item.mass));
    let mass = Tracked::weighted_sum(std::iter::once((1.0, &body.mass)).chain(signed()));
    if mass.value() <= 0.0 {
        let left = mass.value();
        return Err(MassError::RemovesTooMuch { left });
    }
    let mass = finite(mass, Quantity::TotalMass)?;
    let place = |of_body: Option<&Tracked>, of_item: fn(&Item) -> Option<&Tracked>| {
        shared_place(body, of_body, items, of_item).map(|moment| moment / &mass)
    };
    let x = place(Some(&body.x), |item| Some(&item.x)).unwrap_or_else(|| body.x.clone());
    let y = place(body.y.as_ref(), |item| item.y.as_ref());
    let z = place(body.z.as_ref(), |item| item.z.as_ref());
    Ok(Body {
        x: finite(x, Quantity::DistanceBehindFrontAxle)?,
        y: y.map(|y| finite(y, Quantity::LateralOffset)).transpose()?,
        z: z.map(|z| positive(z, Quantity::Height)).transpose()?,
        mass,
    })
}

/// Returns the moment about one plane, or `None` where a part's place is unknown.
fn shared_place(
    body: &Body,
    of_body: Option<&Tracked>,
    items: &[Item],
    of_item: fn(&Item) -> Option<&Tracked>,
) -> Option<Tracked> {
    let mut moment = &body.mass * of_body?;
    for item in items {
        moment = moment + item.change.sign() * (&item.mass * of_item(item)?);
    }
    Some(moment)
}

fn check_body(body: &Body) -> Result<(), MassError> {
    check_positive(&body.mass, Quantity::TotalMass)?;
    check_finite(&body.x, Quantity::DistanceBehindFrontAxle)?;
    if let Some(y) = &body.y {
        check_finite(y, Quantity::LateralOffset)?;
    }
    if let Some(z) = &body.z {
        check_positive(z, Quantity::Height)?;
    }
    Ok(())
}

fn check_item(index: usize, item: &Item) -> Result<(), MassError> {
    check_positive(&item.mass, Quantity::ItemMass(index))?;
    let places = [Some(&item.x), item.y.as_ref(), item.z.as_ref()];
    for place in places.into_iter().flatten() {
        check_finite(place, Quantity::ItemPlace(index))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

    use super::super::axle_loads::axle_loads;
    use super::super::testing::{Bench, close, exact};
    use super::*;
    use proptest::prelude::*;

    fn plain_body(mass: f64, x: f64, y: f64, z: f64) -> Body {
        Body {
            mass: exact(mass),
            x: exact(x),
            y: Some(exact(y)),
            z: Some(exact(z)),
        }
    }

    fn plain_item(change: Change, mass: f64, x: f64, y: f64, z: f64) -> Item {
        Item {
            change,
            mass: exact(mass),
            x: exact(x),
            y: Some(exact(y)),
            z: Some(exact(z)),
        }
    }

    /// Rear-mounted lift on a two-axle truck: front axle 3800 lb, wheelbase 131 in, overhang 96 in,
    /// pull 2592 lb. Trade source, read second-hand; the loads are arithmetic from the formula.
    #[test]
    fn a_load_behind_the_rear_axle_unloads_the_front() {
        let (front, rear, wheelbase) = (3800.0, 6000.0, 131.0);
        let mass = front + rear;
        let truck = plain_body(mass, wheelbase * rear / mass, 0.0, 40.0);
        for (pull, front_after, rear_rise) in
            [(2592.0, 1900.52, 4491.48), (1500.0, 2700.76, 2599.24)]
        {
            let towed = plain_item(Change::Fitted, pull, wheelbase + 96.0, 0.0, 20.0);
            let loaded = with_items(&truck, &[towed]).unwrap();
            let loads = axle_loads(&loaded.mass, &loaded.x, &exact(wheelbase)).unwrap();
            close(loads.front.value(), front_after, 0.01);
            close(loads.rear.value() - rear, rear_rise, 0.01);
        }
    }

    /// Arithmetic from the formula, no citation: 1541 kg at (1.0897, -0.0203, 0.5545) and 100 kg.
    #[test]
    fn every_coordinate_moves_toward_a_fitted_item() {
        let car = plain_body(1541.0, 1.0897, -0.0203, 0.5545);
        let item = plain_item(Change::Fitted, 100.0, 3.0, 0.4, 1.2);
        let loaded = with_items(&car, &[item]).unwrap();
        close(loaded.mass.value(), 1641.0, 1e-12);
        close(loaded.x.value(), (1541.0 * 1.0897 + 300.0) / 1641.0, 1e-12);
        let y = (1541.0 * -0.0203 + 40.0) / 1641.0;
        close(loaded.y.unwrap().value(), y, 1e-12);
        let z = (1541.0 * 0.5545 + 120.0) / 1641.0;
        close(loaded.z.unwrap().value(), z, 1e-12);
    }

    #[test]
    fn a_coordinate_that_one_part_lacks_is_unknown_in_the_whole() {
        let car = plain_body(1541.0, 1.0897, -0.0203, 0.5545);
        let mut item = plain_item(Change::Fitted, 100.0, 3.0, 0.4, 1.2);
        item.z = None;
        let loaded = with_items(&car, &[item.clone()]).unwrap();
        assert!(loaded.y.is_some() && loaded.z.is_none());
        let without_height = Body { z: None, ..car };
        item.z = Some(exact(1.2));
        let loaded = with_items(&without_height, &[item]).unwrap();
        assert!(loaded.y.is_some() && loaded.z.is_none());
    }

    #[test]
    fn impossible_items_are_refused_with_their_place() {
        let car = plain_body(1541.0, 1.0897, -0.0203, 0.5545);
        let remove = |mass: f64, z: f64| plain_item(Change::Removed, mass, 1.0, 0.0, z);
        let good = remove(10.0, 0.5);
        for mass in [0.0, -5.0] {
            let expected = MassError::NotPositive {
                quantity: Quantity::ItemMass(1),
                value: mass,
            };
            let items = [good.clone(), remove(mass, 0.5)];
            assert_eq!(with_items(&car, &items), Err(expected));
        }
        assert_eq!(
            with_items(&car, &[remove(1541.0, 0.5)]),
            Err(MassError::RemovesTooMuch { left: 0.0 })
        );
        let under_ground = with_items(&car, &[remove(1000.0, 1.0)]);
        let quantity = Quantity::Height;
        assert!(
            matches!(under_ground, Err(MassError::NotPositive { quantity: q, .. }) if q == quantity),
            "{under_ground:?}"
        );
        let quantity = Quantity::ItemPlace(0);
        let nowhere = plain_item(Change::Fitted, 5.0, 1.0, f64::NAN, 1.0);
        assert_eq!(
            with_items(&car, &[nowhere]),
            Err(MassError::NotFinite { quantity })
        );
    }

    proptest! {
        #[test]
        fn fitting_and_removing_the_same_item_changes_nothing(
            mass in 1.0..900.0f64, x in -2.0..6.0f64, y in -1.0..1.0f64, z in 0.1..2.0f64,
        ) {
            let mut bench = Bench::default();
            let car = Body {
                mass: bench.input(1541.0, 4.0),
                x: bench.input(1.0897, 0.003),
                y: Some(bench.input(-0.0203, 0.002)),
                z: Some(bench.input(0.5545, 0.024)),
            };
            let mut item = Item {
                change: Change::Fitted,
                mass: bench.input(mass, 0.5),
                x: bench.input(x, 0.01),
                y: Some(bench.input(y, 0.01)),
                z: Some(bench.input(z, 0.01)),
            };
            let loaded = with_items(&car, std::slice::from_ref(&item)).unwrap();
            item.change = Change::Removed;
            let back = with_items(&loaded, &[item]).unwrap();
            let same = |a: &Tracked, b: &Tracked| {
                (a - b).value().abs() < 1e-9 && (a - b).u() < 1e-9
            };
            prop_assert!(same(&back.mass, &car.mass) && same(&back.x, &car.x));
            prop_assert!(same(&back.y.unwrap(), &car.y.unwrap()));
            prop_assert!(same(&back.z.unwrap(), &car.z.unwrap()));
        }

        #[test]
        fn the_order_of_items_does_not_matter(
            masses in prop::collection::vec((1.0..90.0f64, -2.0..6.0f64), 2..6),
        ) {
            let car = plain_body(1541.0, 1.0897, -0.0203, 0.5545);
            let mut items: Vec<_> = masses
                .iter()
                .map(|&(mass, x)| plain_item(Change::Fitted, mass, x, 0.1, 0.7))
                .collect();
            let forward = with_items(&car, &items).unwrap();
            items.reverse();
            let backward = with_items(&car, &items).unwrap();
            prop_assert!((forward.x.value() - backward.x.value()).abs() < 1e-12);
            prop_assert!((forward.mass.value() - backward.mass.value()).abs() < 1e-9);
        }
    }

    #[test]
    fn no_items_leave_the_vehicle_as_it_was() {
        let car = plain_body(1541.0, 1.0897, -0.0203, 0.5545);
        let same = with_items(&car, &[]).unwrap();
        close(same.x.value(), 1.0897, 1e-15);
        close(same.z.unwrap().value(), 0.5545, 1e-15);
    }
}
