//! What the loss model cannot know: friction from bolt to bolt, and bolts that stick.
//!
//! These are reported beside a predicted spread and never added to it. Both rest on assumptions:
//! torque-to-load factors that differ by 10 % (one standard deviation) from bolt to bolt and by 3 %
//! from one tightening to the next, and bolts that stick within 5 to 10 % of their level.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::layout::real;
use crate::conformity::normal::cumulative;

/// Standard deviation of the torque-to-load factor from bolt to bolt; assumption.
const BETWEEN_BOLTS: f64 = 0.10;
/// Standard deviation of the torque-to-load factor from one tightening to the next; assumption.
const BETWEEN_TIGHTENINGS: f64 = 0.03;
/// How much of its level a bolt may have lost and still not turn: from, to; assumption.
const BREAK_AWAY: [f64; 2] = [0.05, 0.10];

/// What a prediction leaves out, as fractions of the target load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unknowns {
    /// Mean spread of the loads through friction alone, at equal torque.
    pub friction_spread: Ratio,
    /// A bolt that has lost less than this, in a joint with little friction, need not turn.
    pub break_away_low: Ratio,
    /// The same in a joint with much friction.
    pub break_away_high: Ratio,
}

impl Unknowns {
    /// The unknowns of a joint of `bolts` bolts.
    pub fn of(bolts: usize) -> Unknowns {
        let [low, high] = BREAK_AWAY.map(Ratio::new::<ratio>);
        let deviation = BETWEEN_BOLTS.hypot(BETWEEN_TIGHTENINGS);
        Unknowns {
            friction_spread: Ratio::new::<ratio>(mean_range(bolts) * deviation),
            break_away_low: low,
            break_away_high: high,
        }
    }
}

/// The mean range of `n` normal values of standard deviation 1 (Tippett, Biometrika 17 (1925) 364):
/// the integral of 1 - Φ(x)ⁿ - (1 - Φ(x))ⁿ.
fn mean_range(n: usize) -> f64 {
    let power = real(n);
    let chance = |x: f64| cumulative(x).value();
    // The integrand falls off like the normal density; the trapezium rule is then exact to 1e-9.
    let step = 0.05;
    let integrand = |x: f64| 1.0 - chance(x).powf(power) - chance(-x).powf(power);
    (-160..=160).map(|k| integrand(f64::from(k) * step)).sum::<f64>() * step
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;
    use std::f64::consts::PI;

    /// Closed forms of the mean range for two and three normal values: 2/√π and 3/√π.
    #[test]
    fn the_mean_range_has_its_closed_forms() {
        assert_abs_diff_eq!(mean_range(1), 0.0, epsilon = 1e-12);
        assert_abs_diff_eq!(mean_range(2), 2.0 / PI.sqrt(), epsilon = 1e-9);
        assert_abs_diff_eq!(mean_range(3), 3.0 / PI.sqrt(), epsilon = 1e-9);
    }

    /// Means of a simulation with 4,000 runs by an independent script, in whole percent: 12, 21 and
    /// 27 % for 2, 4 and 6 bolts without elastic loss.
    #[test]
    fn friction_alone_spreads_the_loads() {
        for (bolts, percent) in [(2, 12.0), (4, 21.0), (6, 27.0)] {
            let spread = Unknowns::of(bolts).friction_spread.get::<ratio>() * 100.0;
            assert_abs_diff_eq!(spread, percent, epsilon = 0.6);
        }
    }
}
