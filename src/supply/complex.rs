//! Numbers that modes are made of: real ones, and complex ones where a choke
//! and a capacitor ring.

use std::ops::{Add, AddAssign, Mul, Sub};

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

/// A complex number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Complex {
    /// Real part.
    pub(super) re: f64,
    /// Imaginary part.
    pub(super) im: f64,
}

impl Complex {
    /// From both parts.
    pub(super) fn new(re: f64, im: f64) -> Self {
        Self { re, im }
    }

    /// Its conjugate.
    pub(super) fn conj(self) -> Self {
        Self::new(self.re, -self.im)
    }

    /// The square root with the real part at or above zero.
    pub(super) fn sqrt(self) -> Self {
        let size = self.size();
        let re = (0.5 * (size + self.re)).max(0.0).sqrt();
        let im = (0.5 * (size - self.re)).max(0.0).sqrt();
        Self::new(re, if self.im < 0.0 { -im } else { im })
    }
}

impl Add for Complex {
    type Output = Self;
    fn add(self, b: Self) -> Self {
        Self::new(self.re + b.re, self.im + b.im)
    }
}

impl AddAssign for Complex {
    fn add_assign(&mut self, b: Self) {
        *self = *self + b;
    }
}

impl Sub for Complex {
    type Output = Self;
    fn sub(self, b: Self) -> Self {
        Self::new(self.re - b.re, self.im - b.im)
    }
}

impl Mul for Complex {
    type Output = Self;
    fn mul(self, b: Self) -> Self {
        Self::new(self.re * b.re - self.im * b.im, self.re * b.im + self.im * b.re)
    }
}

impl Mul<f64> for Complex {
    type Output = Self;
    fn mul(self, b: f64) -> Self {
        Self::new(self.re * b, self.im * b)
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
        self.re.hypot(self.im)
    }
    fn exp(self) -> Self {
        let (sin, cos) = self.im.sin_cos();
        let size = self.re.exp();
        Self::new(size * cos, size * sin)
    }
    fn recip(self) -> Self {
        let square = self.re * self.re + self.im * self.im;
        Self::new(self.re / square, -self.im / square)
    }
}
