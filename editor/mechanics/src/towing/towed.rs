//! The towed vehicle: what hangs on the lift, and what the axle that stays down carries.

use super::error::{TowingError, TowingField, check_finite, check_positive};
use crate::propagation::Tracked;

/// A vehicle that is lifted at one axle, in its own frame. Kilograms and metres.
///
/// # The point about which it turns
/// Heights in [`TowedVehicle::lifted`] count from the point through which the ground's force on the
/// wheels that stay down passes. Wheels that roll freely turn about their own centre. Wheels that cannot
/// turn against the body (parking brake, pawl, strapped to dollies) turn about their contact with the
/// ground or the dolly. Counted from the contact the lift gets the least and the axle that stays down
/// the most, so that is the side to take for dollies.
#[derive(Debug, Clone, PartialEq)]
pub struct TowedVehicle {
    /// Its mass.
    pub mass: Tracked,
    /// Its centre of gravity behind its front axle.
    pub centre: Tracked,
    /// Its rear axle behind its front axle.
    pub wheelbase: Tracked,
}

/// Which axle hangs on the lift.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LiftedAxle {
    /// The front axle.
    Front,
    /// The rear axle.
    Rear,
}

impl LiftedAxle {
    /// Returns the axle that stays down.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Front => Self::Rear,
            Self::Rear => Self::Front,
        }
    }
}

/// How a lifted vehicle's mass is shared, kilograms.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftLoads {
    /// On the lift.
    pub lift: Tracked,
    /// On the axle that stays down: on the ground or on dollies.
    pub down: Tracked,
}

impl TowedVehicle {
    /// Computes the loads with the vehicle level: those of its axles.
    ///
    /// # Errors
    /// A mass or wheelbase that is not more than zero, a centre of gravity outside the axles, and anything
    /// that is not finite.
    pub fn level(&self, lifted: LiftedAxle) -> Result<LiftLoads, TowingError> {
        let zero = Tracked::exact(0.0);
        self.lifted(lifted, &zero, &zero, &zero)
    }

    /// Computes the loads with one axle lifted by an angle in radians.
    ///
    /// P = m·(b − h·tan φ) / (L − h_l·tan φ). `centre_height` is h and `lift_point_height` is h_l, metres
    /// above the point about which the vehicle turns; with a wheel lift the latter is zero.
    ///
    /// # Errors
    /// What [`TowedVehicle::level`] refuses, an angle at which the vehicle would tip over the axle that
    /// stays down, and anything that is not finite.
    pub fn lifted(
        &self,
        lifted: LiftedAxle,
        angle: &Tracked,
        centre_height: &Tracked,
        lift_point_height: &Tracked,
    ) -> Result<LiftLoads, TowingError> {
        self.check()?;
        check_finite(angle, TowingField::LiftHeight)?;
        check_finite(centre_height, TowingField::CentreHeight)?;
        check_finite(lift_point_height, TowingField::LiftPointHeight)?;
        let to_down = match lifted {
            LiftedAxle::Front => &self.wheelbase - &self.centre,
            LiftedAxle::Rear => self.centre.clone(),
        };
        let slope = angle.tan();
        let arm = to_down - centre_height * &slope;
        let span = &self.wheelbase - lift_point_height * &slope;
        let upright = angle.value().abs() < std::f64::consts::FRAC_PI_2;
        if !upright || arm.value() < 0.0 || span.value() <= 0.0 {
            let angle = angle.value();
            return Err(TowingError::WouldTip { angle });
        }
        let lift = &self.mass * arm / span;
        check_finite(&lift, TowingField::LiftLoad)?;
        let down = &self.mass - &lift;
        Ok(LiftLoads { lift, down })
    }

    fn check(&self) -> Result<(), TowingError> {
        check_positive(&self.mass, TowingField::TowedMass)?;
        check_positive(&self.wheelbase, TowingField::TowedWheelbase)?;
        check_finite(&self.centre, TowingField::TowedCentre)?;
        let (centre, wheelbase) = (self.centre.value(), self.wheelbase.value());
        if centre < 0.0 || centre > wheelbase {
            return Err(TowingError::CentreOutsideAxles { centre, wheelbase });
        }
        Ok(())
    }
}

/// Computes the angle of a vehicle whose one axle stands higher than the other: sin φ = rise / L.
///
/// `rise` in metres, the lift height less what dollies raise the other axle by; the angle in radians.
///
/// # Errors
/// A wheelbase that is not more than zero, a rise of the wheelbase or more, and what is not finite.
pub fn lift_angle(rise: &Tracked, wheelbase: &Tracked) -> Result<Tracked, TowingError> {
    check_positive(wheelbase, TowingField::TowedWheelbase)?;
    check_finite(rise, TowingField::LiftHeight)?;
    if rise.value().abs() >= wheelbase.value() {
        return Err(TowingError::LiftBeyondWheelbase {
            rise: rise.value(),
            wheelbase: wheelbase.value(),
        });
    }
    Ok((rise / wheelbase).asin())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::*;
    use crate::carrying::testing::{Bench, INCH, POUND, close, exact};
    use proptest::prelude::*;

    fn car(mass: f64, centre: f64, wheelbase: f64) -> TowedVehicle {
        TowedVehicle {
            mass: exact(mass),
            centre: exact(centre),
            wheelbase: exact(wheelbase),
        }
    }

    fn lifted(car: &TowedVehicle, axle: LiftedAxle, degrees: f64, height: f64) -> LiftLoads {
        let angle = exact(degrees.to_radians());
        car.lifted(axle, &angle, &exact(height), &exact(0.0))
            .unwrap()
    }

    /// Arithmetic from the formula, no citation: 1500 kg, wheelbase 2.7 m, centre 1.2 m from the axle
    /// that stays down and 0.5 m high, lifted by 8 degrees.
    #[test]
    fn lifting_moves_weight_toward_the_axle_that_stays_down() {
        for (axle, centre) in [(LiftedAxle::Rear, 1.2), (LiftedAxle::Front, 1.5)] {
            let car = car(1500.0, centre, 2.7);
            let level = car.level(axle).unwrap();
            close(level.lift.value(), 666.7, 0.05);
            close(level.down.value(), 833.3, 0.05);
            close(lifted(&car, axle, 8.0, 0.5).lift.value(), 627.6, 0.05);
        }
    }

    /// A lift point above the rolling contact shortens the span: 1500·(1.2 − 0.5·t) / (2.7 − 0.3·t) with
    /// t = tan 8°; arithmetic from the formula, no citation.
    #[test]
    fn a_high_lift_point_shortens_the_span() {
        let car = car(1500.0, 1.2, 2.7);
        let angle = exact(8f64.to_radians());
        let loads = car.lifted(LiftedAxle::Rear, &angle, &exact(0.5), &exact(0.3));
        close(loads.unwrap().lift.value(), 637.584, 5e-3);
    }

    #[test]
    fn the_angle_comes_from_rise_and_wheelbase() {
        let angle = lift_angle(&exact(12.0 * INCH), &exact(145.0 * INCH)).unwrap();
        close(angle.value().sin(), 12.0 / 145.0, 1e-12);
        close(
            lift_angle(&exact(0.0), &exact(2.0)).unwrap().value(),
            0.0,
            0.0,
        );
        let error = lift_angle(&exact(3.0), &exact(2.7)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "one axle is lifted 3.000 m above the other, which is not less than the wheelbase of 2.700 m; \
             check the lift height"
        );
    }

    #[test]
    fn impossible_attitudes_are_refused() {
        let tall = car(1500.0, 0.3, 2.7);
        let steep = exact(50f64.to_radians());
        let tipped = tall.lifted(LiftedAxle::Rear, &steep, &exact(1.0), &exact(0.0));
        assert!(matches!(tipped, Err(TowingError::WouldTip { .. })));
        let outside = car(1500.0, 3.0, 2.7).level(LiftedAxle::Front);
        assert!(matches!(
            outside,
            Err(TowingError::CentreOutsideAxles { .. })
        ));
        assert!(car(0.0, 1.0, 2.7).level(LiftedAxle::Front).is_err());
        assert!(car(1500.0, f64::NAN, 2.7).level(LiftedAxle::Rear).is_err());
    }

    proptest! {
        #[test]
        fn lift_and_axle_share_the_whole_mass(
            part in 0.2..0.8f64, degrees in -5.0..12.0f64, height in 0.3..0.9f64,
        ) {
            let mut bench = Bench::default();
            let vehicle = TowedVehicle {
                mass: bench.input(7120.0 * POUND, 4.0),
                centre: bench.input(part * 3.683, 0.01),
                wheelbase: bench.input(3.683, 0.003),
            };
            let angle = bench.input(degrees.to_radians(), 0.002);
            let height = bench.input(height, 0.02);
            for axle in [LiftedAxle::Front, LiftedAxle::Rear] {
                let loads = vehicle.lifted(axle, &angle, &height, &exact(0.0)).unwrap();
                let rest = &loads.lift + &loads.down - &vehicle.mass;
                prop_assert!(rest.value().abs() < 1e-9 && rest.u() < 1e-9);
            }
        }

        #[test]
        fn either_end_of_a_vehicle_is_the_other_end_of_its_mirror(
            part in 0.2..0.8f64, degrees in 0.0..10.0f64,
        ) {
            let one = lifted(&car(2000.0, part * 3.0, 3.0), LiftedAxle::Front, degrees, 0.6);
            let mirror = car(2000.0, 3.0 - part * 3.0, 3.0);
            let other = lifted(&mirror, LiftedAxle::Rear, degrees, 0.6);
            prop_assert!((one.lift.value() - other.lift.value()).abs() < 1e-9);
        }

        #[test]
        fn the_higher_the_lift_the_less_hangs_on_it(
            part in 0.3..0.7f64, degrees in 0.0..8.0f64, more in 0.1..5.0f64,
        ) {
            let car = car(2000.0, part * 3.0, 3.0);
            let lift = |degrees: f64| lifted(&car, LiftedAxle::Rear, degrees, 0.6).lift.value();
            prop_assert!(lift(degrees + more) < lift(degrees));
            prop_assert!(lift(degrees) <= car.level(LiftedAxle::Rear).unwrap().lift.value());
        }
    }
}
