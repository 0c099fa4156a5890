//! The clock of the machine, its zone, and times as typed on the command line.

use jiff::ZonedDateTime;
use jiff::tz::TimeZone;

use super::Failure;
use crate::store::Store;
use crate::workshop::Moment;

/// Set in tests to hold the clock still; a time with its offset.
const HELD: &str = "EVENCLAMP_NOW";
/// Clocks of people and machines that agree within this many milliseconds are taken to agree.
const SLACK_MS: i64 = 60_000;

/// The present moment here.
///
/// # Errors
/// [`Failure`] when the variable that holds the clock still is no time.
pub(super) fn now() -> Result<Moment, Failure> {
    match std::env::var(HELD) {
        Ok(text) => parse(&text, &TimeZone::UTC),
        Err(_) => Ok(Moment::from(&ZonedDateTime::now())),
    }
}

/// A time as typed; without an offset it is one of the zone here.
///
/// # Errors
/// [`Failure`] that says how a time is written.
pub(super) fn moment(text: &str) -> Result<Moment, Failure> {
    parse(text, &zone())
}

/// The zone here.
pub(super) fn zone() -> TimeZone {
    TimeZone::system()
}

fn parse(text: &str, zone: &TimeZone) -> Result<Moment, Failure> {
    Moment::parse(text, zone).map_err(|error| {
        Failure::new("time", error.to_string(), "a time without an offset is one of the zone of this machine")
    })
}

/// Whether a moment lies after `now`, beyond what clocks may differ.
pub(super) fn in_future(at: Moment, now: Moment) -> bool {
    at > now.later_by_ms(SLACK_MS)
}

/// Refuses a time that has not come yet.
///
/// # Errors
/// [`Failure`] of kind `future`.
pub(super) fn refuse_future(at: Moment, now: Moment) -> Result<(), Failure> {
    if in_future(at, now) {
        return Err(Failure::new(
            "future",
            format!("{at} lies in the future (now is {now})"),
            "give the time at which it was done; is the clock of this machine right?",
        ));
    }
    Ok(())
}

/// Refuses to write while the clock is behind the newest line of the log, unless the user is sure.
///
/// # Errors
/// [`Failure`] of kind `clock`.
pub(super) fn refuse_clock_set_back(store: &Store, now: Moment, sure: bool) -> Result<(), Failure> {
    match store.last_recorded()? {
        Some(last) if in_future(last, now) && !sure => Err(Failure::new(
            "clock",
            format!("the clock says {now}, but the newest line of the log was written {last}"),
            "set the clock; if it is right now, repeat the command with --yes",
        )),
        _ => Ok(()),
    }
}
