//! What a bolt can stand: loads of a property class (ISO 898-1) and the permitted assembly preload
//! under tension and torsion together (VDI 2230 Part 1, R7). Forces in N, stresses in MPa.

use super::JointError;
use super::error::positive;
use super::friction::FrictionCoefficient;
use super::profile::ThreadProfile;
use super::units::{Force, Pressure, Ratio, SQRT_3, in_megapascals, in_ratio, ratio_of};

/// The share of yield that VDI 2230 permits on assembly, ν = 0.9.
pub const PERMITTED_SHARE: f64 = 0.9;

/// The load, in N, that puts `stress` on the stress area: F = As·σ. With the proof stress Sp it is
/// the proof load, with the tensile strength Rm the least ultimate load (ISO 898-1 Tables 4 to 7).
///
/// # Errors
/// [`JointError::NotPositive`] when the stress is not above 0 and finite.
pub fn load_at_stress(profile: ThreadProfile, stress: Pressure) -> Result<Force, JointError> {
    positive("stress", in_megapascals(stress), "MPa")?;
    Ok(profile.stress_area() * stress)
}

/// How much the torsion of tightening raises the tensile stress:
/// σ_red/σ = √(1 + 3·(1.5·d2/d0·(P/(π·d2) + 2/√3·μ))²) (VDI 2230 Part 1, R7).
#[must_use]
pub fn combined_stress_factor(profile: ThreadProfile, friction: FrictionCoefficient) -> Ratio {
    let diameters = in_ratio(profile.pitch_diameter() / profile.stress_diameter());
    let slope = in_ratio(profile.lead_slope()) + 2.0 / SQRT_3 * friction.get();
    let torsion = 1.5 * diameters * slope;
    ratio_of((1.0 + 3.0 * torsion * torsion).sqrt())
}

/// The permitted assembly preload, in N, at a share ν of the yield stress:
/// F_M = As·ν·Rp0.2/(σ_red/σ) (VDI 2230 Part 1, R7).
///
/// ```
/// use evenclamp::joint::*;
/// // M12, 8.8, μ 0.14: 41.9 kN printed (Bossard VDI 2230 tables 2021-05), 41.98 by the formula.
/// let m12 = ThreadProfile::new(millimetres(12.0), millimetres(1.75)).unwrap();
/// let mu = FrictionCoefficient::new(0.14).unwrap();
/// let preload = assembly_preload(m12, megapascals(640.0), ratio_of(0.9), mu).unwrap();
/// assert_eq!(format!("{:.1}", in_newtons(preload) / 1000.0), "42.0");
/// ```
/// # Errors
/// [`JointError::Share`] when ν is not above 0 or above 1; [`JointError::NotPositive`] for the
/// yield stress.
pub fn assembly_preload(
    profile: ThreadProfile,
    yield_stress: Pressure,
    share: Ratio,
    friction: FrictionCoefficient,
) -> Result<Force, JointError> {
    let nu = in_ratio(share);
    if !(nu > 0.0 && nu <= 1.0) {
        return Err(JointError::Share(nu));
    }
    Ok(load_at_stress(profile, yield_stress)? * share / combined_stress_factor(profile, friction))
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
