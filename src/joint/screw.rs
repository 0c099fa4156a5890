//! The torque of a screw worked out on its helix, without the small-angle step of VDI 2230:
//! Shigley, Mechanical Engineering Design, 9th ed., equation 8-26. It checks the linear form.

use std::f64::consts::{FRAC_PI_6, PI};

use super::Torque;
use super::friction::FrictionCoefficient;
use super::units::{Force, Length, in_ratio, moment};

/// The sizes of a single-start screw and its collar, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screw {
    /// Mean thread diameter d_m.
    pub mean_diameter: Length,
    /// Lead, the pitch of a single-start thread.
    pub lead: Length,
    /// Mean diameter of the collar or head friction d_c.
    pub collar_diameter: Length,
}

impl Screw {
    /// The torque, in N·m, that raises `preload`:
    /// T = F·d_m/2·(tan λ + f·sec α)/(1 − f·tan λ·sec α) + F·f_c·d_c/2, α = 30°.
    #[must_use]
    pub fn torque(self, preload: Force, thread: FrictionCoefficient, collar: FrictionCoefficient) -> Torque {
        let slope = in_ratio(self.lead / (self.mean_diameter * PI));
        let wedge = thread.get() / FRAC_PI_6.cos();
        let thread_arm = self.mean_diameter * ((slope + wedge) / (1.0 - slope * wedge) / 2.0);
        moment(preload, thread_arm + self.collar_diameter * (collar.get() / 2.0))
    }
}
