//! Numbers for programs without the last digits of binary fractions: 5.1, not 5.1000000000000005.

use serde_json::Value;

/// Digits that a decimal typed or tabled may have; what has more comes of a computation and stays as it is.
const TYPED: usize = 12;

/// The decimal that a number was meant to be, where a short one lies within the last digits of it.
pub(super) fn without_last_digits(number: f64) -> f64 {
    // Every decimal of up to fifteen significant digits is told from its neighbours (IEEE 754 binary64).
    let rounded = format!("{number:.14e}");
    let digits = rounded.split('e').next().unwrap_or_default().trim_end_matches('0').len();
    if digits <= TYPED { rounded.parse().unwrap_or(number) } else { number }
}

/// A report with short decimals for what were meant to be such.
pub(super) fn without_noise(report: Value) -> Value {
    match report {
        Value::Number(number) if number.is_f64() => {
            number.as_f64().map(without_last_digits).map_or(Value::Null, Value::from)
        }
        Value::Array(each) => each.into_iter().map(without_noise).collect(),
        Value::Object(keys) => keys.into_iter().map(|(key, value)| (key, without_noise(value))).collect(),
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use serde_json::json;

    #[test]
    fn sums_of_decimals_are_decimals_again() {
        let report =
            json!({ "a": 0.1 + 0.2, "b": [1.7 * 3.0, 3], "c": "0.30000000000000004", "d": 10.0 / 3.0 });
        assert_eq!(
            without_noise(report),
            json!({ "a": 0.3, "b": [5.1, 3], "c": "0.30000000000000004", "d": 10.0 / 3.0 })
        );
    }

    proptest! {
        #[test]
        fn what_was_typed_stays(whole in 0..1_000_000_000_u64, decimals in 0..6_i32) {
            let typed = format!("{whole}e-{decimals}").parse::<f64>().unwrap();
            prop_assert_eq!(without_last_digits(typed).to_bits(), typed.to_bits());
        }
    }
}
