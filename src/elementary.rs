//! Elementary functions whose digits are the same on every machine.
//!
//! The standard library leaves `exp`, `ln` and their like to the system, and systems differ in the last digit. A search
//! for a minimum turns one last digit into several, and a question that is asked on a telephone is to have the answer
//! that it has at a desk. So these functions are calculated by the package `libm`, whose steps are the same everywhere:
//! sums, products, quotients and square roots, which IEEE 754 (2019, section 5.4.1) rounds in one way only. What the
//! standard library may be asked for is what that standard rounds: `sqrt`, `abs`, `powi` and `mul_add`; the lints refuse
//! the rest in this library. Quantiles of distributions (`statrs`) are the exception: that package asks the system, and
//! no answer has been seen to differ by it.
//!
//! Units: angles are in radians. Outside its range a function gives NaN or an infinity, as IEEE 754 has it. Errors: at most
//! one unit of the last digit, two for [`antilog`], where the tests look.

/// 10ˣ: of a log, the number.
#[inline]
#[must_use]
pub fn antilog(x: f64) -> f64 {
    libm::exp10(x)
}

/// The angle whose tangent is x, −π/2 to π/2.
#[inline]
#[must_use]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// The angle of the point (x, y), −π to π.
#[inline]
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// ∛x.
#[inline]
#[must_use]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}

/// The cosine of x.
#[inline]
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// eˣ.
#[inline]
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// eˣ − 1, exact near 0.
#[inline]
#[must_use]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// √(x² + y²), also where a square is out of range.
#[inline]
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// The natural logarithm of x; x above 0.
#[inline]
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// ln(1 + x), exact near 0; x above −1.
#[inline]
#[must_use]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// The logarithm of x to the base 10; x above 0.
#[inline]
#[must_use]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// The logarithm of x to the base 2; x above 0.
#[inline]
#[must_use]
pub fn log2(x: f64) -> f64 {
    libm::log2(x)
}

/// xʸ; x above 0, or y a whole number.
#[inline]
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// The sine of x.
#[inline]
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// (eˣ − e⁻ˣ) / 2.
#[inline]
#[must_use]
pub fn sinh(x: f64) -> f64 {
    libm::sinh(x)
}

/// The tangent of x.
#[inline]
#[must_use]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// The sine and the cosine of x.
#[inline]
#[must_use]
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}
