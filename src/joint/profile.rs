//! Geometry of a 60° thread from diameter and pitch: ISO 68-1 (basic profile), ISO 724 (basic
//! dimensions), ISO 898-1 clause 9.1.6.1 (stress area). Lengths in mm, areas in mm².
//!
//! Inch threads of bicycles are taken with the same profile, of a pitch of 25.4 mm over the threads per inch.

use std::f64::consts::{FRAC_PI_4, PI};

use super::JointError;
use super::error::positive;
use super::units::{Area, Length, Ratio, SQRT_3, in_millimetres, millimetres};

/// Major diameter and pitch of a thread, checked to leave a core.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadProfile {
    major: Length,
    pitch: Length,
}

impl ThreadProfile {
    /// A thread of major diameter `major` and pitch `pitch` (both shown in mm).
    ///
    /// ```
    /// use evenclamp::joint::{ThreadProfile, in_square_millimetres, millimetres};
    /// let m5 = ThreadProfile::new(millimetres(5.0), millimetres(0.8)).unwrap();
    /// assert_eq!(format!("{:.3}", in_square_millimetres(m5.stress_area())), "14.183");
    /// ```
    /// # Errors
    /// [`JointError::NotPositive`] for a size that is zero, negative or not finite;
    /// [`JointError::PitchTooCoarse`] when the root diameter would not be above zero.
    pub fn new(major: Length, pitch: Length) -> Result<ThreadProfile, JointError> {
        positive("major diameter", in_millimetres(major), "mm")?;
        positive("pitch", in_millimetres(pitch), "mm")?;
        let profile = ThreadProfile { major, pitch };
        if profile.root_diameter() > Length::default() {
            Ok(profile)
        } else {
            Err(JointError::PitchTooCoarse {
                pitch_mm: in_millimetres(pitch),
                major_mm: in_millimetres(major),
            })
        }
    }

    /// A thread of major diameter `major` (shown in mm) with `threads_per_inch`.
    ///
    /// # Errors
    /// As [`ThreadProfile::new`].
    pub fn inch(major: Length, threads_per_inch: f64) -> Result<ThreadProfile, JointError> {
        let count = positive("threads per inch", threads_per_inch, "per inch")?;
        ThreadProfile::new(major, millimetres(25.4 / count))
    }

    /// Major (nominal) diameter d, in mm.
    #[must_use]
    pub fn major_diameter(self) -> Length {
        self.major
    }

    /// Pitch P, in mm.
    pub(crate) fn pitch(self) -> Length {
        self.pitch
    }

    /// Pitch diameter d2 = d − 3√3/8·P, in mm (ISO 724).
    pub(crate) fn pitch_diameter(self) -> Length {
        self.major - self.pitch * (3.0 * SQRT_3 / 8.0)
    }

    /// Root diameter of the bolt d3 = d − 17√3/24·P, in mm (ISO 898-1 clause 9.1.6.1: d1 − H/6).
    pub(crate) fn root_diameter(self) -> Length {
        self.major - self.pitch * (17.0 * SQRT_3 / 24.0)
    }

    /// Minor diameter d1 = d − 5√3/8·P, in mm (ISO 724).
    pub(crate) fn minor_diameter(self) -> Length {
        self.major - self.pitch * (5.0 * SQRT_3 / 8.0)
    }

    /// Diameter of the stress area d0 = (d2 + d3)/2, in mm (ISO 898-1 clause 9.1.6.1).
    pub(crate) fn stress_diameter(self) -> Length {
        (self.pitch_diameter() + self.root_diameter()) / 2.0
    }

    /// Stress area As = π/4·d0², in mm² (ISO 898-1 clause 9.1.6.1).
    #[must_use]
    pub fn stress_area(self) -> Area {
        self.stress_diameter() * self.stress_diameter() * FRAC_PI_4
    }

    /// Slope of the thread, P/(π·d2).
    pub(crate) fn lead_slope(self) -> Ratio {
        self.pitch / (self.pitch_diameter() * PI)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// ISO 724 basic sizes of M5x0.8, as recomputed from the profile.
    #[test]
    fn the_diameters_of_m5_follow_the_profile() -> Result<(), JointError> {
        let m5 = ThreadProfile::new(millimetres(5.0), millimetres(0.8))?;
        assert_relative_eq!(in_millimetres(m5.pitch_diameter()), 4.4804, epsilon = 5e-5);
        assert_relative_eq!(in_millimetres(m5.root_diameter()), 4.0185, epsilon = 5e-5);
        assert_relative_eq!(in_millimetres(m5.minor_diameter()), 4.1340, epsilon = 5e-5);
        Ok(())
    }

    #[test]
    fn sizes_that_cannot_exist_are_refused() {
        for bad in [0.0, -5.0, f64::INFINITY, f64::NAN] {
            assert!(ThreadProfile::new(millimetres(bad), millimetres(0.8)).is_err());
            assert!(ThreadProfile::new(millimetres(5.0), millimetres(bad)).is_err());
            assert!(ThreadProfile::inch(millimetres(5.0), bad).is_err());
        }
        let coarse = ThreadProfile::new(millimetres(1.0), millimetres(0.9));
        assert!(matches!(coarse, Err(JointError::PitchTooCoarse { .. })));
    }
}
