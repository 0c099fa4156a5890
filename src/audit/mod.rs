//! A whole log judged row by row, at speed.
//!
//! Bytes stay bytes: a log is read in chunks that end with a record, each core takes the next chunk, and
//! results keep the order of the rows. Every row is judged by the core's own functions
//! ([`Gauge::label`](crate::conformity::Gauge::label), [`finding`](crate::conformity::finding),
//! [`scale_doubt`](crate::wrench::Wrench::scale_doubt), [`Watch`](crate::conformity::slip::Watch));
//! what they need of an entry and a wrench is worked out once. Nothing here knows SQLite, the command line
//! or how results look.

mod chances;
mod columns;
mod counts;
mod error;
mod explain;
mod field;
mod histogram;
mod interned;
mod ladder;
mod lock;
mod names;
mod number;
mod pairs;
mod phrases;
mod quoted;
mod record;
mod reference;
mod row;
mod run;
mod signs;
mod slot;
mod source;
mod summary;
mod tally;
mod text;
mod turns;
mod value;
mod verdicts;
mod worst;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use columns::Columns;

pub use counts::{Counts, Fault};
pub use error::AuditError;
pub use histogram::{BINS, Histogram};
pub use reference::{Reference, Subject};
pub use run::audit;
pub use source::unpacked;
pub use summary::{EntrySummary, Summary, WORST_KEPT, Worst, WrenchCounts};
pub use turns::Outputs;
pub use verdicts::{Told, Wording};

/// How readings are compared with their limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Rule {
    /// As `check` does: with the uncertainty of the wrench and a guard band.
    Guarded,
    /// As if they were known exactly, whatever the wrench: for comparison with other programs.
    Plain,
}

/// How a log is to be judged.
#[derive(Debug, Clone, Copy)]
pub struct Terms {
    /// The rule.
    pub rule: Rule,
    /// The day for readings without one.
    pub today: Date,
    /// Cores to use.
    pub threads: usize,
    /// How many of the readings furthest outside are kept.
    pub worst: usize,
    /// Whether the spread of readings is counted.
    pub histograms: bool,
    /// Whether a row that cannot be read ends it all.
    pub strict: bool,
}

impl Terms {
    /// How many of the worst a summary keeps, for whoever adds pieces up.
    fn worst_kept(&self) -> usize {
        self.worst.max(WORST_KEPT)
    }
}
