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
/// none for fewer than two values. It is counted exactly, in a time that grows with the third power of
/// their number.
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
    let ties = ties(series);
    let tied: usize = ties.iter().map(|group| group * (group - 1) / 2).sum();
    let pairs = series.len() * (series.len() - 1) / 2 - tied;
    // An order with k rising pairs has S = 2k − pairs.
    let rising = (i64::try_from(pairs).unwrap_or(i64::MAX) + statistic(series)).max(0) / 2;
    let rising = usize::try_from(rising).unwrap_or(pairs);
    let all = orders(&ties);
    // As many orders have more than k rising pairs as have fewer falling ones, and few are counted sooner than many.
    Some(Probability::clamped(if 2 * rising <= pairs {
        with_at_most(&ties, rising) / all
    } else if rising < pairs {
        1.0 - with_at_most(&ties, pairs - rising - 1) / all
    } else {
        1.0
    }))
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

/// How many distinct orders the values have: the multinomial coefficient of the ties.
fn orders(ties: &[usize]) -> f64 {
    let (mut orders, mut placed) = (1.0, 0.0);
    for &group in ties {
        let (mut ways, mut one) = (1.0, 0.0);
        for _ in 0..group {
            placed += 1.0;
            one += 1.0;
            // Binomial coefficients, one after the other: every quotient is whole.
            ways *= placed;
            ways /= one;
        }
        orders *= ways;
    }
    orders
}

/// How many distinct orders of the values have at most so many rising pairs, or as well falling ones: the first
/// coefficients of the q-multinomial of the ties, one q-binomial per group (R. Stanley, Enumerative Combinatorics 1, 1.7),
/// that over b of a+b being the product of `(1 − q^(a+i))/(1 − q^i)` for i from 1 to b.
fn with_at_most(ties: &[usize], most: usize) -> f64 {
    let mut weights = vec![0.0; most + 1];
    if let Some(first) = weights.first_mut() {
        *first = 1.0;
    }
    let mut placed = 0;
    for &group in ties {
        for divisor in 1..=group {
            placed += 1;
            divide(&mut weights, divisor);
            multiply(&mut weights, placed);
        }
    }
    weights.iter().sum()
}

/// Divides a power series by `1 − q^power`.
fn divide(weights: &mut [f64], power: usize) {
    for place in power..weights.len() {
        weights[place] += weights[place - power];
    }
}

/// Multiplies a power series by `1 − q^power`.
fn multiply(weights: &mut [f64], power: usize) {
    for place in (power..weights.len()).rev() {
        weights[place] -= weights[place - power];
    }
}

#[cfg(test)]
#[path = "mann_kendall_tests.rs"]
mod tests;
