//! Plain numbers of a log, as bytes.
//!
//! At most eight characters, nearly all that a wrench shows, with at most one decimal sign: they are read as one
//! word of the machine. Both the digits as a whole number and the power of ten are exact in an `f64`, so one
//! division gives the correctly rounded value, the same as the general parser's. Anything else is left to that one.

use crate::quantity::Number;

const POWERS: [f64; WORD] = [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7];
const WORD: usize = 8;

/// A plain number as a whole number and its decimals, both of the machine's own size, so that they stay
/// in registers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plain {
    whole: u64,
    decimals: usize,
}

impl Plain {
    /// The plain number of at most eight characters that the bytes of a word are, the first one lowest and
    /// zeros behind the last; none where it is none, or has to be read with more care.
    ///
    /// All characters are looked at together, and nothing hangs on their number or on where the decimal
    /// sign stands: in a log both change from row to row, and a processor that has to guess them guesses
    /// wrong in every other row.
    pub(super) fn of_word(text: u64, length: usize) -> Option<Plain> {
        const ONES: u64 = 0x0101_0101_0101_0101;
        const TOPS: u64 = ONES * 0x80;
        if !(1..=WORD).contains(&length) {
            return None;
        }
        // The last character moves to the top, zeros below the first.
        let free = 8 * (WORD - length);
        let digits = (text ^ (ONES * u64::from(b'0'))) << free;
        let is_no_digit = (((digits & !TOPS) + ONES * (0x80 - 10)) | digits) & TOPS;
        // `.` and `,` differ in one bit.
        let unlike_sign = digits & (ONES * 0xfd) ^ (ONES * u64::from((b',' ^ b'0') & 0xfd));
        let is_sign = !(((unlike_sign & !TOPS) + !TOPS) | unlike_sign) & TOPS;
        let at_an_end = is_sign & (0x80 << free | 1 << 63);
        let is_second = is_sign & is_sign.wrapping_sub(1);
        if (is_no_digit ^ is_sign) | is_second | at_an_end != 0 {
            return None;
        }
        let decimals = (is_sign.leading_zeros() / 8 % 8) as usize;
        if decimals == 3 && digits >> 32 & 0xff == u64::from(b',' ^ b'0') {
            return None;
        }
        // The digits below the sign move up into its place.
        let sign = is_sign >> 7;
        let below = sign.wrapping_sub(1);
        let digits = (digits & below) << (8 * u32::from(sign != 0)) | digits & !below & !(sign * 0xff);
        // Ones and tens, then hundreds, then tens of thousands, each in one multiplication.
        let pairs = digits * 10 + (digits >> 8);
        let low = (pairs & 0x0000_00ff_0000_00ff).wrapping_mul(100 + (1_000_000 << 32));
        let high = (pairs >> 16 & 0x0000_00ff_0000_00ff).wrapping_mul(1 + (10_000 << 32));
        Some(Plain { whole: low.wrapping_add(high) >> 32, decimals })
    }

    pub(super) fn number(self) -> Number {
        #[expect(clippy::cast_precision_loss, reason = "below 10^8, so exact")]
        let value = self.whole as f64 / POWERS[self.decimals % POWERS.len()];
        #[expect(clippy::cast_possible_truncation, reason = "at most 7")]
        let decimals = self.decimals as u8;
        Number { value, decimals }
    }
}

#[cfg(test)]
mod tests {
    use super::super::field::FieldBytes;
    use super::*;
    use crate::quantity::parse_reading;
    use proptest::prelude::*;

    fn plain(text: &[u8]) -> Option<Number> {
        let [word] = FieldBytes::from(text).words();
        Plain::of_word(word, text.len()).map(Plain::number)
    }

    #[test]
    fn what_may_be_thousands_is_left_to_the_general_parser() {
        assert!(plain(b"8,851").is_none() && parse_reading("8,851").is_err());
        assert!(plain(b"0,851").is_none() && parse_reading("0,851").is_ok());
        assert_eq!(plain(b"88,5"), Some(Number { value: 88.5, decimals: 1 }));
        assert_eq!(plain(b"8.851"), Some(Number { value: 8.851, decimals: 3 }));
        for text in ["", ".5", "5.", "-5", "1e3", "5..1", "5,1.2", "123456789", "٣"] {
            assert!(plain(text.as_bytes()).is_none(), "{text}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        /// Where a plain number is seen, the general parser sees the same one, to the bit; and it is seen in digits with
        /// one decimal point between them.
        #[test]
        fn plain_numbers_are_those_of_the_general_parser(text in "[0-9.,]{0,18}|[0-9]{1,9}[.,][0-9]{1,9}|\\PC{0,6}") {
            let number = plain(text.as_bytes());
            let usual = text.len() <= WORD && text.split('.').count() < 3 && text.split('.').all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()));
            prop_assert!(number.is_some() || !usual);
            if let Some(number) = number {
                let general = parse_reading(&text).map(|reading| reading.number);
                prop_assert_eq!(general.map(|n| (n.value.to_bits(), n.decimals)), Ok((number.value.to_bits(), number.decimals)));
            }
        }
    }
}
