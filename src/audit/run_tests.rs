//! The engine against the core, row by row, and against itself, however a log is cut and by however many
//! threads it is judged.

use std::collections::BTreeMap;
use std::fmt::Debug;
use std::io::{Cursor, Write};
use std::sync::mpsc;

use jiff::civil::{Date, date};
use proptest::prelude::*;

use super::super::{
    BoltLimit, CHANCE_LENGTH, Counts, EntrySummary, Fault, LeftOut, Requirement, RowResult, RowWriter, Rule,
    WrenchCounts,
};
use super::*;
use crate::conformity::slip::{MixUp, suspect};
use crate::conformity::{
    Accuracy, Deviation, Finding, Instrument, Kind, Label, Limits, Outcome, Probability, assess,
    is_no_reading,
};
use crate::quantity::{Spec, Torque, newton_metres as nm, parse_reading};
use crate::sheet::Separator;
use crate::wrench::{
    Calibration, CalibrationPeriod, CalibrationResult, Line, Operation, StatedAccuracy, Use, Wrench,
    WrenchKind, WrenchParts,
};

const TODAY: Date = date(2026, 6, 1);
const HEADER: &str = "wrench,kind,value,entry,unit,taken_at,bike,joint\n";

/// Requirements of every form and state.
fn requirements() -> Vec<(&'static str, Option<Spec>, bool)> {
    vec![
        ("range", Some(Spec::range_nm(4.0, 6.0)), false),
        ("wide", Some(Spec::range_nm(35.0, 50.0)), false),
        ("sliver", Some(Spec::range_nm(5.0, 5.1)), false),
        ("set", Some(Spec::Set(nm(12.0))), false),
        ("ceiling", Some(Spec::Ceiling(nm(5.0))), false),
        ("floor", Some(Spec::Floor(nm(30.0))), true),
        ("left", Some(Spec::range_nm(35.0, 40.0)), true),
        ("disputed", None, false),
    ]
}

fn wrenches() -> Vec<Wrench> {
    let passed = |on| Calibration { on, result: CalibrationResult::Passed };
    let failed = |on| Calibration { on, result: CalibrationResult::Failed };
    let make = |name: &str, high: f64, change: fn(&mut WrenchParts), calibrations: Vec<Calibration>| {
        let mut parts = WrenchParts::new(name, WrenchKind::Click, nm(high / 5.0), nm(high));
        change(&mut parts);
        parts.calibrations = calibrations;
        Wrench::new(parts, TODAY).unwrap()
    };
    vec![
        make(
            "Small",
            10.0,
            |parts| parts.step = Some(nm(0.1)),
            vec![passed(date(2025, 3, 1)), passed(date(2026, 2, 1))],
        ),
        make("mid", 25.0, |parts| parts.anticlockwise = true, vec![passed(date(2024, 5, 5))]),
        make(
            "big",
            60.0,
            |_| (),
            vec![passed(date(2025, 1, 1)), failed(date(2025, 9, 1)), passed(date(2025, 9, 2))],
        ),
        make(
            "certified",
            60.0,
            |parts| {
                parts.accuracy =
                    StatedAccuracy::Certificate { expanded: Deviation::percent(1.5).unwrap(), coverage: 2.0 };
            },
            vec![passed(date(2026, 1, 1))],
        ),
        make("never", 60.0, |_| (), vec![]),
        worn(make("worn", 60.0, |_| (), vec![passed(date(2025, 1, 10)), passed(date(2025, 12, 1))])),
    ]
}

/// The wrench with its operations spent on 10 June 2025, and on 10 March 2026 after its second calibration.
fn worn(wrench: Wrench) -> Wrench {
    let first_too_many = |on: Date| {
        let instant = jiff::tz::Offset::UTC.to_timestamp(on.at(12, 0, 0, 0)).unwrap();
        Operation { on, line: Line { instant, number: 1 } }
    };
    let find = |period: CalibrationPeriod, _| {
        let on = if period.from == date(2025, 1, 10) { date(2025, 6, 10) } else { date(2026, 3, 10) };
        Ok::<_, ()>(Some(first_too_many(on)))
    };
    wrench.counted(find).unwrap()
}

/// What the bolt of the joint `wide` bears, in N·m.
const BEARS: f64 = 4.5;

/// Above this, in N·m, no reading of `range` can be meant.
const TEARS: f64 = 60.0;

fn reference() -> Reference {
    let mut reference = Reference::default();
    for (entry, spec, left_hand) in requirements() {
        let requirement = Requirement {
            entry: entry.to_owned(),
            limits: spec.map(Limits::new),
            basis: entry.to_owned(),
            left_hand,
            bolt: None,
            tears_above: (entry == "range").then_some(nm(TEARS)),
        };
        reference.add_entry(requirement.clone());
        let marked = Limits::new(Spec::Ceiling(nm(5.5)));
        let bolt = (entry == "wide").then(|| BoltLimit { above: nm(BEARS), why: "bolt".to_owned() });
        let requirement = Requirement { limits: Some(marked), bolt, ..requirement };
        reference.add_joint(("b1", entry), requirement, true);
    }
    for wrench in wrenches() {
        reference.add_wrench(wrench);
    }
    reference
}

const TERMS: Terms =
    Terms { rule: Rule::Guarded, today: TODAY, threads: 2, worst: 20, histograms: true, strict: false };

fn run(log: &[u8], reference: &Reference, terms: Terms) -> (Summary, String) {
    run_with(&BareWriter, log, reference, terms)
}

fn run_with(writer: &dyn RowWriter, log: &[u8], reference: &Reference, terms: Terms) -> (Summary, String) {
    let mut verdicts = Vec::new();
    let outputs = Outputs { verdicts: Some((&mut verdicts, writer)), rejects: None, progress: &|_| () };
    let found = Log::open(Cursor::new(log)).unwrap().audit(reference, terms, outputs).unwrap();
    (found, String::from_utf8_lossy(&verdicts).into_owned())
}

/// Writes all that was found, as it is.
struct BareWriter;

impl RowWriter for BareWriter {
    fn header(&self) -> String {
        ",said".to_owned()
    }

    fn separator(&self) -> Separator {
        Separator::COMMA
    }

    fn verdict(&self, result: &RowResult<'_>) -> &'static str {
        match result {
            RowResult::Read { outcome, .. } => outcome_word(outcome),
            RowResult::Plain { label } => label.text(),
            RowResult::TooMuch { .. } => "too much",
            RowResult::Rejected { .. } => "rejected",
            RowResult::LeftOut { .. } => "left out",
        }
    }

    fn limits(&self, limits: Option<&Limits>) -> String {
        format!(",|{:?}", limits.map(Limits::spec)).replace(", ", " ")
    }

    /// A digest of all its bits, but where it is sure.
    fn chance(&self, chance: Probability) -> [u8; CHANCE_LENGTH] {
        let text = match chance.value() {
            sure if sure > 0.9999 => ",sure1".to_owned(),
            sure if sure < 0.0001 => ",sure0".to_owned(),
            value => format!(",{:05x}", value.to_bits().wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 44),
        };
        text.into_bytes().try_into().unwrap()
    }

    fn reasons(&self, result: &RowResult<'_>) -> Vec<String> {
        match result {
            RowResult::Read { outcome: Outcome::Judged(verdict), .. } => texts(&verdict.reasons),
            RowResult::Read { outcome: Outcome::ReCheck { doubts, .. }, .. } => texts(doubts),
            _ => Vec::new(),
        }
    }

    fn mix_up(&self, mix_up: MixUp) -> String {
        format!("{mix_up:?}").replace(',', "")
    }
}

fn texts(values: &[impl Debug]) -> Vec<String> {
    values.iter().map(|value| format!("{value:?}").replace(',', "")).collect()
}

fn outcome_word(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Judged(verdict) => verdict.label.text(),
        Outcome::ReCheck { finding, .. } => match finding {
            Finding::HeldAtLeast { above_high: true, .. } => "held too high",
            Finding::HeldAtLeast { reaches_low: Some(true), .. } => "held",
            Finding::HeldAtLeast { reaches_low: Some(false), .. } => "held too low",
            Finding::HeldAtLeast { reaches_low: None, .. } => "held somewhere",
            Finding::MovedAt { .. } => "moved",
            Finding::Noted { kind, .. } | Finding::NoTorque { kind } => kind.text(),
        },
    }
}

/// A row before it is written.
#[derive(Debug, Clone)]
struct Row {
    wrench: String,
    kind: String,
    value: String,
    entry: String,
    unit: String,
    taken_at: String,
    joint: String,
}

impl Row {
    fn line(&self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        let bike = if self.joint.is_empty() { "" } else { "b1" };
        writer
            .write_record([
                &self.wrench,
                &self.kind,
                &self.value,
                &self.entry,
                &self.unit,
                &self.taken_at,
                bike,
                &self.joint,
            ])
            .unwrap();
        String::from_utf8(writer.into_inner().unwrap()).unwrap()
    }

    /// Whether it says of a known thing that it was found in some way, and no torque.
    fn is_without_torque(&self) -> bool {
        let known = |name: &str| requirements().into_iter().any(|(entry, ..)| entry == name.trim());
        let re_check =
            Kind::parse(&self.kind).is_some_and(|kind| kind.has_torque() && kind != Kind::Tightened);
        let is_measured = Kind::parse(&self.kind) == Some(Kind::Measured);
        (is_measured || self.value.trim().is_empty() && re_check)
            && (known(&self.joint) || known(&self.entry))
    }

    /// What `check` would say, by the functions it calls; none where it would refuse the row.
    fn checked(&self) -> Option<String> {
        let by_joint = requirements().into_iter().find(|(entry, ..)| *entry == self.joint);
        let by_entry = || requirements().into_iter().find(|(entry, ..)| *entry == self.entry.trim());
        let (entry, spec, left_hand_thread) = match by_joint {
            Some((entry, _, left)) => (entry, Some(Spec::Ceiling(nm(5.5))), left),
            None => by_entry()?,
        };
        let limits = spec.map(Limits::new);
        let kind = if self.kind.trim().is_empty() { Kind::Tightened } else { Kind::parse(&self.kind)? };
        let reading = if kind.has_torque() {
            Some(parse_reading(&format!("{} {}", self.value, self.unit)).ok()?)
        } else {
            None
        };
        let torque = reading.map_or(Torque::default(), |reading| reading.torque);
        let wrench =
            wrenches().into_iter().find(|wrench| wrench.name().eq_ignore_ascii_case(self.wrench.trim()));
        let division = wrench.as_ref().and_then(|wrench| wrench.parts().step);
        let tears = entry == "range" && torque > nm(TEARS);
        if kind.has_torque() && (tears || is_no_reading(torque, division)) {
            return None;
        }
        let on = if self.taken_at.is_empty() { TODAY } else { self.taken_at.get(..10)?.parse().ok()? };
        let outcome = if let Some(wrench) = wrench.filter(|_| kind.has_torque()) {
            wrench.assess(kind, limits.as_ref(), torque, &Use { left_hand_thread, ..Use::on(on) })
        } else {
            let largest = limits.as_ref().map_or(torque, Limits::largest);
            let unknown = Instrument::of_accuracy(Accuracy::assumed(largest));
            assess(kind, limits.as_ref(), torque, &unknown, &[])
        };
        let (chance, mix_up) = match (&outcome, &limits, reading) {
            (Outcome::Judged(verdict), Some(limits), Some(reading)) => {
                let slips = suspect(limits, reading, verdict.label);
                (verdict.chance_inside, slips.first().map(|slip| slip.units))
            }
            _ => (None, None),
        };
        let too_much =
            entry == "wide" && self.joint == entry && kind != Kind::Loosening && torque > nm(BEARS);
        let chance = chance.filter(|_| !too_much);
        let result = if too_much {
            RowResult::TooMuch { why: "bolt" }
        } else {
            RowResult::Read { basis: entry, outcome: &outcome }
        };
        let text = format!(",{}{}", BareWriter.verdict(&result), BareWriter.limits(limits.as_ref()));
        let mut reasons = BareWriter.reasons(&result);
        reasons.extend(mix_up.map(|mix_up| BareWriter.mix_up(mix_up)));
        let chance = chance.map_or_else(|| b",".to_vec(), |chance| BareWriter.chance(chance).to_vec());
        Some(format!("{text}{},{}", String::from_utf8(chance).unwrap(), reasons.join("; ")))
    }
}

/// Names of wrenches as a log may write them.
const WRENCHES: [&str; 9] = ["", "small", "SMALL", "mid", "big", "certified", "never", "borrowed", "worn"];

fn rows() -> impl Strategy<Value = Row> {
    let entries: Vec<String> = requirements().into_iter().map(|(entry, ..)| entry.to_owned()).collect();
    let entry = prop_oneof![
        12 => proptest::sample::select(entries.clone()),
        1 => Just(" range ".to_owned()),
        1 => Just("nothing".to_owned()),
    ];
    let joint = prop_oneof![6 => Just(String::new()), 1 => proptest::sample::select(entries)];
    let value = prop_oneof![
        6 => (0.0..80.0_f64, 0..3_usize).prop_map(|(value, decimals)| format!("{value:.decimals$}")),
        4 => (proptest::sample::select(vec![4.0, 6.0, 5.0, 5.1, 12.0, 11.28, 12.72, 30.0, 35.0, 40.0, 50.0, 2.0, 10.0]))
            .prop_map(|value: f64| value.to_string()),
        2 => (30.0..500.0_f64).prop_map(|value| format!("{value:.0}")),
        1 => "[0-9]{1,2},[0-9]{1,3}",
        1 => prop_oneof![Just(String::new()), Just("-5".to_owned()), Just("5-6".to_owned()), Just(" 7 ".to_owned())],
    ];
    let unit = prop_oneof![
        6 => Just("N·m".to_owned()),
        4 => proptest::sample::select(vec!["in-lb", "ft-lb", "Nm", "kgf·cm", "cN·m", "IN LBS"]).prop_map(str::to_owned),
        1 => proptest::sample::select(vec!["", "lb", "kg", "furlong"]).prop_map(str::to_owned),
    ];
    let kind = prop_oneof![
        8 => Just("tightened".to_owned()),
        1 => Just(String::new()),
        4 => proptest::sample::select(Kind::ALL.to_vec()).prop_map(|kind| kind.text().to_owned()),
        1 => proptest::sample::select(vec!["HELD", " moved", "guessed"]).prop_map(str::to_owned),
    ];
    let wrench = proptest::sample::select(WRENCHES.to_vec());
    let day = prop_oneof![
        9 => (2024..2027_i32, 1..13, 1..29).prop_map(|(y, m, d)| format!("{y}-{m:02}-{d:02}T10:00")),
        1 => proptest::sample::select(vec!["", "2025-09-01", "2025-09-02 08:00", "2026-03-01", "2026-03-02", "2025-06-10", "2026-03-09T23:59", "2026-03-10T00:01", "last week"])
            .prop_map(str::to_owned),
    ];
    (wrench, kind, value, entry, unit, day, joint).prop_map(
        |(wrench, kind, value, entry, unit, taken_at, joint)| Row {
            wrench: wrench.to_owned(),
            kind,
            value,
            entry,
            unit,
            taken_at,
            joint,
        },
    )
}

fn log_of(rows: &[Row]) -> String {
    HEADER.to_owned() + &rows.iter().map(Row::line).collect::<String>()
}

/// The counts that are always all rows.
fn sum_of_six(counts: &Counts) -> u64 {
    counts.inside + counts.low + counts.high + counts.too_close + counts.not_settled + counts.rejected
}

/// Counts by what was said, from the words behind the rows.
fn tally(verdicts: &str) -> BTreeMap<String, u64> {
    let mut counts = BTreeMap::new();
    for line in verdicts.lines().skip(1) {
        let (said, _) = line.split_once('|').unwrap();
        *counts.entry(said.rsplit(',').nth(1).unwrap().to_owned()).or_default() += 1;
    }
    counts
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    /// Ten logs of a thousand rows: every row gets the verdict, the chance to the bit where it is not sure, the reasons and the
    /// slips that `check` would give it, and the sum counts them so.
    #[test]
    fn rows_are_judged_as_check_judges_them(rows in proptest::collection::vec(rows(), 1000)) {
        let log = log_of(&rows);
        let (summary, verdicts) = run(log.as_bytes(), &reference(), TERMS);
        let lines: Vec<&str> = verdicts.lines().collect();
        prop_assert_eq!(lines.len(), rows.len() + 1);
        for (row, line) in rows.iter().zip(&lines[1..]) {
            let said = line.strip_prefix(row.line().trim_end()).unwrap();
            match row.checked().filter(|_| !row.is_without_torque()) {
                Some(checked) => prop_assert_eq!(said, checked, "{:?}", row),
                None if row.is_without_torque() => prop_assert_eq!(said, ",left out,|None,,", "{:?}", row),
                None => prop_assert!(said.starts_with(",rejected,|None,,"), "{}: {:?}", said, row),
            }
        }
        let (total, told) = (summary.total(), tally(&verdicts));
        let of = |word: &str| told.get(word).copied().unwrap_or(0);
        let labels = [Label::Inside, Label::Low, Label::High, Label::TooClose].map(|label| of(label.text()));
        let high = total.high - total.too_much;
        prop_assert_eq!([total.inside, total.low, high, total.too_close], labels);
        prop_assert_eq!(total.too_much, of("too much"));
        prop_assert!(total.too_much > 0 && summary.faults.contains_key(&Fault::TearsAny));
        prop_assert_eq!((total.rejected, total.moved), (of("rejected"), of("moved")));
        prop_assert_eq!((total.rows + of("left out"), summary.all_rows()), (1000, 1000));
        prop_assert_eq!(sum_of_six(&total), total.rows);
        prop_assert!(total.unit_slips > 0 && total.in_doubt > 0);
        let spent = "CyclesSpent { since: 2025-06-10 allowed: 5000 }";
        prop_assert!(verdicts.contains(spent), "{}", verdicts);
        prop_assert!(total.held + total.held_low > 0);
    }

    /// One thread or many, whole or in pieces: the same to the bit.
    #[test]
    fn threads_and_cuts_change_nothing(
        rows in proptest::collection::vec(rows(), 300), repeat in 1..30_usize, cuts in proptest::collection::vec(0..300_usize, 1..5),
    ) {
        let lines = rows.len() * repeat;
        let body: Vec<String> = rows.iter().map(Row::line).cycle().take(lines).collect();
        let log = HEADER.to_owned() + &body.concat();
        let reference = reference();
        let one = run(log.as_bytes(), &reference, Terms { threads: 1, ..TERMS });
        prop_assert_eq!(&run(log.as_bytes(), &reference, Terms { threads: 5, ..TERMS }), &one);
        let mut cuts: Vec<usize> = cuts.into_iter().map(|cut| cut * repeat).chain([0, body.len()]).collect();
        cuts.sort_unstable();
        let mut pieces = cuts.windows(2).map(|pair| {
            run((HEADER.to_owned() + &body[pair[0]..pair[1]].concat()).as_bytes(), &reference, TERMS).0
        });
        let mut sum = pieces.next().unwrap();
        for piece in pieces {
            sum.append(piece).unwrap();
        }
        prop_assert_eq!(serde_json::to_string(&sum).unwrap(), serde_json::to_string(&one.0).unwrap());
        let read: Summary = serde_json::from_str(&serde_json::to_string(&sum).unwrap()).unwrap();
        prop_assert_eq!(read, sum);
    }
}

/// Writes a mark behind every row and nothing else.
struct MarkWriter;

const MARK: &str = "§§";
const MARK_OF_CHANCE: &str = "⁂";

impl RowWriter for MarkWriter {
    fn header(&self) -> String {
        String::new()
    }

    fn separator(&self) -> Separator {
        Separator::COMMA
    }

    fn verdict(&self, _: &RowResult<'_>) -> &'static str {
        MARK
    }

    fn limits(&self, _: Option<&Limits>) -> String {
        String::new()
    }

    fn chance(&self, _: Probability) -> [u8; CHANCE_LENGTH] {
        MARK_OF_CHANCE.repeat(2).into_bytes().try_into().unwrap()
    }

    fn reasons(&self, _: &RowResult<'_>) -> Vec<String> {
        Vec::new()
    }

    fn mix_up(&self, _: MixUp) -> String {
        String::new()
    }
}

/// Lines that are not blank, without commas at the end: rows with too few fields get some.
fn lines_of(text: &str) -> Vec<&str> {
    let is_filled = |line: &&str| line.contains(|c| c != ',' && c != ' ');
    text.lines().map(|line| line.trim_end_matches(['\r', ','])).filter(is_filled).collect()
}

/// Bytes that begin like a log and go wrong in every way.
fn wild_bytes() -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        6 => rows().prop_map(|row| row.line().into_bytes()),
        2 => proptest::collection::vec(any::<u8>(), 0..60),
        2 => "[,\"\n\r0-9.a-z ]{0,40}".prop_map(String::into_bytes),
        1 => Just(b"\"".to_vec()),
        1 => Just(b",\"\n".to_vec()),
    ];
    proptest::collection::vec(piece, 0..60).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    /// Whatever the bytes, none is lost, and every row is counted and written once.
    #[test]
    fn no_bytes_are_lost(bytes in wild_bytes(), plain in any::<bool>(), threads in 1..3_usize) {
        let log = [HEADER.as_bytes(), &bytes].concat();
        // Chance makes the marks themselves now and then.
        let has = |mark: &str| String::from_utf8_lossy(&log).contains(mark);
        prop_assume!(!has(MARK) && !has(MARK_OF_CHANCE));
        let rule = if plain { Rule::Plain } else { Rule::Guarded };
        let (summary, verdicts) = run_with(&MarkWriter, &log, &reference(), Terms { rule, threads, ..TERMS });
        let (written, read) = (verdicts.replace(MARK, "").replace(MARK_OF_CHANCE, ""), String::from_utf8_lossy(&log));
        prop_assert_eq!(lines_of(&written), lines_of(&read));
        let total = summary.total();
        prop_assert_eq!(summary.all_rows(), verdicts.matches(MARK).count() as u64);
        prop_assert_eq!(total.rows, sum_of_six(&total));
        for counts in summary.entries.values().map(EntrySummary::counts) {
            prop_assert_eq!(counts.rows, sum_of_six(&counts));
        }
    }

    /// Bytes that are no log at all are refused or judged, and nothing breaks.
    #[test]
    fn no_bytes_break_it(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let outputs = Outputs { verdicts: None, rejects: None, progress: &|_| () };
        if let Ok(log) = Log::open(Cursor::new(bytes)) {
            let _ = log.audit(&reference(), TERMS, outputs);
        }
    }
}

#[test]
fn the_worst_come_in_order_with_their_rows() {
    let values = ["7", "9", "2", "9", "0.5", "5"];
    let log = values.map(|value| format!(",,{value},range,N·m,,,\n")).concat();
    let (summary, _) =
        run((HEADER.to_owned() + &log.repeat(2)).as_bytes(), &reference(), Terms { worst: 5, ..TERMS });
    let rows: Vec<u64> = summary.worst.iter().map(|worst| worst.row).take(8).collect();
    assert_eq!(rows, [5, 11, 3, 9, 2, 4, 8, 10]);
    assert_eq!((summary.worst[0].times, summary.worst[2].times), (Some(8.0), Some(2.0)));
}

#[test]
fn rows_are_in_doubt_from_the_day_on_which_the_operations_were_spent_to_the_next_calibration() {
    let log: String =
        ["2025-06-09", "2025-06-10", "2025-11-30", "2025-12-01", "2026-03-09", "2026-03-10", ""]
            .map(|day| format!("worn,tightened,40,wide,N·m,{day},,\n"))
            .concat();
    let (summary, verdicts) = run((HEADER.to_owned() + &log).as_bytes(), &reference(), TERMS);
    let total = summary.total();
    assert_eq!((total.inside, total.in_doubt, total.not_settled), (3, 4, 4), "{verdicts}");
    let doubted: Vec<bool> = verdicts.lines().skip(1).map(|line| line.contains("CyclesSpent")).collect();
    assert_eq!(doubted, [false, true, true, false, false, true, true], "{verdicts}");
}

/// Rows of an exported log with the columns in which lines correct and strike others; what was left out and rejected.
fn set_aside(rows: &str) -> (BTreeMap<LeftOut, u64>, BTreeMap<Fault, u64>, u64) {
    let log = format!("bike,joint,entry,value,unit,kind,finding,action,id,corrects\n{rows}");
    let open = || Log::open(Cursor::new(log.clone())).unwrap();
    let corrected = open().corrected(&mut std::io::sink()).unwrap();
    let outputs = Outputs { verdicts: None, rejects: None, progress: &|_| () };
    let summary = open().without(corrected).audit(&reference(), TERMS, outputs).unwrap();
    let rows = summary.total().rows;
    (summary.left_out, summary.faults, rows)
}

/// A line that corrects strikes only where it says nothing else: no value, no finding, no action, and that the bolt was
/// skipped.
#[test]
fn what_corrects_and_says_something_strikes_nothing() {
    let rows = |last: &str| format!("b1,range,range,5,N·m,tightened,,,1,\nb1,range,range,{last},2,1\n");
    let corrected = |count| (LeftOut::Corrected, count);
    for (last, left_out, counted) in [
        (",,skipped,,", vec![corrected(2)], 0),
        (", , SKIPPED , ,", vec![corrected(2)], 0),
        (",,skipped,,replaced", vec![corrected(1)], 1),
        (",,skipped,fine,", vec![corrected(1), (LeftOut::Finding, 1)], 0),
        (",,held,,", vec![corrected(1), (LeftOut::Finding, 1)], 0),
        (",,by-hand,,", vec![corrected(1)], 1),
        ("5,N·m,tightened,,", vec![corrected(1)], 1),
    ] {
        let left_out = left_out.into_iter().collect();
        assert_eq!(set_aside(&rows(last)), (left_out, BTreeMap::new(), counted), "{last}");
    }
}

/// An exported log of joints that were taken off has hand checks of them, which no entry stands for.
#[test]
fn what_is_no_torque_of_an_unknown_joint_is_left_out_and_a_torque_is_rejected() {
    for (row, left_out) in [
        (",,skipped,fine,", Some(LeftOut::Finding)),
        (",,by-hand,,", Some(LeftOut::Finding)),
        (",,held,,", Some(LeftOut::Finding)),
        ("3.2,mm,measured,,", Some(LeftOut::Measure)),
        ("5,N·m,tightened,,", None),
        ("5,N·m,,fine,", None),
        (",,tightened,,", None),
        (",,guessed,,", None),
    ] {
        let found = set_aside(&format!("b9,tyre-front,,{row},1,\n"));
        let expected = match left_out {
            Some(why) => (BTreeMap::from([(why, 1)]), BTreeMap::new(), 0),
            None => (BTreeMap::new(), BTreeMap::from([(Fault::Joint, 1)]), 1),
        };
        assert_eq!(found, expected, "{row}");
    }
}

/// With or without a wrench, as a log is taken in; no day at all is the day of the audit.
#[test]
fn a_row_whose_day_cannot_be_read_is_rejected_whoever_measured() {
    for (wrench, kind) in [("", "tightened"), ("small", "tightened"), ("borrowed", "held"), ("", "by-hand")] {
        let log = |day| format!("{HEADER}{wrench},{kind},5,range,N·m,{day},,\n");
        for (day, rejected) in [("last week", 1), ("2026-13-01", 1), ("2026-05-01", 0), ("", 0)] {
            let (summary, verdicts) = run(log(day).as_bytes(), &reference(), TERMS);
            assert_eq!(summary.total().rejected, rejected, "{wrench} {kind} {day}: {verdicts}");
            assert_eq!(summary.faults.get(&Fault::Day).copied().unwrap_or(0), rejected, "{verdicts}");
        }
    }
}

#[test]
fn a_joint_is_judged_by_its_own_limits_and_counted_by_its_entry() {
    let log = HEADER.to_owned()
        + ",,5.8,,N·m,,b1,range\n,,5.8,range,N·m,,b2,range\n,,5.8,,N·m,,b2,range\n,,5.8,,N·m,,,\n";
    let (summary, verdicts) = run(log.as_bytes(), &reference(), TERMS);
    let total = summary.total();
    assert_eq!((total.too_close, total.rejected), (2, 2), "{verdicts}");
    assert_eq!(summary.faults, BTreeMap::from([(Fault::Joint, 1), (Fault::NoEntry, 1)]));
    assert_eq!(summary.entries["range"].counts().rows, 2);
    assert_eq!(
        summary.by_wrench()[""],
        WrenchCounts {
            registered: false,
            counts: Counts { rows: 2, too_close: 2, ..summary.by_wrench()[""].counts }
        }
    );
}

/// Names of wrenches that are not registered, more than are counted apart: in any order and by any number of
/// threads they are counted together.
#[test]
fn more_names_than_are_counted_apart_are_counted_together() {
    let row = |name: usize| format!("stray{name},tightened,5,range,N·m,2026-05-01,,\n");
    let (fewer, more): (String, String) =
        ((0..6000).map(|at| row(at % 1000)).collect(), (0..6000).map(|at| row(at % 1001)).collect());
    for threads in [1, 4] {
        let terms = Terms { threads, ..TERMS };
        let (summary, _) = run((HEADER.to_owned() + &fewer).as_bytes(), &reference(), terms);
        assert!(summary.by_wrench().values().all(|wrench| wrench.counts.rows == 6));
        assert_eq!(summary.by_wrench().len(), 1000);
        let (summary, _) = run((HEADER.to_owned() + &more).as_bytes(), &reference(), terms);
        assert_eq!(summary.by_wrench().into_keys().collect::<Vec<_>>(), ["(others)"]);
        assert_eq!(summary.total().rows, 6000);
    }
}

#[test]
fn a_header_is_read_however_long_it_is() {
    for length in [10, 40, 80] {
        let spare = (0..100).map(|column| format!(",{column:0length$}")).collect::<Vec<_>>().concat();
        for front in ["", "\r\n\n", "\u{feff}\"note\non it\","] {
            let header = format!("{front}{}{spare}", HEADER.trim_end());
            let noted = if front.contains("note") { "," } else { "" };
            let log = format!("{header}\n{noted},,5,range,N·m,,,{}\n", ",".repeat(100));
            let (summary, verdicts) = run(log.as_bytes(), &reference(), TERMS);
            assert_eq!((summary.total().rows, summary.total().rejected), (1, 0), "{length}: {verdicts}");
            assert!(verdicts.starts_with(&header));
        }
    }
}

/// Takes the header and then breaks.
struct Breaking;

impl Write for Breaking {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        assert!(bytes.len() < 1000, "as is meant");
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_thread_that_panics_leaves_no_other_waiting() {
    let (done, wait) = mpsc::channel();
    let audit = std::thread::spawn(move || {
        let log = HEADER.to_owned() + &",,5,range,N·m,,,\n".repeat(100_000);
        let outputs =
            Outputs { verdicts: Some((&mut Breaking, &BareWriter)), rejects: None, progress: &|_| () };
        let _done = done;
        Log::open(Cursor::new(log))
            .unwrap()
            .audit(&reference(), Terms { threads: 4, ..TERMS }, outputs)
            .is_ok()
    });
    let ended: Result<(), _> = wait.recv_timeout(std::time::Duration::from_mins(1));
    assert_eq!(ended, Err(mpsc::RecvTimeoutError::Disconnected), "the audit hangs");
    assert!(audit.join().is_err());
}
