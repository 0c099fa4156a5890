//! Extensions and crowfeet between wrench and bolt.
//!
//! `setting = T·L/(L + A·cos α)` with the torque `T` at the bolt, the lever `L` from the middle of the
//! handle to the centre of the drive, the extension `A` from there to the bolt, and the angle `α`
//! between the two: 0° in line, 90° at right angles (no change), 180° pointing back. Printed in many
//! maintenance manuals, see `tests/published/extension.csv`; the angled form is that of US Army
//! TM 9-254, Figure 46. An extension on the handle side does not follow this rule.

use uom::si::angle::degree;
use uom::si::f64::{Angle, Length, Ratio};
use uom::si::length::millimeter;

use crate::quantity::Torque;

/// An extension on the drive of a wrench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Adapter {
    lever: Length,
    extension: Length,
    angle: Angle,
}

/// Geometry that makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AdapterError {
    /// The lever of the wrench is not known.
    #[error("the lever of the wrench is not known: measure from the middle of the handle to the drive")]
    LeverUnknown,
    /// A lever of 0 or less.
    #[error("a lever of {0:.0} mm is not possible: measure from the middle of the handle to the drive")]
    Lever(f64),
    /// An extension below 0.
    #[error("an extension of {0:.0} mm is not possible: give its length, and 180° if it points back")]
    Extension(f64),
    /// An angle beyond half a turn.
    #[error("an angle of {0:.0}° is not possible: 0° is in line, 90° at right angles, 180° points back")]
    Angle(f64),
    /// The extension points back past the hand.
    #[error(
        "the extension of {extension_mm:.0} mm points back past the hand on a lever of {lever_mm:.0} mm: \
         it must leave some lever"
    )]
    PastTheHand {
        /// Length of the extension, in mm.
        extension_mm: f64,
        /// Length of the lever, in mm.
        lever_mm: f64,
    },
}

impl Adapter {
    /// An extension of the given length and angle on a wrench with the given lever.
    ///
    /// ```
    /// use evenclamp::quantity::{in_newton_metres, newton_metres};
    /// use evenclamp::wrench::Adapter;
    /// use uom::si::angle::degree;
    /// use uom::si::f64::{Angle, Length};
    /// use uom::si::length::millimeter;
    /// let mm = Length::new::<millimeter>;
    /// let adapter = Adapter::new(mm(160.0), mm(40.0), Angle::new::<degree>(0.0)).unwrap();
    /// assert_eq!(in_newton_metres(adapter.setting(newton_metres(5.0))), 4.0);
    /// ```
    /// # Errors
    /// [`AdapterError`] for a lever not above 0, an extension below 0, more than half a turn, or no lever left.
    pub fn new(lever: Length, extension: Length, angle: Angle) -> Result<Adapter, AdapterError> {
        let (lever_mm, extension_mm) = (lever.get::<millimeter>(), extension.get::<millimeter>());
        let degrees = angle.get::<degree>();
        if !(lever_mm > 0.0 && lever_mm.is_finite()) {
            return Err(AdapterError::Lever(lever_mm));
        }
        if !(extension_mm >= 0.0 && extension_mm.is_finite()) {
            return Err(AdapterError::Extension(extension_mm));
        }
        if !(-180.0..=180.0).contains(&degrees) {
            return Err(AdapterError::Angle(degrees));
        }
        let adapter = Adapter { lever, extension, angle };
        if adapter.factor() > Ratio::default() {
            Ok(adapter)
        } else {
            Err(AdapterError::PastTheHand { extension_mm, lever_mm })
        }
    }

    /// Torque at the bolt ÷ setting: `(L + A·cos α)/L`.
    pub(crate) fn factor(&self) -> Ratio {
        (self.lever + self.extension * self.angle.cos()) / self.lever
    }

    /// The setting that gives a torque at the bolt.
    #[must_use]
    pub fn setting(&self, at_bolt: Torque) -> Torque {
        at_bolt / self.factor().value
    }

    /// The torque at the bolt that a setting or reading of the wrench stands for.
    #[must_use]
    pub fn at_bolt(&self, setting: Torque) -> Torque {
        setting * self.factor().value
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{in_newton_metres, newton_metres as nm};
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn adapter(lever: f64, extension: f64, degrees: f64) -> Result<Adapter, AdapterError> {
        let mm = Length::new::<millimeter>;
        Adapter::new(mm(lever), mm(extension), Angle::new::<degree>(degrees))
    }

    #[test]
    fn geometry_that_makes_no_sense_is_refused() {
        assert_eq!(adapter(0.0, 40.0, 0.0), Err(AdapterError::Lever(0.0)));
        assert!(matches!(adapter(f64::NAN, 40.0, 0.0), Err(AdapterError::Lever(_))));
        assert!(matches!(adapter(200.0, -40.0, 0.0), Err(AdapterError::Extension(_))));
        assert!(matches!(adapter(200.0, 40.0, 270.0), Err(AdapterError::Angle(_))));
        let past = AdapterError::PastTheHand { extension_mm: 200.0, lever_mm: 200.0 };
        assert_eq!(adapter(200.0, 200.0, 180.0), Err(past));
        assert!(adapter(200.0, 200.0, 0.0).is_ok());
    }

    #[test]
    fn at_right_angles_nothing_changes() {
        for degrees in [90.0, -90.0] {
            let right = adapter(200.0, 40.0, degrees).unwrap();
            assert_relative_eq!(in_newton_metres(right.setting(nm(5.0))), 5.0, max_relative = 1e-15);
        }
    }

    proptest! {
        #[test]
        fn setting_and_torque_at_the_bolt_undo_each_other(
            lever in 50.0..600.0f64,
            share in 0.0..0.99f64,
            degrees in -180.0..180.0f64,
            torque in 0.5..200.0f64,
        ) {
            let adapter = adapter(lever, lever * share, degrees).unwrap();
            let back = in_newton_metres(adapter.at_bolt(adapter.setting(nm(torque))));
            prop_assert!((back - torque).abs() < 1e-12 * torque);
        }

        /// In line forwards lowers the setting, pointing back raises it, and an angle lies between.
        #[test]
        fn the_angle_moves_the_setting_between_the_two_ends(share in 0.01..0.9f64, degrees in 0.0..180.0f64) {
            let at = |degrees| in_newton_metres(adapter(200.0, 200.0 * share, degrees).unwrap().setting(nm(5.0)));
            prop_assert!(at(0.0) <= at(degrees) + 1e-12 && at(degrees) <= at(180.0) + 1e-12);
        }
    }
}
