//! The engine through its interface: chunks go in, results come out.

use super::super::{CHANCE_LENGTH, Requirement, RowResult, Rule};
use super::*;
use crate::audit::Fault;
use crate::conformity::slip::MixUp;
use crate::conformity::{Limits, Outcome, Probability};
use crate::quantity::{Spec, in_newton_metres};
use crate::sheet::Separator;
use jiff::civil::date;

/// Writes labels and chances of three decimals.
struct LabelWriter;

impl RowWriter for LabelWriter {
    fn header(&self) -> String {
        String::new()
    }

    fn separator(&self) -> Separator {
        Separator::COMMA
    }

    fn verdict(&self, result: &RowResult<'_>) -> &'static str {
        match result {
            RowResult::Read { outcome: Outcome::Judged(verdict), .. } => verdict.label.text(),
            RowResult::Read { outcome: Outcome::ReCheck { .. }, .. } => "checked",
            RowResult::Plain { label } => label.text(),
            RowResult::TooMuch { .. } => "too much",
            RowResult::Rejected { .. } => "rejected",
            RowResult::LeftOut { .. } => "left out",
        }
    }

    fn limits(&self, limits: Option<&Limits>) -> String {
        limits.map_or_else(|| "|-".to_owned(), |limits| format!("|{:?}", limits.high().map(in_newton_metres)))
    }

    fn chance(&self, chance: Probability) -> [u8; CHANCE_LENGTH] {
        format!("|{:.3}", chance.value()).into_bytes().try_into().unwrap()
    }

    fn reasons(&self, result: &RowResult<'_>) -> Vec<String> {
        match result {
            RowResult::Read { outcome: Outcome::Judged(verdict), basis }
                if verdict.chance_inside.is_none() =>
            {
                vec![(*basis).to_owned()]
            }
            RowResult::TooMuch { why } => vec![(*why).to_owned()],
            RowResult::Rejected { reason } => vec![(*reason).to_owned()],
            _ => Vec::new(),
        }
    }

    fn mix_up(&self, mix_up: MixUp) -> String {
        format!("perhaps {}", mix_up.meant)
    }
}

fn reference() -> Reference {
    let mut reference = Reference::default();
    for (entry, limits) in [("axle", Some(Limits::new(Spec::range_nm(4.0, 8.0)))), ("disputed", None)] {
        reference.add_entry(Requirement {
            entry: entry.to_owned(),
            limits,
            basis: "say \"who\"".to_owned(),
            left_hand: false,
            bolt: None,
            tears_above: None,
        });
    }
    reference
}

/// Results of chunks of a log with the columns entry, value, unit and kind; rows and worst of the summary.
fn judged(rule: Rule, strict: bool, writes: bool, chunks: &[&str]) -> (Vec<ChunkResult>, Summary) {
    let (_, columns) = AuditColumns::read(b"entry,value,unit,kind").unwrap();
    let terms = Terms { rule, today: date(2026, 6, 1), threads: 1, worst: 2, histograms: true, strict };
    let noted = Noted { writer: writes.then_some(&LabelWriter as &dyn RowWriter), rejects: writes };
    let reference = reference();
    let mut engine = Engine::new(&reference, (columns, Arc::default()), terms, noted);
    let results = chunks.iter().zip(0..).map(|(chunk, number)| {
        let mut result = ChunkResult::default();
        engine.judge(number, chunk.as_bytes(), &mut result);
        result
    });
    let results: Vec<ChunkResult> = results.collect();
    let starts: Vec<u64> = results
        .iter()
        .scan(0, |before, result| {
            *before += result.rows;
            Some(*before - result.rows)
        })
        .collect();
    (results, engine.into_summary(&starts))
}

const CHUNKS: [&str; 2] = [
    "axle,6,N·m,\naxle,12,N·m,tightened\r\n\n\"axle\",\"6,5\",Nm,held\nnothing,6,N·m,\naxle,6\n",
    "axle,53,N·m,\ndisputed,5,N·m,\naxle,\"6\n",
];

#[test]
fn every_row_gets_its_result_and_its_own_line_end() {
    let (results, _) = judged(Rule::Guarded, false, true, &CHUNKS);
    let texts: Vec<String> =
        results.iter().map(|result| String::from_utf8(result.verdicts.clone()).unwrap()).collect();
    assert_eq!(
        texts,
        [
            "axle,6,N·m,,inside|Some(8.0)|1.000,\naxle,12,N·m,tightened,high|Some(8.0)|0.000,\r\n\
             \"axle\",\"6,5\",Nm,held,checked|Some(8.0),,\n\
             nothing,6,N·m,,rejected|-,,the book has no entry `nothing`\n\
             axle,6,,,rejected|-,,\"2 fields, the header has 4\"\n",
            "axle,53,N·m,,high|Some(8.0)|0.000,perhaps lbf·in\ndisputed,5,N·m,,not settled|-,,\"say \"\"who\"\"\"\n\
             axle,\"6,,,,rejected|-,,a quote is not closed\n"
        ]
    );
    assert_eq!(results.iter().map(|result| result.rows).collect::<Vec<_>>(), [5, 3]);
    let reject = Reject { row: 3, reason: "a quote is not closed".to_owned(), raw: 31..38 };
    assert_eq!(results[1].rejects, [reject]);
}

#[test]
fn rows_are_counted_by_entry_and_the_worst_numbered_through() {
    for writes in [false, true] {
        let (results, summary) = judged(Rule::Guarded, false, writes, &CHUNKS);
        assert!(
            writes || results.iter().all(|result| result.verdicts.is_empty() && result.rejects.is_empty())
        );
        let axle = &summary.entries["axle"];
        let counts = axle.counts();
        assert_eq!(
            (counts.rows, counts.inside, counts.high, counts.held, counts.unit_slips),
            (4, 1, 2, 1, 1)
        );
        assert_eq!((axle.low_nm, axle.high_nm), (Some(4.0), Some(8.0)));
        assert_eq!(axle.histogram.as_ref().unwrap().bins.iter().sum::<u64>(), 3);
        assert_eq!(summary.entries["disputed"].counts().no_figure, 1);
        assert_eq!((summary.loose.rows, summary.loose.rejected), (3, 3));
        let faults = [(Fault::Columns, 1), (Fault::Quote, 1), (Fault::Entry, 1)];
        assert_eq!(summary.faults.into_iter().collect::<Vec<_>>(), faults);
        let worst: Vec<(u64, f64)> =
            summary.worst.iter().map(|worst| (worst.row, worst.reading_nm)).collect();
        assert_eq!(worst, [(6, 53.0), (2, 12.0)]);
    }
}

#[test]
fn readings_taken_as_exact_have_no_chance_and_no_suspicion() {
    let (results, _) = judged(Rule::Plain, false, true, &["axle,8,N·m,\naxle,53,N·m,\n"]);
    assert_eq!(
        String::from_utf8_lossy(&results[0].verdicts),
        "axle,8,N·m,,inside|Some(8.0),,\naxle,53,N·m,,high|Some(8.0),,\n"
    );
}

#[test]
fn under_strict_the_first_reject_is_noted_though_nobody_lists_them() {
    let (results, _) = judged(Rule::Guarded, true, false, &CHUNKS);
    assert_eq!(results[0].rejects.len(), 1);
    assert_eq!(results[0].rejects[0].row, 4);
}
