//! What to set on a wrench for the figure that counts at a joint.

use crate::book::Hand;
use crate::conformity::{Doubt, Kind, NoAim};
use crate::report::aim::ABOVE_VALUE;
use crate::report::figure::setting_text;
use crate::report::words::doubt_text;
use crate::workshop::Governing;
use crate::wrench::RegisteredWrench;

/// A setting as it stands on the wrench.
pub struct JointSetting {
    pub text: String,
    /// What must be known before it is set.
    pub notes: Vec<String>,
}

impl JointSetting {
    /// The setting of a wrench for the figure of a joint that turns by `hand`; none where there is no figure.
    pub fn new(
        governing: &Governing,
        on: &RegisteredWrench,
        hand: Hand,
    ) -> Option<Result<JointSetting, NoAim>> {
        let (wrench, unit) = (&on.wrench, on.wrench.unit());
        let wrong_way = wrench.is_turned_wrong_way(Kind::Tightened, hand == Hand::Left);
        let wrong_way = wrong_way.then(|| doubt_text(Doubt::WrongDirection, unit));
        Some(governing.setting_on(wrench)?.map(|aim| {
            let above = aim.aim.above_value;
            let above = above.then(|| format!("the setting is {ABOVE_VALUE}"));
            JointSetting {
                text: setting_text(aim.on_scale, wrench.shown_step(), unit),
                notes: above.into_iter().chain(wrong_way).collect(),
            }
        }))
    }
}
