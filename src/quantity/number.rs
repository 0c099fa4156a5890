//! A number as printed: its value and how many decimals it came with.

use super::QuantityError;

/// A non-negative number with the decimals it was written with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// The value.
    pub value: f64,
    /// Digits after the decimal sign.
    pub decimals: u8,
}

impl Number {
    /// The step of the last written digit: 0.1 for `5.0`, 1 for `44`.
    #[must_use]
    pub fn step(self) -> f64 {
        10f64.powi(-i32::from(self.decimals))
    }

    /// Reads the number at the start of `text`; returns it with the rest of the text.
    ///
    /// Accepts a decimal point or a decimal comma, no sign, no exponent.
    pub(crate) fn take(text: &str) -> Result<(Number, &str), QuantityError> {
        let end = end_of_digits(text);
        let (digits, rest) = text.split_at(end);
        if !digits.contains(|c: char| c.is_ascii_digit()) {
            return Err(QuantityError::NotANumber(text.trim().to_owned()));
        }
        if digits.matches(['.', ',']).count() > 1 {
            return Err(QuantityError::NotANumber(digits.to_owned()));
        }
        if may_be_thousands(digits) {
            return Err(QuantityError::UnclearComma(digits.to_owned()));
        }
        if digits.bytes().filter(u8::is_ascii_digit).count() > 15 {
            return Err(QuantityError::TooManyDigits(digits.to_owned()));
        }
        let decimals = digits.find(['.', ',']).map_or(0, |sign| digits.len() - sign - 1);
        let value =
            digits.replace(',', ".").parse().map_err(|_| QuantityError::NotANumber(digits.to_owned()))?;
        let decimals = u8::try_from(decimals).map_err(|_| QuantityError::TooManyDigits(digits.to_owned()))?;
        Ok((Number { value, decimals }, rest))
    }
}

/// Where the run of digits with decimal signs inside it ends; a sign counts only before a digit.
fn end_of_digits(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut end = 0;
    while let Some(&byte) = bytes.get(end) {
        let sign_inside = matches!(byte, b'.' | b',') && bytes.get(end + 1).is_some_and(u8::is_ascii_digit);
        if !byte.is_ascii_digit() && !sign_inside {
            break;
        }
        end += 1;
    }
    end
}

/// `8,851` may be meant either way; `0,851` and `88,5` can only be decimals.
fn may_be_thousands(digits: &str) -> bool {
    digits.split_once(',').is_some_and(|(whole, rest)| {
        rest.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0')
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(text: &str) -> Result<(f64, u8), QuantityError> {
        Number::take(text).map(|(n, _)| (n.value, n.decimals))
    }

    #[test]
    fn decimals_are_kept() {
        assert_eq!(number("5"), Ok((5.0, 0)));
        assert_eq!(number("5.00"), Ok((5.0, 2)));
        assert_eq!(number("5,2"), Ok((5.2, 1)));
        assert_eq!(number(".5"), Ok((0.5, 1)));
        assert_eq!(number("0,125"), Ok((0.125, 3)));
    }

    #[test]
    fn a_range_of_dots_ends_the_number() {
        assert_eq!(Number::take("4..6").map(|(_, rest)| rest), Ok("..6"));
        assert_eq!(Number::take("12. ").map(|(_, rest)| rest), Ok(". "));
    }

    #[test]
    fn unclear_text_is_refused() {
        assert_eq!(number("8,851"), Err(QuantityError::UnclearComma("8,851".into())));
        assert!(matches!(number("1,234.5"), Err(QuantityError::NotANumber(_))));
        assert!(matches!(number("1234567890123456"), Err(QuantityError::TooManyDigits(_))));
        assert!(matches!(number("N·m"), Err(QuantityError::NotANumber(_))));
    }
}
