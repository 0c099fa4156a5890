//! Lengths, angles and days as typed on the command line.

use jiff::civil::Date;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::{centimeter, inch, millimeter};

/// Reads a length such as `40mm`, `4 cm`, `1.5 in`; a bare number is refused.
pub(super) fn length(text: &str) -> Result<Length, String> {
    let (number, unit) = split(text);
    let value = number_of(number).ok_or_else(|| format!("`{text}` is no length; write it as 40mm"))?;
    match unit.to_lowercase().as_str() {
        "mm" => Ok(Length::new::<millimeter>(value)),
        "cm" => Ok(Length::new::<centimeter>(value)),
        "in" | "inch" | "\"" => Ok(Length::new::<inch>(value)),
        "" => Err(format!("`{text}` has no unit; write {number}mm or {number}in")),
        other => Err(format!("unknown unit of length `{other}`; use mm, cm or in")),
    }
}

/// Reads an angle in degrees, such as `90`, `90deg`, `90°`.
pub(super) fn angle(text: &str) -> Result<Angle, String> {
    let (number, unit) = split(text);
    match (number_of(number), unit.to_lowercase().as_str()) {
        (Some(value), "" | "deg" | "°" | "degrees") => Ok(Angle::new::<degree>(value)),
        _ => Err(format!(
            "`{text}` is no angle; write it in degrees, such as 90deg (0 in line, 180 pointing back)"
        )),
    }
}

/// Reads a day such as 2026-05-31.
pub(super) fn day(text: &str) -> Result<Date, String> {
    text.trim().parse().map_err(|_| format!("`{text}` is no day; write it as 2026-05-31"))
}

fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || ".,-".contains(c))).unwrap_or(text.len());
    (&text[..end], text[end..].trim())
}

fn number_of(text: &str) -> Option<f64> {
    text.replace(',', ".").parse().ok().filter(|value: &f64| value.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_need_a_unit_and_angles_do_not() {
        assert_eq!(length("40mm"), Ok(Length::new::<millimeter>(40.0)));
        assert_eq!(length("4,5 cm"), Ok(Length::new::<centimeter>(4.5)));
        assert!(length("40").is_err_and(|error| error.contains("40mm")));
        assert!(length("mm").is_err() && length("40 furlong").is_err() && length("").is_err());
        assert_eq!(angle("90°"), Ok(Angle::new::<degree>(90.0)));
        assert_eq!(angle("180"), Ok(Angle::new::<degree>(180.0)));
        assert!(angle("square").is_err());
    }

    #[test]
    fn days_are_written_year_first() {
        assert_eq!(day("2026-05-31"), Ok(jiff::civil::date(2026, 5, 31)));
        assert!(day("31.5.2026").is_err() && day("2026-02-30").is_err());
    }
}
