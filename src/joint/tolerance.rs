//! The limits on which stripping depends: the smallest 6g screw in the largest 6H nut. Lengths in mm.

use super::JointError;
use super::table::Basis;
use super::thread::{Thread, ThreadSystem};
use super::units::{Length, in_millimetres, millimetres};

/// The worst pairing of screw and nut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadLimits {
    /// Least major diameter of the screw, d_min.
    pub major_min: Length,
    /// Largest pitch diameter of the nut, D2_max.
    pub pitch_max: Length,
    /// Largest minor diameter of the nut, D1_max.
    pub minor_max: Length,
    /// Least pitch diameter of the screw, d2_min.
    pub pitch_min: Length,
}

const RULE: &str =
    "ISO 965-1 tolerance formulas for 6g/6H, recalled; they miss the tabulated limits by at most 0.01 mm";

/// The limits of a thread, tabulated where the table has them, else estimated for metric threads.
///
/// # Errors
/// [`JointError::NoToleranceLimits`] for an inch thread.
pub fn limits_of(thread: &Thread) -> Result<(ThreadLimits, Basis), JointError> {
    if let Some((limits, source)) = &thread.limits {
        return Ok((*limits, Basis::Tabulated(source.clone())));
    }
    if thread.system == ThreadSystem::Inch {
        return Err(JointError::NoToleranceLimits(thread.designation.clone()));
    }
    Ok((estimate(thread), Basis::Estimated(RULE)))
}

/// ISO 965-1 formulas for tolerance grade 6 (in µm, P and d in mm): es(g) = −(15 + 11P),
/// Td = 180·P^(2/3) − 3.15/√P, Td2 = 90·P^0.4·d^0.1, TD2 = 1.32·Td2,
/// TD1 = 433P − 190·P^1.22 up to a pitch of 0.8, 230·P^0.7 above.
fn estimate(thread: &Thread) -> ThreadLimits {
    let profile = thread.profile;
    let (p, d) = (in_millimetres(profile.pitch()), in_millimetres(profile.major_diameter()));
    let micrometres = |value: f64| millimetres(value / 1000.0);
    let allowance = micrometres(15.0 + 11.0 * p);
    let major = micrometres(180.0 * p.powf(2.0 / 3.0) - 3.15 / p.sqrt());
    let pitch = 90.0 * p.powf(0.4) * d.powf(0.1);
    let minor = if p > 0.8 { 230.0 * p.powf(0.7) } else { 433.0 * p - 190.0 * p.powf(1.22) };
    ThreadLimits {
        major_min: profile.major_diameter() - allowance - major,
        pitch_max: profile.pitch_diameter() + micrometres(1.32 * pitch),
        minor_max: profile.minor_diameter() + micrometres(minor),
        pitch_min: profile.pitch_diameter() - allowance - micrometres(pitch),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::joint::Catalogue;
    use approx::assert_abs_diff_eq;

    /// TD1 of tolerance grade 6 in ISO 965-1 is 180, 200 and 236 µm at pitches of 0.7, 0.8 and 1 mm, and Td2 of M7 at
    /// 1 mm is 112 µm (from memory). The formulas, recalled too, come before the rounding to preferred numbers, which
    /// takes up to 7 µm: 230 µm at a pitch of 1, where the formula for finer pitches would give 243.
    #[test]
    fn each_pitch_has_its_formula() {
        let catalogue = Catalogue::compiled_in();
        let of = |name| {
            let thread = catalogue.thread(name).unwrap();
            let (limits, basis) = (estimate(thread), thread.profile);
            let widened = |length, from| in_millimetres(length - from) * 1000.0;
            (
                widened(limits.minor_max, basis.minor_diameter()),
                widened(basis.pitch_diameter(), limits.pitch_min),
            )
        };
        for (name, minor, printed) in [("M4", 180.1, 180.0), ("M5", 201.7, 200.0), ("M7", 230.0, 236.0)] {
            assert_abs_diff_eq!(of(name).0, minor, epsilon = 0.05);
            assert_abs_diff_eq!(of(name).0, printed, epsilon = 7.0);
        }
        // es(g) is 26 µm at a pitch of 1.
        assert_abs_diff_eq!(of("M7").1 - 26.0, 112.0, epsilon = 4.0);
    }

    /// The limits of M5 to M12 that reproduce the published shear areas (Bickford, 4th ed. (2007)).
    #[test]
    fn the_estimate_stays_within_a_hundredth_of_the_tabulated_limits() {
        let catalogue = Catalogue::compiled_in();
        let mut compared = 0;
        for thread in &catalogue.threads {
            let Some((table, _)) = thread.limits else { continue };
            let rule = estimate(thread);
            for (a, b) in [
                (rule.major_min, table.major_min),
                (rule.pitch_max, table.pitch_max),
                (rule.minor_max, table.minor_max),
                (rule.pitch_min, table.pitch_min),
            ] {
                assert_abs_diff_eq!(in_millimetres(a), in_millimetres(b), epsilon = 0.01);
            }
            compared += 1;
        }
        assert_eq!(compared, 5);
    }
}
