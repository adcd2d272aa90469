//! `+ - * /` and the functions of tracked numbers, each with its derivative.

use super::Tracked;
use std::ops::{Add, Div, Mul, Neg, Sub};

impl Add for &Tracked {
    type Output = Tracked;
    fn add(self, other: Self) -> Tracked {
        self.joined(self.value() + other.value(), 1.0, other, 1.0)
    }
}

impl Sub for &Tracked {
    type Output = Tracked;
    fn sub(self, other: Self) -> Tracked {
        self.joined(self.value() - other.value(), 1.0, other, -1.0)
    }
}

impl Mul for &Tracked {
    type Output = Tracked;
    fn mul(self, other: Self) -> Tracked {
        let (a, b) = (self.value(), other.value());
        self.joined(a * b, b, other, a)
    }
}

impl Div for &Tracked {
    type Output = Tracked;
    fn div(self, other: Self) -> Tracked {
        let (a, b) = (self.value(), other.value());
        let quotient = a / b;
        self.joined(quotient, 1.0 / b, other, -quotient / b)
    }
}

impl Add<f64> for &Tracked {
    type Output = Tracked;
    fn add(self, other: f64) -> Tracked {
        self.mapped(self.value() + other, 1.0)
    }
}

impl Sub<f64> for &Tracked {
    type Output = Tracked;
    fn sub(self, other: f64) -> Tracked {
        self.mapped(self.value() - other, 1.0)
    }
}

impl Mul<f64> for &Tracked {
    type Output = Tracked;
    fn mul(self, other: f64) -> Tracked {
        self.mapped(self.value() * other, other)
    }
}

impl Div<f64> for &Tracked {
    type Output = Tracked;
    fn div(self, other: f64) -> Tracked {
        self.mapped(self.value() / other, 1.0 / other)
    }
}

impl Add<&Tracked> for f64 {
    type Output = Tracked;
    fn add(self, other: &Tracked) -> Tracked {
        other.mapped(self + other.value(), 1.0)
    }
}

impl Sub<&Tracked> for f64 {
    type Output = Tracked;
    fn sub(self, other: &Tracked) -> Tracked {
        other.mapped(self - other.value(), -1.0)
    }
}

impl Mul<&Tracked> for f64 {
    type Output = Tracked;
    fn mul(self, other: &Tracked) -> Tracked {
        other.mapped(self * other.value(), self)
    }
}

impl Div<&Tracked> for f64 {
    type Output = Tracked;
    fn div(self, other: &Tracked) -> Tracked {
        let quotient = self / other.value();
        other.mapped(quotient, -quotient / other.value())
    }
}

impl Neg for &Tracked {
    type Output = Tracked;
    fn neg(self) -> Tracked {
        self.mapped(-self.value(), -1.0)
    }
}

impl Neg for Tracked {
    type Output = Tracked;
    fn neg(self) -> Tracked {
        -&self
    }
}

/// Lets owned numbers stand wherever borrowed ones may, so that formulas read like formulas.
macro_rules! forward_to_borrowed {
    ($($operator:ident $method:ident),*) => {$(
        impl $operator for Tracked {
            type Output = Tracked;
            fn $method(self, other: Tracked) -> Tracked { (&self).$method(&other) }
        }
        impl $operator<&Tracked> for Tracked {
            type Output = Tracked;
            fn $method(self, other: &Tracked) -> Tracked { (&self).$method(other) }
        }
        impl $operator<Tracked> for &Tracked {
            type Output = Tracked;
            fn $method(self, other: Tracked) -> Tracked { self.$method(&other) }
        }
        impl $operator<f64> for Tracked {
            type Output = Tracked;
            fn $method(self, other: f64) -> Tracked { (&self).$method(other) }
        }
        impl $operator<Tracked> for f64 {
            type Output = Tracked;
            fn $method(self, other: Tracked) -> Tracked { self.$method(&other) }
        }
    )*};
}

forward_to_borrowed!(Add add, Sub sub, Mul mul, Div div);

impl Tracked {
    /// Returns the square root; the derivative is infinite at zero.
    #[must_use]
    pub fn sqrt(&self) -> Self {
        let root = self.value().sqrt();
        self.mapped(root, 0.5 / root)
    }

    /// Returns the sine of an angle in radians.
    #[must_use]
    pub fn sin(&self) -> Self {
        let (sin, cos) = self.value().sin_cos();
        self.mapped(sin, cos)
    }

    /// Returns the cosine of an angle in radians.
    #[must_use]
    pub fn cos(&self) -> Self {
        let (sin, cos) = self.value().sin_cos();
        self.mapped(cos, -sin)
    }

    /// Returns the tangent of an angle in radians.
    #[must_use]
    pub fn tan(&self) -> Self {
        let tan = self.value().tan();
        self.mapped(tan, 1.0 + tan * tan)
    }

    /// Returns the angle in radians, from −π/2 to π/2, that has this sine.
    #[must_use]
    pub fn asin(&self) -> Self {
        let sine = self.value();
        self.mapped(sine.asin(), 1.0 / (1.0 - sine * sine).sqrt())
    }

    /// Returns the angle in radians, from −π/2 to π/2, that has this tangent.
    #[must_use]
    pub fn atan(&self) -> Self {
        let tangent = self.value();
        self.mapped(tangent.atan(), 1.0 / (1.0 + tangent * tangent))
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::*;
    use crate::propagation::Inputs;
    use crate::uncertain::Uncertain;
    use proptest::prelude::*;

    /// One formula, once over tracked numbers and once over plain ones.
    struct Case {
        name: &'static str,
        tracked: fn(&Tracked, &Tracked) -> Tracked,
        plain: fn(f64, f64) -> f64,
    }

    /// Each reads `a` at least once, most read it twice, so that shared inputs are exercised.
    const CASES: &[Case] = &[
        Case {
            name: "a + b, a - b",
            tracked: |a, b| (a + b) * (a - b),
            plain: |a, b| (a + b) * (a - b),
        },
        Case {
            name: "a / (a + b)",
            tracked: |a, b| a / (a + b),
            plain: |a, b| a / (a + b),
        },
        Case {
            name: "with exact numbers",
            tracked: |a, b| (2.0 + a) * 3.0 - (5.0 - b) / 4.0 + 1.5 / a - (b - 0.5) * 2.0 + 1.0,
            plain: |a, b| (2.0 + a) * 3.0 - (5.0 - b) / 4.0 + 1.5 / a - (b - 0.5) * 2.0 + 1.0,
        },
        Case {
            name: "sqrt and negation",
            tracked: |a, b| -(a * a + b).sqrt(),
            plain: |a, b| -(a * a + b).sqrt(),
        },
        Case {
            name: "sin, cos, tan",
            tracked: |a, b| a.sin() * b.cos() + (a / 2.0).tan(),
            plain: |a, b| a.sin() * b.cos() + (a / 2.0).tan(),
        },
        Case {
            name: "asin, atan",
            tracked: |a, b| (a / (a + b)).asin() + (a - b).atan(),
            plain: |a, b| (a / (a + b)).asin() + (a - b).atan(),
        },
    ];

    fn numeric_u(case: &Case, a: Uncertain, b: Uncertain) -> f64 {
        let step = 1e-5;
        let slope = |plus: f64, minus: f64| (plus - minus) / (2.0 * step);
        let f = case.plain;
        let by_a = slope(f(a.value + step, b.value), f(a.value - step, b.value));
        let by_b = slope(f(a.value, b.value + step), f(a.value, b.value - step));
        (by_a * a.u).hypot(by_b * b.u)
    }

    proptest! {
        #[test]
        fn propagation_agrees_with_finite_differences(
            a in 0.2..1.4f64, b in 0.2..1.4f64, u_a in 0.0..0.1f64, u_b in 0.0..0.1f64,
        ) {
            let (a, b) = (Uncertain::new(a, u_a), Uncertain::new(b, u_b));
            let mut inputs = Inputs::new();
            let tracked_a = inputs.add("a", a).unwrap();
            let tracked_b = inputs.add("b", b).unwrap();
            for case in CASES {
                let result = (case.tracked)(&tracked_a, &tracked_b);
                let value = (case.plain)(a.value, b.value);
                let u = numeric_u(case, a, b);
                prop_assert!((result.value() - value).abs() < 1e-12, "{}", case.name);
                prop_assert!((result.u() - u).abs() < 1e-7, "{}: {} {u}", case.name, result.u());
                prop_assert!(result.u() >= 0.0);
            }
        }

        #[test]
        fn shares_add_up_to_one(
            a in 0.2..1.4f64, b in 0.2..1.4f64, u_a in 1e-6..0.1f64, u_b in 0.0..0.1f64,
        ) {
            let mut inputs = Inputs::new();
            let a = inputs.add("a", Uncertain::new(a, u_a)).unwrap();
            let b = inputs.add("b", Uncertain::new(b, u_b)).unwrap();
            let total: f64 = (a * b + 1.0).contributions().iter().map(|part| part.share).sum();
            prop_assert!((total - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn an_input_that_cancels_leaves_no_uncertainty() {
        let mut inputs = Inputs::new();
        let a = inputs.add("a", Uncertain::new(3.0, 0.5)).unwrap();
        assert_eq!((&a - &a).uncertain(), Uncertain::exact(0.0));
        assert_eq!((&a / &a).uncertain(), Uncertain::exact(1.0));
        assert_eq!((&a - &a).contributions(), []);
    }

    #[test]
    fn two_inputs_of_equal_size_do_not_cancel() {
        let mut inputs = Inputs::new();
        let a = inputs.add("a", Uncertain::new(3.0, 0.5)).unwrap();
        let b = inputs.add("b", Uncertain::new(3.0, 0.5)).unwrap();
        assert!(((a - b).u() - 0.5f64.hypot(0.5)).abs() < 1e-15);
    }

    #[test]
    fn a_function_given_by_its_slopes_is_the_same_as_the_formula() {
        let mut inputs = Inputs::new();
        let a = inputs.add("a", Uncertain::new(3.0, 0.5)).unwrap();
        let b = inputs.add("b", Uncertain::new(4.0, 0.1)).unwrap();
        let sum = &b + &a;
        // (a + b)·b / a, by a + b, by b and by a.
        let by_slopes = Tracked::from_slopes(
            28.0 / 3.0,
            [(4.0 / 3.0, &sum), (7.0 / 3.0, &b), (-28.0 / 9.0, &a)],
        );
        let difference = by_slopes - &sum * &b / &a;
        assert!(difference.value().abs() < 1e-12 && difference.u() < 1e-12);
        assert_eq!(Tracked::from_slopes(5.0, []), Tracked::exact(5.0));
    }

    #[test]
    fn sums_are_the_same_as_repeated_addition() {
        let mut inputs = Inputs::new();
        let a = inputs.add("a", Uncertain::new(3.0, 0.5)).unwrap();
        let b = inputs.add("b", Uncertain::new(4.0, 0.1)).unwrap();
        assert_eq!(Tracked::sum([&a, &b, &a]), &a + &b + &a);
        assert_eq!(
            Tracked::weighted_sum([(2.0, &a), (-1.0, &b)]),
            2.0 * &a - &b
        );
        assert_eq!(Tracked::sum([]), Tracked::exact(0.0));
    }
}
