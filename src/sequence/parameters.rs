//! What a plan assumes about a joint: how much its bolts take from each other, and its ladder.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::interaction::settles;
use super::{AtLosses, InteractionError, Ladder};

/// A total loss that is not known but for its likely bounds; a gain is below 0.
///
/// The share of its load that the bolt which loses most loses while one pass brings the others to the target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossBand(AtLosses<Ratio>);

impl LossBand {
    /// The likely bounds of a loss and the value between them that a plan is made for.
    ///
    /// # Errors
    /// [`InteractionError`] unless -1 < `low` ≤ `nominal` ≤ `high` < 1.
    pub fn new(low: Ratio, nominal: Ratio, high: Ratio) -> Result<LossBand, InteractionError> {
        for loss in [low, nominal, high] {
            settles(loss)?;
        }
        if low > nominal || nominal > high {
            return Err(InteractionError::Order([low, nominal, high]));
        }
        Ok(LossBand(AtLosses { low, nominal, high }))
    }

    /// A loss that is taken as known.
    ///
    /// # Errors
    /// [`InteractionError`] unless `loss` is between -1 and 1.
    pub fn exactly(loss: Ratio) -> Result<LossBand, InteractionError> {
        LossBand::new(loss, loss, loss)
    }

    /// The likely bounds, and the loss between them that a plan is made for.
    pub(crate) fn likely(self) -> AtLosses<Ratio> {
        self.0
    }

    /// Whether tightening one bolt loads the others, so that repeating a pass takes nothing out.
    pub(crate) fn is_gain(self) -> bool {
        self.0.nominal.get::<ratio>() < 0.0
    }
}

/// What a plan assumes about a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameters {
    /// How much load the bolts take from each other.
    pub losses: LossBand,
    /// The share of a loss that is left one spacing farther away: 0 to 1.
    pub decay: Ratio,
    /// The levels on the way to full torque.
    pub ladder: Ladder,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn band(low: f64, nominal: f64, high: f64) -> Result<LossBand, InteractionError> {
        LossBand::new(Ratio::new::<ratio>(low), Ratio::new::<ratio>(nominal), Ratio::new::<ratio>(high))
    }

    #[test]
    fn bounds_are_checked() {
        assert!(band(0.05, 0.15, 0.35).is_ok_and(|band| !band.is_gain()));
        assert!(band(-0.3, -0.2, 0.0).is_ok_and(LossBand::is_gain));
        assert!(matches!(band(0.2, 0.15, 0.35), Err(InteractionError::Order(_))));
        assert!(matches!(band(0.1, 0.4, 0.35), Err(InteractionError::Order(_))));
        for wrong in [1.0, -1.0, 2.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(band(wrong, wrong, wrong), Err(InteractionError::Total(_))), "{wrong}");
            assert!(LossBand::exactly(Ratio::new::<ratio>(wrong)).is_err(), "{wrong}");
        }
    }
}
