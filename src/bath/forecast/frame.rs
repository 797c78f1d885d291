//! Coordinates in which the belief about the coefficients is nearly a normal distribution.
//!
//! Strips of one stretch tell the whole loss well and its parts badly. In ln of the expected loss and
//! ln of the ratio of its parts that is a straight ridge, in ln c_use and ln c_age a bent one. The
//! Jacobian between the two is 1 everywhere, so densities need no correction.

use super::stretch::Stretch;
use crate::elementary::{exp, ln, ln_1p};
use nalgebra::{Matrix3, Vector3};

/// Coordinates of the coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Frame {
    /// ln c_use, ln c_age, ln g.
    Plain,
    /// ln(c_use·u + c_age·d), ln(c_use·u) − ln(c_age·d), ln g, for given u and d.
    Total { m2_per_litre: f64, days: f64 },
}

impl Frame {
    /// That of a stretch. Where film or days are missing, a little stands in: any u and d do, and
    /// these only make the coordinates apt.
    pub fn of_stretch(stretch: &Stretch) -> Self {
        let (m2_per_litre, days) = stretch.until_last_strip;
        Self::Total { m2_per_litre: m2_per_litre.max(1e-3), days: days.max(0.1) }
    }

    pub fn coordinates(self, logs: &Vector3<f64>) -> Vector3<f64> {
        match self {
            Self::Plain => *logs,
            Self::Total { m2_per_litre, days } => {
                let (u, d) = (logs.x + ln(m2_per_litre), logs.y + ln(days));
                let more = u.max(d);
                Vector3::new(more + ln_1p(exp(-(u - d).abs())), u - d, logs.z)
            }
        }
    }

    pub fn logs_at(self, at: &Vector3<f64>) -> Vector3<f64> {
        match self {
            Self::Plain => *at,
            Self::Total { m2_per_litre, days } => {
                // ln of the logistic function of ±ratio.
                let share = |ratio: f64| ratio.min(0.0) - ln_1p(exp(-ratio.abs()));
                Vector3::new(
                    at.x + share(at.y) - ln(m2_per_litre),
                    at.x + share(-at.y) - ln(days),
                    at.z,
                )
            }
        }
    }

    /// Derivatives of the coordinates by the logs, at `at`.
    pub fn by_logs(self, at: &Vector3<f64>) -> Matrix3<f64> {
        match self {
            Self::Plain => Matrix3::identity(),
            Self::Total { .. } => {
                let share = crate::numerics::special::logistic(at.y);
                Matrix3::new(share, 1.0 - share, 0.0, 1.0, -1.0, 0.0, 0.0, 0.0, 1.0)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coordinates_go_there_and_back() {
        let logs = Vector3::new(-0.2, -6.0, -5.5);
        for (m2_per_litre, days) in [(0.2, 40.0), (1e-3, 3000.0), (9.0, 0.1)] {
            let frame = Frame::Total { m2_per_litre, days };
            let at = frame.coordinates(&logs);
            let total = ln(exp(logs.x) * m2_per_litre + exp(logs.y) * days);
            assert!((at.x - total).abs() < 1e-13);
            assert!((frame.logs_at(&at) - logs).amax() < 1e-12);
            let by_logs = frame.by_logs(&at);
            assert!((by_logs.determinant().abs() - 1.0).abs() < 1e-12);
            for j in 0..2 {
                let mut moved = logs;
                moved[j] += 1e-6;
                let difference = (frame.coordinates(&moved) - at) / 1e-6;
                assert!((difference - by_logs.column(j)).amax() < 1e-5);
            }
        }
    }
}
