//! Writes a log of invented readings for tests and benchmarks: `make_log ROWS SEED FILE`.
//!
//! The same seed gives the same bytes. Entries are those of the compiled-in book that have limits, and
//! a few that have none. Most readings lie about the middle of the band; some are low, high, in
//! another unit or set on another scale; a few rows cannot be read. Wrenches are of our own invention;
//! `tools/bench_audit.py` registers most of them.

use std::error::Error;
use std::fs::File;
use std::io::{BufWriter, Write};

use evenclamp::book::{Book, compiled_in, consensus};
use evenclamp::quantity::{Spec, Torque, TorqueUnit, in_newton_metres};
use evenclamp::store::{BookOrigin, Store};

/// Random numbers by the SplitMix64 recurrence (Steele, Lea and Flood, OOPSLA 2014).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % most as u64).unwrap_or(0)
    }

    fn unit(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).unwrap_or(0)) / f64::from(u32::MAX)
    }

    fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    /// About 0, with a standard deviation of 1: the sum of twelve.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.unit()).sum::<f64>() - 6.0
    }
}

/// An entry with the torque that one would aim at.
struct Target {
    entry: String,
    aim: Torque,
}

/// The units of the log with their usual decimals.
const UNITS: [(&str, TorqueUnit, usize); 4] = [
    ("N·m", TorqueUnit::NewtonMetre, 1),
    ("Nm", TorqueUnit::NewtonMetre, 1),
    ("in-lb", TorqueUnit::PoundForceInch, 0),
    ("ft-lb", TorqueUnit::PoundForceFoot, 1),
];
const PEOPLE: [&str; 6] = ["a", "b", "c", "d", "e", "f"];
const RECHECKS: [&str; 6] = ["held", "moved", "loosening", "back-to-mark", "by-hand", "skipped"];

fn targets() -> Result<Vec<Target>, Box<dyn Error>> {
    let book = Book::read(&compiled_in()).map_err(|_| "the compiled-in book has complaints")?;
    let mut store = Store::in_memory()?;
    store.load_book(&book, &BookOrigin::CompiledIn)?;
    let mut targets = Vec::new();
    for (entry, evidence) in store.all_entries()? {
        let aim = match consensus(&evidence).spec.map(Spec::limits) {
            Some((Some(low), Some(high))) => (low + high) / 2.0,
            Some((None, Some(end)) | (Some(end), None)) => end,
            _ if targets.len() % 9 == 8 => TorqueUnit::NewtonMetre.of(6.0),
            _ => continue,
        };
        targets.push(Target { entry: entry.entry, aim });
    }
    Ok(targets)
}

/// The wrenches of the workshop with their scales in N·m; the last two are nobody's.
const WRENCHES: [(&str, f64, f64); 12] = [
    ("w0", 2.0, 10.0),
    ("w1", 2.0, 10.0),
    ("w2", 5.0, 25.0),
    ("w3", 5.0, 25.0),
    ("w4", 10.0, 60.0),
    ("w5", 10.0, 60.0),
    ("w6", 20.0, 100.0),
    ("w7", 4.0, 20.0),
    ("w8", 0.5, 5.0),
    ("w9", 0.5, 5.0),
    ("w10", 0.5, 200.0),
    ("w11", 0.5, 200.0),
];

/// A wrench that serves the torque, as a rule.
fn wrench(random: &mut Random, target: &Target) -> &'static str {
    let aim = in_newton_metres(target.aim);
    let any = WRENCHES[random.below(WRENCHES.len())];
    let serves = |(_, low, high): (&str, f64, f64)| low * 1.2 < aim && aim < high * 0.9;
    if random.chance(0.03) {
        return any.0;
    }
    (0..20).map(|_| WRENCHES[random.below(WRENCHES.len())]).find(|wrench| serves(*wrench)).unwrap_or(any).0
}

/// The value and unit of a row, as written.
fn value(random: &mut Random, target: &Target) -> (String, &'static str) {
    let (word, unit, decimals) = UNITS[[0, 0, 0, 1, 2, 2, 3][random.below(7)]];
    // A click wrench shows what it was set to: half of the readings are the setting itself.
    let spread = match random.below(100) {
        0..8 => 0.35,
        8..50 => 0.06,
        _ => 0.0,
    };
    let torque = target.aim * (1.0 + spread * random.normal()).max(0.05);
    let written = if random.chance(0.006) { TorqueUnit::PoundForceInch } else { unit };
    let decimals = if in_newton_metres(target.aim) < 2.0 { decimals + 1 } else { decimals };
    let number = format!("{:.decimals$}", written.value_of(torque));
    match random.below(2000) {
        0 => ("-".to_owned(), word),
        1 => (number, "lb"),
        2 => (number + "?", word),
        3..=30 if number.contains('.') => (format!("\"{}\"", number.replace('.', ",")), word),
        _ => (number, word),
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [rows, seed, file] = arguments.as_slice() else { return Err("make_log ROWS SEED FILE".into()) };
    let (rows, seed): (u64, u64) = (rows.parse()?, seed.parse()?);
    let (targets, mut random) = (targets()?, Random(seed));
    let mut log = BufWriter::with_capacity(1 << 20, File::create(file)?);
    writeln!(log, "taken_at,bike,joint,entry,bolt,value,unit,kind,wrench,who,note")?;
    for row in 0..rows {
        // A few kinds of bolt make most of a log.
        let target = &targets[random.below(targets.len()).min(random.below(targets.len()))];
        let (value, unit) = value(&mut random, target);
        let entry = if random.chance(0.0005) { "seat-post-clmp" } else { target.entry.as_str() };
        let kind = if random.chance(0.04) { RECHECKS[random.below(6)] } else { "tightened" };
        let day = row * 700 / rows.max(1);
        let (year, month, of_month) = (2024 + day / 336, day / 28 % 12 + 1, day % 28 + 1);
        writeln!(
            log,
            "{year}-{month:02}-{of_month:02}T{:02},b{},,{entry},{},{value},{unit},{kind},{},{},",
            8 + random.below(10),
            random.below(2000),
            1 + random.below(4),
            wrench(&mut random, target),
            PEOPLE[random.below(6)],
        )?;
    }
    log.flush()?;
    Ok(())
}
