//! Lines of a log: what is read, what is refused, and that what is written is read again.

use super::*;
use proptest::prelude::*;

fn now() -> LocalInstant {
    LocalInstant::parse("2026-06-10T12:00:00+02:00", &TimeZone::UTC).unwrap()
}

fn read(header: &str, line: &str) -> Result<LogLine, String> {
    let columns = LogColumns::find(header.split(','), Separator::COMMA)?;
    let fields: Vec<&str> = line.split(',').collect();
    LogLine::read(&columns, |index| fields.get(index).copied(), &TimeZone::UTC, now(), None)
}

const HEADER: &str = "taken_at,bike,joint,bolt,value,unit,kind,finding,action,corrects";

#[test]
fn columns_are_found_by_name_and_only_the_needed_ones_are_needed() {
    let line = read("unit,value,joint,bike", "in-lb,44,stem,loan-7").unwrap();
    assert_eq!((line.bike.as_str(), line.joint.as_str(), line.reading.bolt), ("loan-7", "stem", 1));
    assert_eq!((line.reading.kind, line.reading.at), (Kind::Tightened, now()));
    assert_eq!(line.reading.as_read().unwrap().unit, TorqueUnit::PoundForceInch);
    let marked = read("\u{feff}unit, value ,joint,bike", "in-lb,44,stem,loan-7");
    assert_eq!(marked, Ok(line), "a spreadsheet marks its files as UTF-8");
}

#[test]
fn headers_are_refused_by_name() {
    for (header, start) in [
        ("value,unit,colour", "unknown column `colour`"),
        ("value,unit,value", "column `value` stands twice"),
        ("value,bike", "column `unit` is missing"),
    ] {
        let error = LogColumns::find(header.split(','), Separator::COMMA).unwrap_err();
        assert!(error.starts_with(start), "{error}");
    }
}

#[test]
fn lines_are_refused_with_what_is_wrong() {
    for (line, start) in [
        ("2026-06-01T10:00Z,,stem,1,5,N·m,,,,", "bike is empty"),
        ("yesterday,b,stem,1,5,N·m,,,,", "`yesterday` is not a time"),
        ("2026-06-01,b,stem,one,5,N·m,,,,", "bolt `one` is not a number"),
        ("2026-06-01,b,stem,1,5,furlong,,,,", "unknown unit `furlong`"),
        ("2026-06-01,b,stem,1,5,,,,,", "unit is empty"),
        ("2026-06-01,b,stem,1,five,N·m,,,,", "`five`"),
        ("2026-06-01,b,stem,1,13 in-lb,N·m,,,,", "`13 in-lb N·m` says two things: the second is in N·m"),
        (",b,stem,1,5,N·m,,,,", "taken_at is empty"),
        ("2026-06-01,b,pads,1,13 mm,bar,,,,", "`13 mm bar` says two things: the second is in bar"),
        ("2026-06-01,b,stem,1,13 mm,N·m,,,,", "unknown unit `mm`"),
        ("2026-06-01,b,stem,1,,,,,,", "a line of kind `tightened` needs a value"),
        ("2026-06-01,b,stem,1,5,N·m,by-hand,,,", "a line of kind `by-hand` has no value"),
        ("2026-06-01,b,stem,1,5,N·m,tight,,,", "unknown kind `tight`"),
        ("2026-06-01,b,stem,1,,,skipped,rusty,,", "unknown finding `rusty`"),
        ("2026-06-01,b,stem,1,,,skipped,loose,glued,", "unknown action `glued`"),
        ("2026-06-01,b,stem,1,5,N·m,,,,first", "`first` is not the number of a reading"),
    ] {
        let error = read(HEADER, line).unwrap_err();
        assert!(error.starts_with(start), "{line}: {error}");
    }
}

#[test]
fn a_value_may_repeat_the_unit_of_its_column() {
    let of = |line| read(HEADER, line).unwrap().reading;
    assert_eq!(of("2026-06-01,b,pads,1,2.1 mm,mm,,,,").value, of("2026-06-01,b,pads,1,2.1,mm,,,,").value);
    assert_eq!(of("2026-06-01,b,stem,1,13 Nm,N·m,,,,").value, of("2026-06-01,b,stem,1,13,N·m,,,,").value);
}

/// As `record` keeps it: what is only found is no tightening, and what held needs no value.
#[test]
fn a_line_without_a_value_may_be_a_finding_or_say_that_a_bolt_held() {
    let kind = |line| read(HEADER, line).unwrap().reading.kind;
    assert_eq!(kind("2026-06-01,b,stem,1,,,,loose,,"), Kind::Skipped);
    assert_eq!(kind("2026-06-01,b,stem,1,,,held,,,"), Kind::Held);
}

#[test]
fn where_semicolons_part_the_comma_is_a_decimal_one() {
    let of = |front: &str, value| {
        let header = ["bike", "joint", "value", "unit"].into_iter();
        let columns = LogColumns::find(header, Separator::of_header(front.as_bytes())).unwrap();
        let line = ["b", "stem", value, "N·m"];
        LogLine::read(&columns, |index| line.get(index).copied(), &TimeZone::UTC, now(), None)
            .map(|line| line.reading.as_read().unwrap().number)
    };
    assert_eq!(of("a;b", "8,851"), Ok(Number { value: 8.851, decimals: 3 }));
    assert!(of("a,b", "8,851").unwrap_err().contains("8,851"));
    assert_eq!(of("a\tb", "8,85"), Ok(Number { value: 8.85, decimals: 2 }));
}

proptest! {
    #[test]
    fn what_is_written_is_read_again(
        bolt in 1..12u16, value in 0..20_000u32, decimals in 0..4u8, kind in 0..7usize, unit in 0..16usize,
        finding in 0..9usize, seconds in -1_000_000_000..1_000_000_000i64, offset in -12..14i8,
    ) {
        let kind = Kind::ALL[kind];
        let unit = TorqueUnit::ALL[unit];
        let number = Number { value: f64::from(value) / 10f64.powi(i32::from(decimals)), decimals };
        let torque = quantity::Reading { torque: unit.of(number.value), number, unit, unit_given: true };
        let findings = ["fine", "loose", "drags", "creaks", "seized", "cracked", "play", "worn"];
        let logged = Logged {
            bicycle: "loan-7".into(),
            joint: "stem".into(),
            entry: "stem-steerer".into(),
            reading: Reading {
                id: 7,
                bolt,
                at: LocalInstant::new(jiff::Timestamp::from_second(seconds).unwrap(), jiff::tz::offset(offset)),
                kind,
                value: kind.has_torque().then_some(Value::Torque(torque)),
                wrench: Some("small".into()),
                finding: findings.get(finding).and_then(|word| Finding::parse(word)),
                action: Some(Action::ReLocked),
                who: "Kim".into(),
                note: "wet".into(),
                corrects: Some(3),
            },
            corrected_by: None,
            recorded: now(),
            removed: false,
        };
        let columns = LogColumns::find(LOG_COLUMNS.into_iter(), Separator::COMMA).unwrap();
        let fields = logged.fields();
        let again = LogLine::read(&columns, |index| fields.get(index).map(String::as_str), &TimeZone::UTC, now(), None);
        let line = LogLine { bike: logged.bicycle, joint: logged.joint, bolt_named: true, reading: logged.reading };
        prop_assert_eq!(again.unwrap(), line);
    }

    #[test]
    fn no_line_panics(line in ".{0,80}") {
        let _ = read(HEADER, &line);
    }
}
