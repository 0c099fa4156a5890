//! What tension and torsion of tightening together do to a bolt (VDI 2230 Part 1, R7). Forces in N, stresses in MPa.

use super::friction::FrictionCoefficient;
use super::profile::ThreadProfile;
use super::units::{Force, Pressure, Ratio, SQRT_3, in_ratio, ratio_of};

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
