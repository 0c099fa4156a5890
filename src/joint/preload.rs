//! Torque ↔ preload. VDI 2230 Part 1, assembly torque:
//! M_A = F·(P/(2π) + d2·μ_G/√3 + D_Km/2·μ_K), printed there with rounded factors. Lengths in mm, forces in N, torques in N·m.

use std::f64::consts::PI;

use super::error::positive;
use super::friction::FrictionCoefficient;
use super::profile::ThreadProfile;
use super::units::{
    Force, Length, Pressure, Ratio, SQRT_3, force_at, in_millimetres, in_ratio, moment, ratio_of,
};
use super::{JointError, Torque};

/// A thread and the ring under the head that it is tightened on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tightening {
    profile: ThreadProfile,
    bearing: Length,
}

impl Tightening {
    /// `bearing` is D_Km, the mean diameter of the head friction, in mm.
    ///
    /// # Errors
    /// [`JointError::NotPositive`] when `bearing` is not above 0 and finite.
    pub fn new(profile: ThreadProfile, bearing: Length) -> Result<Tightening, JointError> {
        positive("head friction diameter", in_millimetres(bearing), "mm")?;
        Ok(Tightening { profile, bearing })
    }

    /// The torque, in N·m, that raises `preload` (VDI 2230 Part 1).
    ///
    /// ```
    /// use evenclamp::joint::{FrictionCoefficient, ThreadProfile, Tightening, millimetres, newtons};
    /// use evenclamp::quantity::in_newton_metres;
    /// // M8x1 at μ 0.12 under a hexagon head: 26.1 N·m for 20.2 kN (Mastik catalogue p. 685).
    /// let m8 = ThreadProfile::new(millimetres(8.0), millimetres(1.0)).unwrap();
    /// let bolt = Tightening::new(m8, millimetres((11.63 + 9.0) / 2.0)).unwrap();
    /// let torque = bolt.torque(newtons(20_200.0), FrictionCoefficient::new(0.12).unwrap());
    /// assert_eq!(format!("{:.1}", in_newton_metres(torque)), "26.0");
    /// ```
    #[must_use]
    pub fn torque(self, preload: Force, friction: FrictionCoefficient) -> Torque {
        moment(preload, self.arm(friction))
    }

    /// The preload, in N, that `torque` raises (VDI 2230 Part 1, solved for F).
    pub(crate) fn preload(self, torque: Torque, friction: FrictionCoefficient) -> Force {
        force_at(torque, self.arm(friction))
    }

    /// The nut factor that stands for the three terms of VDI 2230: K = M_A/(F·d), as in T = K·F·d
    /// (Shigley, Mechanical Engineering Design, 9th ed., equation 8-27).
    pub(crate) fn nut_factor(self, friction: FrictionCoefficient) -> Ratio {
        self.arm(friction) / self.profile.major_diameter()
    }

    /// The length, in mm, by which a preload is multiplied: pitch, thread and head term.
    pub(crate) fn arm(self, friction: FrictionCoefficient) -> Length {
        let mu = friction.get();
        self.profile.pitch() / (2.0 * PI)
            + self.profile.pitch_diameter() * (mu / SQRT_3)
            + self.bearing * (mu / 2.0)
    }
}

/// The share of yield that VDI 2230 permits on assembly, ν = 0.9.
pub const PERMITTED_SHARE: f64 = 0.9;

/// How much the torsion of tightening raises the tensile stress:
/// σ_red/σ = √(1 + 3·(1.5·d2/d0·(P/(π·d2) + 2/√3·μ))²) (VDI 2230 Part 1, R7).
#[must_use]
pub fn combined_stress_factor(profile: ThreadProfile, friction: FrictionCoefficient) -> Ratio {
    let diameters = in_ratio(profile.pitch_diameter() / profile.stress_diameter());
    let slope = in_ratio(profile.lead_slope()) + 2.0 / SQRT_3 * friction.get();
    let torsion = 1.5 * diameters * slope;
    ratio_of((1.0 + 3.0 * torsion * torsion).sqrt())
}

/// The share of yield that tension and torsion of tightening to `preload` use up; above 1 past yield.
#[must_use]
pub fn yield_share(
    profile: ThreadProfile,
    yield_stress: Pressure,
    preload: Force,
    friction: FrictionCoefficient,
) -> Ratio {
    preload / profile.stress_area() / yield_stress * combined_stress_factor(profile, friction)
}
