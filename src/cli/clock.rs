//! The clock of the machine, its zone, and times as typed on the command line.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::{Failure, FailureKind, OrFail as _};
use crate::store::Store;
use crate::workshop::LocalInstant;

/// Set in tests to hold the clock still; a time with its offset.
const HELD: &str = "EVENCLAMP_NOW";
/// Where a system keeps the rules of its zone, unless `TZ` names another one.
const RULES: &str = "/etc/localtime";
/// Clocks of people and machines that agree within this many milliseconds are taken to agree.
const SLACK_MS: i64 = 60_000;

pub(super) fn now() -> Result<LocalInstant, Failure> {
    match std::env::var(HELD) {
        Ok(text) => parse(&text, &TimeZone::UTC),
        Err(_) => Ok(here()),
    }
}

pub(super) fn today() -> Date {
    moment().date()
}

/// The present moment. A held clock that is no time is told by the commands that ask for [`now`].
pub(super) fn moment() -> LocalInstant {
    now().unwrap_or_else(|_| here())
}

fn here() -> LocalInstant {
    LocalInstant::from(&Timestamp::now().to_zoned_datetime(zone()))
}

/// A time as typed; without an offset it is one of the zone here.
pub(super) fn instant(text: &str) -> Result<LocalInstant, Failure> {
    parse(text, &zone())
}

/// The zone here, by its rules alone where the system keeps them in one file. Its name is never shown,
/// and to look for that a walk through all the zones of the world would take longer than the rest of a
/// short command.
pub(super) fn zone() -> TimeZone {
    let rules = if std::env::var_os("TZ").is_none() { std::fs::read(RULES).ok() } else { None };
    let zone = rules.and_then(|rules| TimeZone::tzif("", &rules).ok());
    zone.unwrap_or_else(TimeZone::system)
}

fn parse(text: &str, zone: &TimeZone) -> Result<LocalInstant, Failure> {
    LocalInstant::parse(text, zone)
        .or_fail(FailureKind::Time, "a time without an offset is one of the zone of this machine")
}

/// Whether a moment lies after `now`, beyond what clocks may differ.
pub(super) fn in_future(at: LocalInstant, now: LocalInstant) -> bool {
    at > now.later_by_ms(SLACK_MS)
}

pub(super) fn refuse_future(at: LocalInstant, now: LocalInstant) -> Result<(), Failure> {
    if in_future(at, now) {
        return Err(Failure::new(
            FailureKind::Future,
            format!("{at} lies in the future (now is {now})"),
            "give the time at which it was done; is the clock of this machine right?",
        ));
    }
    Ok(())
}

/// Refuses to write while the clock is behind the newest line of the log, unless the user is sure.
pub(super) fn refuse_clock_set_back(store: &Store, now: LocalInstant, sure: bool) -> Result<(), Failure> {
    match store.last_recorded()? {
        Some(last) if in_future(last, now) && !sure => Err(Failure::new(
            FailureKind::Clock,
            format!("the clock says {now}, but the newest line of the log was written {last}"),
            "set the clock; if it is right now, repeat the command with --yes",
        )),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::ToSpan as _;

    #[test]
    fn the_rules_alone_tell_the_offset_of_the_zone_of_the_system() {
        let (ours, system) = (zone(), TimeZone::system());
        let start: Timestamp = "2020-01-01T00:30:00Z".parse().unwrap();
        for weeks in 0..520 {
            let at = start + (weeks * 7 * 24).hours();
            assert_eq!(ours.to_offset(at), system.to_offset(at), "{at}");
        }
    }
}
