//! Numbers that modes are made of: real ones, and complex ones where a choke
//! and a capacitor ring.

use std::ops::{Add, AddAssign, Mul, Sub};

pub(super) use num_complex::Complex64 as Complex;

/// What a mode's arithmetic needs; `f64` serves trees without chokes.
pub(super) trait Scalar:
    Copy
    + std::fmt::Debug
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Mul<f64, Output = Self>
    + AddAssign
{
    /// Nothing.
    const ZERO: Self;
    /// A number of this kind with no imaginary part.
    fn real(x: f64) -> Self;
    /// The real part.
    fn re(self) -> f64;
    /// The absolute value.
    fn size(self) -> f64;
    /// The exponential.
    fn exp(self) -> Self;
    /// One over it.
    fn recip(self) -> Self;
}

impl Scalar for f64 {
    const ZERO: Self = 0.0;
    fn real(x: f64) -> Self {
        x
    }
    fn re(self) -> f64 {
        self
    }
    fn size(self) -> f64 {
        self.abs()
    }
    fn exp(self) -> Self {
        Self::exp(self)
    }
    fn recip(self) -> Self {
        Self::recip(self)
    }
}

impl Scalar for Complex {
    const ZERO: Self = Self { re: 0.0, im: 0.0 };
    fn real(x: f64) -> Self {
        Self::new(x, 0.0)
    }
    fn re(self) -> f64 {
        self.re
    }
    fn size(self) -> f64 {
        self.norm()
    }
    fn exp(self) -> Self {
        Self::exp(self)
    }
    fn recip(self) -> Self {
        self.inv()
    }
}
