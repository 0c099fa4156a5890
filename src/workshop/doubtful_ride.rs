//! Amounts that nobody rides: most likely minutes typed as hours, or metres as kilometres (`specs/rules.md`, "Rides to be
//! asked about").

use super::{Event, LocalInstant, Usage};

/// Hours that are plausible in one line, however long ago the ride before was (own choice).
const MOST_HOURS: f64 = 100.0;
/// The same in km (own choice).
const MOST_KM: f64 = 2000.0;
const HOURS_OF_A_DAY: f64 = 24.0;
/// Km that are plausible on a day (own choice).
const KM_OF_A_DAY: f64 = 500.0;

/// What speaks against a ride.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum DoubtfulRide {
    /// More hours than so many in one line.
    Hours { most: f64 },
    /// More km than so many in one line.
    Km { most: f64 },
    /// More hours than the days since the ride before have.
    HoursOfDays { most: f64, since: LocalInstant },
    /// More km than anybody rides on the days since the ride before.
    KmOfDays { most: f64, since: LocalInstant },
}

impl Usage {
    /// What speaks against a ride of a bicycle that was used like this; nothing where it is plausible.
    pub(crate) fn doubt(&self, ride: &Event) -> Option<DoubtfulRide> {
        let (hours, km) = (ride.hours.unwrap_or(0.0), ride.km.unwrap_or(0.0));
        if hours > MOST_HOURS {
            return Some(DoubtfulRide::Hours { most: MOST_HOURS });
        }
        if km > MOST_KM {
            return Some(DoubtfulRide::Km { most: MOST_KM });
        }
        let since = self.last_ride(ride.at)?;
        // Two rides of one day are typed in one behind the other: a day that has begun counts whole.
        let days = ride.at.days_since(since).ceil().max(1.0);
        let most = |of_a_day: f64| of_a_day * days;
        if hours > most(HOURS_OF_A_DAY) {
            return Some(DoubtfulRide::HoursOfDays { most: most(HOURS_OF_A_DAY), since });
        }
        (km > most(KM_OF_A_DAY)).then(|| DoubtfulRide::KmOfDays { most: most(KM_OF_A_DAY), since })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::KeptRecord as _;
    use jiff::tz::TimeZone;

    fn ride(at: &str, hours: Option<f64>, km: Option<f64>) -> Event {
        let at = LocalInstant::parse(at, &TimeZone::UTC).unwrap();
        Event { at, hours, km, ..Event::blank() }
    }

    #[test]
    fn one_line_has_at_most_a_hundred_hours_and_two_thousand_kilometres() {
        let never = Usage::default();
        let doubt = |hours, km| never.doubt(&ride("2026-06-01", hours, km));
        assert_eq!((doubt(Some(100.0), Some(2000.0)), doubt(None, None)), (None, None));
        assert_eq!(doubt(Some(100.1), None), Some(DoubtfulRide::Hours { most: 100.0 }));
        assert_eq!(doubt(None, Some(2000.5)), Some(DoubtfulRide::Km { most: 2000.0 }));
    }

    #[test]
    fn a_ride_fits_into_the_days_since_the_one_before() {
        let before = ride("2026-06-01T10:00:00Z", Some(1.0), None);
        let later = ride("2026-06-20T10:00:00Z", Some(1.0), None);
        let usage = Usage::new(vec![before.clone(), later]);
        let since = before.at;
        for (at, hours, km, expected) in [
            ("2026-06-01T10:00:00Z", 24.0, 500.0, None),
            ("2026-06-01T11:00:00Z", 24.5, 0.0, Some(DoubtfulRide::HoursOfDays { most: 24.0, since })),
            ("2026-06-02T10:00:00Z", 24.5, 0.0, Some(DoubtfulRide::HoursOfDays { most: 24.0, since })),
            ("2026-06-02T11:00:00Z", 24.5, 0.0, None),
            ("2026-06-02T11:00:00Z", 48.0, 1000.0, None),
            ("2026-06-02T11:00:00Z", 3.0, 1000.5, Some(DoubtfulRide::KmOfDays { most: 1000.0, since })),
            // Before it nothing is known.
            ("2026-05-31T11:00:00Z", 90.0, 1900.0, None),
        ] {
            assert_eq!(usage.doubt(&ride(at, Some(hours), Some(km))), expected, "{at} {hours} {km}");
        }
    }
}
