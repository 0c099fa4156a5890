//! When something was done: an instant with the offset of the clock on the wall there.

use std::fmt;

use jiff::civil::{Date, Time};
use jiff::fmt::temporal::Pieces;
use jiff::tz::{Offset, TimeZone};
use jiff::{Timestamp, ZonedDateTime};

use crate::sheet::kept_as_text;

/// An instant and the offset from UTC at the place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LocalInstant {
    instant: Timestamp,
    offset: Offset,
}

#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a time; write it as 2026-06-01T17:30+02:00, or 2026-06-01 17:30 for the zone here")]
pub struct LocalInstantError(String);

kept_as_text!(LocalInstant, "a time", ToString::to_string, |text| {
    LocalInstant::parse(text, &TimeZone::UTC).ok()
});

impl LocalInstant {
    /// The time of what has none yet.
    pub(crate) const BLANK: LocalInstant =
        LocalInstant { instant: Timestamp::UNIX_EPOCH, offset: Offset::UTC };

    /// An instant at a place whose clocks are `offset` from UTC.
    #[cfg(test)]
    pub(crate) fn new(instant: Timestamp, offset: Offset) -> LocalInstant {
        LocalInstant { instant, offset }
    }

    /// Reads an ISO 8601 date and time; without an offset it is a time in `zone`, without a time the
    /// beginning of the day.
    pub fn parse(text: &str, zone: &TimeZone) -> Result<LocalInstant, LocalInstantError> {
        let wrong = || LocalInstantError(text.to_owned());
        let pieces = Pieces::parse(text.trim()).map_err(|_| wrong())?;
        if pieces.time_zone_annotation().is_some() {
            return Err(wrong());
        }
        let local = pieces.date().to_datetime(pieces.time().unwrap_or(Time::midnight()));
        if let Some(offset) = pieces.to_numeric_offset() {
            return Ok(LocalInstant { instant: offset.to_timestamp(local).map_err(|_| wrong())?, offset });
        }
        let zoned = zone.to_ambiguous_zoned_datetime(local).compatible().map_err(|_| wrong())?;
        Ok(LocalInstant::from(&zoned))
    }

    pub(crate) fn instant(self) -> Timestamp {
        self.instant
    }

    /// The day on the calendar there.
    pub(crate) fn date(self) -> Date {
        self.offset.to_datetime(self.instant).date()
    }

    /// Day and time there, without seconds, for people.
    pub(crate) fn short(self) -> String {
        self.offset.to_datetime(self.instant).strftime("%Y-%m-%d %H:%M").to_string()
    }

    /// The time that has passed since `earlier`, in days; negative when it lies later.
    pub(crate) fn days_since(self, earlier: LocalInstant) -> f64 {
        self.instant.duration_since(earlier.instant).as_secs_f64() / 86_400.0
    }

    /// The same place, so many milliseconds later.
    pub(crate) fn later_by_ms(self, milliseconds: i64) -> LocalInstant {
        let span = jiff::SignedDuration::from_millis(milliseconds);
        LocalInstant { instant: self.instant.saturating_add(span).unwrap_or(self.instant), ..self }
    }
}

impl From<&ZonedDateTime> for LocalInstant {
    fn from(zoned: &ZonedDateTime) -> LocalInstant {
        // Milliseconds keep the order of what one person does; a log is no clockwork.
        let instant = Timestamp::from_millisecond(zoned.timestamp().as_millisecond());
        LocalInstant { instant: instant.unwrap_or(zoned.timestamp()), offset: zoned.offset() }
    }
}

impl Ord for LocalInstant {
    fn cmp(&self, other: &LocalInstant) -> std::cmp::Ordering {
        self.instant.cmp(&other.instant)
    }
}

impl PartialOrd for LocalInstant {
    fn partial_cmp(&self, other: &LocalInstant) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for LocalInstant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.instant.display_with_offset(self.offset).fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_with_an_offset_keeps_it_and_what_is_no_time_is_refused() {
        let moment = LocalInstant::parse("2026-06-01T17:30+02:00", &TimeZone::UTC).unwrap();
        assert_eq!(moment.to_string(), "2026-06-01T17:30:00+02:00");
        assert!(LocalInstant::parse("yesterday", &TimeZone::UTC).is_err());
    }

    #[test]
    fn a_time_without_an_offset_is_one_of_the_zone_here() {
        let zone = TimeZone::fixed(jiff::tz::offset(2));
        for (text, shown) in [
            ("2026-06-01T17:30:00+02:00", "2026-06-01T17:30:00+02:00"),
            ("2026-06-01 17:30", "2026-06-01T17:30:00+02:00"),
            ("2026-06-01", "2026-06-01T00:00:00+02:00"),
            ("2026-06-01T17:30:00.250-05:00", "2026-06-01T17:30:00.25-05:00"),
            ("2026-06-01T15:30Z", "2026-06-01T15:30:00+00:00"),
        ] {
            assert_eq!(LocalInstant::parse(text, &zone).unwrap().to_string(), shown);
        }
        for text in ["", "17:30", "2026-13-01", "2026-06-01T17:30[Europe/Berlin]", "1 June"] {
            assert!(LocalInstant::parse(text, &zone).is_err(), "{text}");
        }
    }

    #[test]
    fn moments_are_in_the_order_of_their_instants() {
        let at = |text| LocalInstant::parse(text, &TimeZone::UTC).unwrap();
        assert!(at("2026-06-01T17:30+02:00") < at("2026-06-01T16:00+00:00"));
        assert_eq!(at("2026-06-01T23:30-05:00").date(), jiff::civil::date(2026, 6, 1));
        assert!((at("2026-06-03").days_since(at("2026-06-01")) - 2.0).abs() < 1e-12);
        assert!((at("2026-06-01T06:00Z").days_since(at("2026-06-02")) + 0.75).abs() < 1e-12);
        assert_eq!(at("2026-06-01T23:30:59-05:00").short(), "2026-06-01 23:30");
        assert_eq!(at("2026-06-01T17:30+02:00").later_by_ms(-1).to_string(), "2026-06-01T17:29:59.999+02:00");
    }
}
