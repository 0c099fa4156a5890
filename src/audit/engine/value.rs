//! The value, unit and day of a row.

use jiff::civil::Date;

use super::field::FieldBytes;
use super::interned::Interned;
use super::number::Plain;
use crate::quantity::{QuantityError, Reading, Torque, TorqueUnit, parse_reading_in};
use crate::sheet::Separator;

/// Reads values the way `check` reads them, quickly where a number is plain and its unit was met before.
pub(super) struct Values {
    /// None where the spelling is refused.
    units: Interned<Option<SpelledUnit>, 2>,
    separator: Separator,
}

#[derive(Debug, Clone, Copy)]
struct SpelledUnit {
    unit: TorqueUnit,
    /// One of it: the torque of a value is as many times that, as long as units have no zero of their own.
    one: Torque,
    is_given: bool,
}

impl Values {
    pub(super) fn new(separator: Separator) -> Values {
        Values { units: Interned::new(), separator }
    }

    /// Puts the reading that value and unit give into `reading`; false where `check` would refuse it.
    pub(super) fn read(
        &mut self,
        value: FieldBytes<'_>,
        unit: FieldBytes<'_>,
        reading: &mut Reading,
    ) -> bool {
        let [word] = value.words();
        let Some(plain) = Plain::of_word(word, value.len()) else {
            let read = read_slowly(value.bytes(), unit.bytes(), self.separator);
            return read.map(|read| *reading = read).is_ok();
        };
        let known = self.units.get(unit).unwrap_or_else(|| self.learn(unit));
        let Some(SpelledUnit { unit, one, is_given }) = known else { return false };
        reading.number = plain.number();
        reading.torque = one * reading.number.value;
        (reading.unit, reading.unit_given) = (unit, is_given);
        true
    }

    #[cold]
    fn learn(&mut self, spelling: FieldBytes<'_>) -> Option<SpelledUnit> {
        let read = read_slowly(b"1", spelling.bytes(), self.separator).ok();
        let unit =
            read.map(|read| SpelledUnit { unit: read.unit, one: read.torque, is_given: read.unit_given });
        self.units.remember(spelling, unit)
    }
}

/// Reads value and unit as one text. Bytes that are no UTF-8 stand in no number and no unit.
#[cold]
pub(super) fn read_slowly(value: &[u8], unit: &[u8], separator: Separator) -> Result<Reading, QuantityError> {
    let value = String::from_utf8_lossy(value);
    parse_reading_in(&separator.with_decimal_point(&value), &String::from_utf8_lossy(unit))
}

/// The day that a time such as `2026-05-03` or `2026-05-03T10:20:00Z` begins with.
pub(super) fn read_day(text: &[u8]) -> Option<Date> {
    let text = text.trim_ascii();
    let (day, rest) = text.split_first_chunk::<10>()?;
    let [y1, y2, y3, y4, b'-', m1, m2, b'-', d1, d2] = *day else { return None };
    if !matches!(rest.first(), None | Some(b'T' | b't' | b' ')) {
        return None;
    }
    let number = |digits: &[u8]| {
        digits
            .iter()
            .try_fold(0_i16, |sum, digit| digit.is_ascii_digit().then(|| sum * 10 + i16::from(digit - b'0')))
    };
    let small = |digits: &[u8]| number(digits).and_then(|number| i8::try_from(number).ok());
    Date::new(number(&[y1, y2, y3, y4])?, small(&[m1, m2])?, small(&[d1, d2])?).ok()
}

/// Reads days, most of which are the day of the row before.
pub(super) struct Days {
    /// The first eleven characters of the last time that began as usual.
    last: [u64; 2],
    day: Option<Date>,
}

impl Days {
    pub(super) fn new() -> Days {
        Days { last: [u64::MAX; 2], day: None }
    }

    /// See [`read_day`].
    pub(super) fn read(&mut self, text: FieldBytes<'_>) -> Option<Date> {
        let [front, behind] = text.words();
        let head = [front, behind & 0xff_ffff];
        if head != self.last {
            let day = read_day(text.bytes());
            // What follows such a beginning is not looked at, so it stands for all that begin with it.
            let Some([b'0'..=b'9', .., b'T' | b't' | b' ']) = text.bytes().first_chunk::<11>() else {
                return day;
            };
            (self.last, self.day) = (head, day);
        }
        self.day
    }
}

#[cfg(test)]
mod tests {
    use super::super::judge::no_reading;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn days_are_read_from_the_front_of_a_time() {
        for text in ["2026-05-03", " 2026-05-03 ", "2026-05-03T10:20:00Z", "2026-05-03 10:20"] {
            assert_eq!(read_day(text.as_bytes()), Some(jiff::civil::date(2026, 5, 3)), "{text}");
        }
        for text in ["", "2026-02-30", "2026-5-3", "03/05/2026", "2026-05-031", "202a-05-03", "2026-13-01"] {
            assert_eq!(read_day(text.as_bytes()), None, "{text}");
        }
    }

    proptest! {
        /// Remembering the last day changes nothing.
        #[test]
        fn days_are_read_alike_in_any_order(texts in proptest::collection::vec(" ?202[45]-0[12]-[0-3][0-9][T 1]?.{0,3}", 0..20)) {
            let mut days = Days::new();
            for text in texts {
                prop_assert_eq!(days.read(text.as_bytes().into()), read_day(text.as_bytes()), "{}", text);
            }
        }
    }

    fn values() -> impl Strategy<Value = (String, String)> {
        let number = "[0-9]{1,4}([.,][0-9]{1,4})?|[0-9]{1,3},[0-9]{3}|[-+<>]?[0-9.,]{0,8}|\\PC{0,6}";
        let unit = prop_oneof![
            4 => proptest::sample::select(TorqueUnit::ALL).prop_map(|unit| unit.symbol().to_owned()),
            2 => "in-lbs?|ft[ .-]?lb|NM|nm|mNm|MNm|lb|kg|kgf.cm|in/lb| N m ",
            1 => "\\PC{0,6}",
            1 => "[0-9]?[a-zN·m.-]{0,6}",
        ];
        (proptest::string::string_regex(&format!(" ?({number}) ?")).unwrap(), unit)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]

        /// The quick way and the parser that `check` uses agree on every value, refusals included.
        #[test]
        fn the_quick_way_reads_what_check_reads((value, unit) in values()) {
            let mut quick = Values::new(Separator::COMMA);
            for _ in 0..2 {
                let mut read = no_reading();
                let is_read = quick.read(value.as_bytes().into(), unit.as_bytes().into(), &mut read);
                prop_assert_eq!(is_read.then_some(read), parse_reading_in(&value, &unit).ok());
            }
        }
    }
}
