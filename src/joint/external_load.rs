//! How a clamped bolt shares a load that pulls the joint apart: Shigley, Mechanical Engineering
//! Design, 9th ed., section 8-7. Forces in N; stiffnesses in any one unit.

use super::JointError;
use super::error::positive;
use super::units::{Force, Ratio, in_ratio, ratio_of};

/// The share C = kb/(kb + km) of an outside load that the bolt carries (equation f).
///
/// ```
/// use evenclamp::joint::{bolt_load_share, in_ratio, ratio_of};
/// assert_eq!(in_ratio(bolt_load_share(ratio_of(0.25)).unwrap()), 0.2);
/// ```
/// # Errors
/// [`JointError::NotPositive`] when the ratio of the stiffnesses, bolt over members, is not above 0.
pub fn bolt_load_share(bolt_over_members: Ratio) -> Result<Ratio, JointError> {
    let stiffness = positive("stiffness ratio", in_ratio(bolt_over_members), "")?;
    Ok(ratio_of(stiffness / (1.0 + stiffness)))
}

/// The force in the bolt, in N, under an outside load: Fb = C·P + Fi (equation 8-24), while the
/// joint does not part.
#[must_use]
pub fn bolt_force(preload: Force, share: Ratio, outside_load: Force) -> Force {
    preload + outside_load * share
}
