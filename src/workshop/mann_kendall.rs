//! The Mann–Kendall test for a trend: do later values tend to be lower?
//!
//! S is the number of pairs whose later value is higher minus the number whose later value is lower.
//! Without a trend every order of the values is equally likely, which gives an exact chance for any
//! number of readings, ties included. Definitions as in EPA QA/G-9S (2006); see
//! `tests/published/mann_kendall.csv`.

use crate::conformity::Probability;
use crate::quantity::Torque;
use crate::quantity::tolerance::more_than;

/// The chance, without a trend, that values fall at least as much as those of `series`, earliest first;
/// none for fewer than two values. It is counted exactly, in a time that grows with the fifth power of
/// their number: some 50 values are no burden.
///
/// Three readings can never reach 5 % (their best chance is 1/6); four can only when each is lower than
/// the one before (1/24).
///
/// ```
/// use evenclamp::quantity::newton_metres as nm;
/// let losing = [5.0, 4.8, 4.7, 4.5, 4.4].map(nm);
/// let chance = evenclamp::falling_chance(&losing).unwrap();
/// assert!((chance.value() - 1.0 / 120.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn falling_chance(series: &[Torque]) -> Option<Probability> {
    if series.len() < 2 {
        return None;
    }
    let weights = falling_pairs(&ties(series));
    let pairs = i64::try_from(weights.len()).unwrap_or(i64::MAX) - 1;
    let wanted = statistic(series);
    // An order with k falling pairs has S = pairs − 2k.
    let as_low: f64 = (0..).zip(&weights).filter(|(k, _)| pairs - 2 * k <= wanted).map(|(_, w)| w).sum();
    Some(Probability::clamped(as_low / weights.iter().sum::<f64>()))
}

/// S: the pairs whose later value is higher less those whose later value is lower.
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
