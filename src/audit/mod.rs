//! A whole log judged row by row, at speed.
//!
//! A log is read in chunks that end with a record, each core takes the next chunk, and results keep the
//! order of the rows (`run`). What is there for speed alone is behind the interface of `engine`. Every row is
//! judged by the core's own functions ([`Gauge::label`](crate::conformity::Gauge::label),
//! [`finding`](crate::conformity::finding), [`scale_doubt`](crate::wrench::Wrench::scale_doubt),
//! [`Watch`](crate::conformity::slip::Watch)). Nothing here knows SQLite, the command line or how results
//! look.

mod counts;
mod engine;
mod error;
mod outputs;
mod reference;
mod run;
mod summary;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

pub use counts::{Counts, Fault, LeftOut};
pub use error::AuditError;
pub use outputs::{CHANCE_LENGTH, Outputs, RowResult, RowWriter};
pub use reference::{BoltLimit, Reference, Requirement};
pub use run::Log;
pub use summary::{EntrySummary, Histogram, Summary, WORST_KEPT, Worst, WrenchCounts};

/// How readings are compared with their limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Rule {
    /// As `check` does: with the uncertainty of the wrench and a guard band.
    Guarded,
    /// As if they were known exactly, whatever the wrench: for comparison with other programs.
    Plain,
}

#[derive(Debug, Clone, Copy)]
pub struct Terms {
    pub rule: Rule,
    /// The day for readings without one.
    pub today: Date,
    pub threads: usize,
    /// How many of the readings furthest outside are kept.
    pub worst: usize,
    pub histograms: bool,
    pub strict: bool,
}

impl Terms {
    /// How many of the worst a summary keeps, for whoever adds pieces up.
    fn worst_kept(&self) -> usize {
        self.worst.max(WORST_KEPT)
    }
}
