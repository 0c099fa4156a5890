//! `ride` and `event`: what happens to a bicycle between two checks.

use clap::Args;

use super::target::bicycles_named;
use super::words::one_of;
use super::{Answer, Context, Decision, Failure, FailureKind, clock};
use crate::book::EventKind;
use crate::report::{DueReport, EventReport, doubtful_ride_text};
use crate::sheet::KeptRecord as _;
use crate::store::Store;
use crate::workshop::{Event, LocalInstant, StoredBicycle, Usage};

/// Record a ride or a hire, so that intervals by riding count
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp ride loan-7 2h30
  evenclamp ride loan-7 3.5h --km 48 --at \"2026-05-31 17:00\"
  evenclamp ride loan-7 --km 60
  evenclamp ride loan-7,loan-8,errand 3h --hires 1")]
pub(super) struct RideArgs {
    /// The bicycle; several that went together, parted by commas
    bike: String,
    /// How long, such as 2h30, 2.5h, 45min
    #[arg(value_name = "TIME", value_parser = hours, required_unless_present_any = ["km", "hires"])]
    hours: Option<f64>,
    /// How far, in km; a ride without a time is counted at 15 km/h
    #[arg(long, value_name = "KM", value_parser = kilometres)]
    km: Option<f64>,
    /// How often it was hired out; hires without time and distance are counted at 3 h each
    #[arg(long, value_name = "N", value_parser = hires)]
    hires: Option<u32>,
    /// When it ended [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Anything else worth knowing
    #[arg(long, value_name = "TEXT", default_value = "")]
    note: String,
    /// Record a ride that is longer than looks plausible
    #[arg(long)]
    yes: bool,
}

/// Record a crash, a wash, a journey, a rebuild, or work that was done
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp event loan-7 crash --note \"slid into a ditch\"
  evenclamp event loan-7 rebuild --at 2026-05-30
  evenclamp event loan-7 done --what fork-service
  evenclamp event --strike 12 --why \"was the other bicycle\"")]
pub(super) struct EventArgs {
    /// The bicycle; several parted by commas
    #[arg(required_unless_present = "strike")]
    bike: Option<String>,
    /// What happened
    #[arg(value_name = "EVENT", value_parser = one_of(EventKind::WORDS, |kind| *kind != EventKind::Ride), required_unless_present = "strike")]
    kind: Option<EventKind>,
    /// Take the event or ride of this number back, as `history BIKE --changes` lists it; --why says why. It stays
    /// readable
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["bike", "kind", "what", "at", "note"])]
    strike: Option<i64>,
    /// For work done: its interval, as `due` lists it, such as fork-service
    #[arg(long, value_name = "INTERVAL", required_if_eq("kind", "done"))]
    what: Option<String>,
    /// When [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Anything else worth knowing
    #[arg(long, value_name = "TEXT", default_value = "")]
    note: String,
}

/// Hours as typed: `2h30`, `2.5h`, `2,5 h`, `45min`; a bare number is refused.
fn hours(text: &str) -> Result<f64, String> {
    let wrong = || format!("`{text}` is no time; write it as 2h30, 2.5h or 45min");
    let lower = text.trim().to_lowercase().replace(',', ".");
    let number = |text: &str| match text.trim() {
        "" => Some(0.0),
        text => text.parse().ok().filter(|number: &f64| *number >= 0.0),
    };
    let hours = if let Some(minutes) = lower.strip_suffix("min") {
        number(minutes).map(|minutes| minutes / 60.0)
    } else if let Some((hours, minutes)) = lower.split_once('h') {
        number(hours).zip(number(minutes)).map(|(hours, minutes)| hours + minutes / 60.0)
    } else {
        None
    };
    hours.filter(|hours| *hours > 0.0 && *hours <= 1000.0).ok_or_else(wrong)
}

fn kilometres(text: &str) -> Result<f64, String> {
    let number = text.trim().trim_end_matches("km").trim().replace(',', ".");
    let km = number.parse().ok().filter(|km: &f64| *km > 0.0 && *km <= 100_000.0);
    km.ok_or_else(|| format!("`{text}` is no distance; write it in km, such as 48"))
}

fn hires(text: &str) -> Result<u32, String> {
    let hires = text.trim().parse().ok().filter(|hires| (1..=1000).contains(hires));
    hires.ok_or_else(|| format!("`{text}` is no number of hires; write it as 1 or 12"))
}

pub(super) fn ride(args: &RideArgs, context: &Context) -> Result<Answer, Failure> {
    match (args.hours, args.km) {
        (Some(_), _) => {}
        (None, Some(_)) => context.say("the ride has no time: counted at 15 km/h"),
        (None, None) => context.say("hires without time and distance: counted at 3 h each"),
    }
    let note = args.note.trim().to_owned();
    let ride = Event { hours: args.hours, km: args.km, hires: args.hires, note, ..Event::blank() };
    record(&args.bike, args.at.as_deref(), (ride, args.yes), context)
}

pub(super) fn event(args: &EventArgs, context: &Context) -> Result<Answer, Failure> {
    let (Some(bike), Some(kind)) = (&args.bike, args.kind) else {
        return struck(args.strike.unwrap_or_default(), context);
    };
    let what = args.what.as_deref().unwrap_or_default();
    if kind == EventKind::Done {
        known_interval(&context.store_with_book()?, what)?;
    }
    let (what, note) = (what.trim().to_owned(), args.note.trim().to_owned());
    record(bike, args.at.as_deref(), (Event { kind, what, note, ..Event::blank() }, true), context)
}

/// Takes an event back, and says what is due now.
fn struck(number: i64, context: &Context) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    context.reason_for("an event is struck for a reason")?;
    let (bicycle, event) = store.strike_event(number)?.ok_or_else(|| {
        let message = format!("there is no event {number} to be struck");
        Failure::new(
            FailureKind::Value,
            message,
            "`evenclamp history BIKE --changes` lists them with their numbers",
        )
    })?;
    let of_all = store.bicycles(true)?.into_iter().filter(|stored| stored.id == bicycle);
    let bikes = due_on(&store, of_all, clock::now()?)?;
    Answer::of(&EventReport { event: &event, struck: Some(context.why()), bikes }, context, Decision::Good)
}

fn known_interval(store: &Store, what: &str) -> Result<(), Failure> {
    let intervals = store.intervals()?;
    if intervals.iter().any(|interval| interval.interval == what.trim()) {
        return Ok(());
    }
    let known: Vec<String> = intervals.into_iter().map(|interval| interval.interval).collect();
    let hint = format!("known are {}", known.join(", "));
    Err(Failure::new(FailureKind::Interval, format!("the book has no interval `{what}`"), hint))
}

/// Appends the event to the log of all bicycles that the text names, which happened at a time as typed or now, and says
/// what is due now. Unless somebody is `sure`, what nobody rides is refused.
fn record(
    bikes: &str,
    at: Option<&str>,
    (event, sure): (Event, bool),
    context: &Context,
) -> Result<Answer, Failure> {
    let mut store = context.store_with_book()?;
    let now = clock::now()?;
    let bicycles = bicycles_named(&store, bikes)?;
    let at = at.map_or(Ok(now), clock::instant)?;
    clock::refuse_future(at, now)?;
    let event = Event { at, ..event };
    if !sure {
        refuse_doubtful(&store, &bicycles, &event)?;
    }
    store.add_event(&bicycles.iter().map(|stored| stored.id).collect::<Vec<_>>(), &event, now)?;
    let bikes = due_on(&store, bicycles, now)?;
    Answer::of(&EventReport { event: &event, struck: None, bikes }, context, Decision::Good)
}

fn refuse_doubtful(store: &Store, bicycles: &[StoredBicycle], ride: &Event) -> Result<(), Failure> {
    for stored in bicycles {
        let events = store.events(Some(stored.id))?.remove(&stored.id).unwrap_or_default();
        if let Some(doubt) = Usage::new(events).doubt(ride) {
            let name = &stored.bicycle.name;
            let message = format!("this ride is not plausible for {name}: {}", doubtful_ride_text(doubt));
            let hint = "nothing was recorded; if it was ridden like that, repeat the command with --yes";
            return Err(Failure::new(FailureKind::Implausible, message, hint));
        }
    }
    Ok(())
}

fn due_on(
    store: &Store,
    bicycles: impl IntoIterator<Item = StoredBicycle>,
    now: LocalInstant,
) -> Result<Vec<DueReport>, Failure> {
    let due = |stored: StoredBicycle| {
        let (workshop, judged) = store.judge(&stored, now)?;
        Ok(DueReport::new(&judged, &workshop))
    };
    bicycles.into_iter().map(due).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_a_ride_carry_their_unit() {
        for (text, expected) in [("2h30", 2.5), ("2.5h", 2.5), ("2,5 h", 2.5), ("45min", 0.75), ("1h", 1.0)] {
            assert_eq!(hours(text), Ok(expected), "{text}");
        }
        for text in ["", "2", "h", "0h", "-1h", "1h-30", "2 days", "1h2h3"] {
            assert!(hours(text).is_err(), "{text}");
        }
    }

    /// Our own choice: more than that is a slip, such as minutes typed as hours.
    #[test]
    fn a_ride_has_at_most_a_thousand_hours_and_a_hundred_thousand_kilometres() {
        assert_eq!((hours("1000h"), kilometres("100000")), (Ok(1000.0), Ok(100_000.0)));
        assert!(hours("1000h01").is_err() && kilometres("100001 km").is_err());
    }

    #[test]
    fn a_distance_is_typed_with_its_unit_or_without() {
        assert_eq!(kilometres("48 km"), Ok(48.0));
        assert!(kilometres("0").is_err() && kilometres("far").is_err());
    }
}
