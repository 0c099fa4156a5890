//! The Mann–Kendall test for a trend: do later values tend to be lower?
//!
//! S is the number of pairs whose later value is higher minus the number whose later value is lower.
//! Without a trend every order of the values is equally likely, which gives an exact chance for any
//! number of readings, ties included. Definitions and the variance as in EPA QA/G-9S (2006); see
//! `tests/published/mann_kendall.csv`.

use crate::conformity::{Probability, normal};
use crate::quantity::Torque;
use crate::quantity::tolerance::more_than;

/// Up to this many values the chance is counted exactly; beyond, the normal approximation is as good.
const EXACT_UP_TO: usize = 50;

/// The result of the test on one series.
#[derive(Debug, Clone, PartialEq)]
pub struct MannKendall {
    /// S: negative for a falling series.
    pub statistic: i64,
    /// Var(S) without a trend, corrected for ties.
    pub variance: f64,
    /// The chance, without a trend, of an S at most this low: small where the values fall.
    pub falling: Probability,
    /// The chance, without a trend, of an S at least this high: small where the values rise.
    pub rising: Probability,
}

impl MannKendall {
    /// Z = (S ∓ 1)/√Var(S), the normal score with a correction of one towards 0; 0 where S is.
    #[must_use]
    pub fn z(&self) -> f64 {
        z(self.statistic, self.variance)
    }
}

/// Tests a series, earliest value first; none for fewer than two values.
///
/// Three readings can never reach 5 % (their best chance is 1/6); four can only when each is lower than
/// the one before (1/24).
///
/// ```
/// use evenclamp::quantity::newton_metres as nm;
/// let losing = [5.0, 4.8, 4.7, 4.5, 4.4].map(nm);
/// let test = evenclamp::trend::mann_kendall(&losing).unwrap();
/// assert_eq!(test.statistic, -10);
/// assert!((test.falling.value() - 1.0 / 120.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn mann_kendall(series: &[Torque]) -> Option<MannKendall> {
    if series.len() < 2 {
        return None;
    }
    let statistic = statistic(series);
    let ties = ties(series);
    let variance = variance(series.len(), &ties);
    let (falling, rising) = if series.len() <= EXACT_UP_TO {
        exact(statistic, &ties)
    } else {
        let score = z(statistic, variance);
        (normal::cumulative(score), normal::cumulative(-score))
    };
    Some(MannKendall { statistic, variance, falling, rising })
}

fn statistic(series: &[Torque]) -> i64 {
    let mut sum = 0;
    for (place, earlier) in series.iter().enumerate() {
        for later in series.iter().skip(place + 1) {
            sum += i64::from(more_than(*later, *earlier)) - i64::from(more_than(*earlier, *later));
        }
    }
    sum
}

/// How many values share each torque.
fn ties(series: &[Torque]) -> Vec<usize> {
    let mut sorted = series.to_vec();
    sorted.sort_by(|a, b| a.value.total_cmp(&b.value));
    // Equal readings typed in different units differ in their last bits.
    sorted.chunk_by(|a, b| !more_than(*b, *a)).map(<[Torque]>::len).collect()
}

/// [n(n−1)(2n+5) − Σ t(t−1)(2t+5)] / 18.
fn variance(count: usize, ties: &[usize]) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a count of readings is far below 2^52")]
    let part = |n: usize| n as f64 * (n as f64 - 1.0) * (2.0 * n as f64 + 5.0);
    (part(count) - ties.iter().map(|&t| part(t)).sum::<f64>()) / 18.0
}

#[expect(clippy::cast_precision_loss, reason = "S is at most the number of pairs")]
fn z(statistic: i64, variance: f64) -> f64 {
    if statistic == 0 { 0.0 } else { (statistic - statistic.signum()) as f64 / variance.sqrt() }
}

/// The chances of an S at most and at least as given, over all distinct orders of the values.
fn exact(statistic: i64, ties: &[usize]) -> (Probability, Probability) {
    let weights = falling_pairs(ties);
    let pairs = i64::try_from(weights.len()).unwrap_or(i64::MAX) - 1;
    let total: f64 = weights.iter().sum();
    // An order with k falling pairs has S = pairs − 2k.
    let chance = |wanted: &dyn Fn(i64) -> bool| {
        let sum: f64 = (0..).zip(&weights).filter(|(k, _)| wanted(pairs - 2 * k)).map(|(_, w)| w).sum();
        Probability::clamped(sum / total)
    };
    (chance(&|s| s <= statistic), chance(&|s| s >= statistic))
}

/// How many distinct orders of the values have 0, 1, 2 … falling pairs: the coefficients of the
/// q-multinomial of the ties, one q-binomial per group (R. Stanley, Enumerative Combinatorics 1, 1.7).
fn falling_pairs(ties: &[usize]) -> Vec<f64> {
    let mut weights = vec![1.0];
    let mut placed = 0;
    for &group in ties {
        weights = product(&weights, &q_binomial(placed, group));
        placed += group;
    }
    weights
}

/// The coefficients of the q-binomial (a+b over b), by the recurrence
/// `[a,b] = [a,b−1] + q^b·[a−1,b]`, all of whose terms are positive.
fn q_binomial(a: usize, b: usize) -> Vec<f64> {
    let mut row: Vec<Vec<f64>> = vec![vec![1.0]; b + 1];
    for first in 1..=a {
        for second in 1..=b {
            let mut sum = vec![0.0; first * second + 1];
            for (slot, weight) in sum.iter_mut().zip(&row[second - 1]) {
                *slot += weight;
            }
            for (slot, weight) in sum.iter_mut().skip(second).zip(&row[second]) {
                *slot += weight;
            }
            row[second] = sum;
        }
    }
    row.pop().unwrap_or_default()
}

fn product(a: &[f64], b: &[f64]) -> Vec<f64> {
    let mut product = vec![0.0; a.len() + b.len() - 1];
    for (i, x) in a.iter().enumerate() {
        for (j, y) in b.iter().enumerate() {
            product[i + j] += x * y;
        }
    }
    product
}

#[cfg(test)]
#[path = "mann_kendall_tests.rs"]
mod tests;
