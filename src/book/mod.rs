//! The spec book: curated sheets, read strictly, and what they say about an entry.
//!
//! A book is either whole or refused: [`Book::read`] lists every diagnostic at once.

mod alias;
mod band;
mod bare;
mod claim;
mod compiled_in;
mod entry;
mod evidence;
mod files;
mod interval;
mod joint_kind;
mod limit;
mod page;
mod plausible;
mod source;
mod step;
mod template;
mod validate;

use crate::sheet;

pub use crate::sheet::{Cell, Diagnostic, Diagnostics, Place, Row, Severity, Sheet, read_sheet, write_sheet};
pub(crate) use bare::{ClaimCells, HandedCells, IssuerCells};
pub(crate) use entry::EntryCells;
pub(crate) use evidence::EvidenceCells;
pub(crate) use interval::IntervalCells;
pub(crate) use joint_kind::LayoutCells;
pub(crate) use limit::LimitCells;
pub(crate) use source::SourceCells;
pub(crate) use step::StepCells;
pub(crate) use template::TemplateCells;

pub use alias::{ALIASES, Alias};
pub use band::{BandState, Consensus, IssuerRange, TorqueInterval, best_intervals, consensus, issuer_ranges};
pub use bare::{BareEntry, CLAIMS, HANDED_ENTRIES, ISSUERS};
pub use claim::Claim;
pub use compiled_in::compiled_in;
pub use entry::{ENTRIES, Entry, Hand};
pub use evidence::{EVIDENCE, Evidence, Grade};
pub use files::Files;
pub use interval::{EventKind, INTERVALS, Scope, ServiceInterval, Trigger};
pub use joint_kind::{JointKind, LAYOUTS, Way};
pub use limit::{LIMITS, MeasuredItem, MeasuredVerdict, SourcedLimit};
pub use page::{Page, word_of_band};
pub use source::{SOURCES, Source};
pub use step::{COMMON_PRACTICE, Phase, STEPS, Step};
pub use template::{Check, TEMPLATES, TemplateJoint};
pub use validate::{Book, SHEETS};
