//! Levels of rising torque before the full one, so that a joint closes evenly.

use std::fmt;
use std::str::FromStr;

use uom::si::f64::Ratio;
use uom::si::ratio::{percent, ratio};

/// Rising levels as fractions of the target; the last is the target itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder(Vec<Ratio>);

/// Levels that are no ladder.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a list of rising percentages that ends at 100, such as 30/60/100")]
pub struct LadderError(String);

impl Ladder {
    /// The levels, lowest first; never empty, the last is 1.
    #[must_use]
    pub fn levels(&self) -> &[Ratio] {
        &self.0
    }

    /// 100 % alone, for a joint of one bolt.
    pub(crate) fn full() -> Ladder {
        Ladder::of([100.0])
    }

    /// 50, 75, 90 and 100 %: small last steps, for a clamp in which one bolt loads the other.
    pub(crate) fn small_last() -> Ladder {
        Ladder::of([50.0, 75.0, 90.0, 100.0])
    }

    /// Ever smaller rises, for joints that give way so far that a larger one would open a gap again.
    pub(super) fn finer() -> [Ladder; 2] {
        [Ladder::of([30.0, 45.0, 65.0, 100.0]), Ladder::of([30.0, 40.0, 50.0, 65.0, 80.0, 100.0])]
    }

    /// The rise from the last level but one to the target.
    pub(crate) fn last_rise(&self) -> Ratio {
        let below = self.0.len().checked_sub(2).map_or(0.0, |k| self.0[k].get::<ratio>());
        Ratio::new::<ratio>(1.0 - below)
    }

    /// The ladder without all but the highest of its lower levels.
    pub(super) fn with_one_lower_level(&self) -> Ladder {
        Ladder(self.0[self.0.len().saturating_sub(2)..].to_vec())
    }

    /// Levels known to rise to 1.
    pub(super) fn rising(levels: Vec<Ratio>) -> Ladder {
        Ladder(levels)
    }

    /// Levels known to rise to 100.
    fn of<const N: usize>(percentages: [f64; N]) -> Ladder {
        Ladder(percentages.map(Ratio::new::<percent>).to_vec())
    }
}

impl FromStr for Ladder {
    type Err = LadderError;

    /// Reads percentages such as `30/60/100`.
    fn from_str(text: &str) -> Result<Ladder, LadderError> {
        let wrong = || LadderError(text.trim().to_owned());
        let percentages: Vec<f64> = text
            .split('/')
            .map(|level| level.trim().parse().map_err(|_| wrong()))
            .collect::<Result<_, _>>()?;
        let rising = percentages.windows(2).all(|next| next[0] < next[1]);
        let ends =
            percentages.first().is_some_and(|&first| first > 0.0) && percentages.last() == Some(&100.0);
        if rising && ends {
            Ok(Ladder(percentages.into_iter().map(Ratio::new::<percent>).collect()))
        } else {
            Err(wrong())
        }
    }
}

impl fmt::Display for Ladder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (k, level) in self.0.iter().enumerate() {
            // 0.3 in percent is not exactly 30; a ladder is never written finer than this.
            let rounded = (level.get::<percent>() * 1e6).round() / 1e6;
            write!(f, "{}{rounded}", if k == 0 { "" } else { "/" })?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn usual() -> Ladder {
        "30/60/100".parse().unwrap()
    }

    #[test]
    fn ladders_read_back() {
        for text in ["100", "30/60/100", "50/75/90/100", "12.5/100"] {
            assert_eq!(text.parse::<Ladder>().unwrap().to_string(), text);
        }
        assert_eq!("50 / 75 / 90 / 100".parse(), Ok(Ladder::small_last()));
    }

    #[test]
    fn what_does_not_rise_to_100_is_refused() {
        for wrong in
            ["", "30", "60/30/100", "0/100", "-5/100", "30/30/100", "50/100/110", "nan/100", "30,60,100"]
        {
            assert!(wrong.parse::<Ladder>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn the_last_rise_is_what_repeating_cannot_mend() {
        assert_abs_diff_eq!(usual().last_rise().get::<ratio>(), 0.4, epsilon = 1e-12);
        assert_abs_diff_eq!(Ladder::small_last().last_rise().get::<ratio>(), 0.1, epsilon = 1e-12);
        assert_abs_diff_eq!(Ladder::full().last_rise().get::<ratio>(), 1.0, epsilon = 1e-12);
    }

    #[test]
    fn finer_ladders_rise_by_smaller_factors() {
        let steepest = |ladder: &Ladder| {
            ladder.levels().windows(2).map(|next| (next[1] / next[0]).get::<ratio>()).fold(0.0, f64::max)
        };
        let [fine, finest] = Ladder::finer();
        assert!(steepest(&usual()) > steepest(&fine) && steepest(&fine) > steepest(&finest));
    }
}
