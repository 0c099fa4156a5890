//! The spec book: curated sheets, read strictly, and what they say about an entry.
//!
//! A book is either whole or refused: [`Book::read`] lists every diagnostic at once.

mod alias;
mod backing;
mod band;
mod bare;
mod claim;
mod compiled_in;
mod dissent;
mod entry;
mod evidence;
mod files;
mod interval;
mod joint_kind;
mod limit;
mod orientation;
mod own;
mod page;
mod plausible;
mod ridden;
mod round;
mod search;
mod source;
mod step;
mod template;
mod validate;
mod voice;

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
pub(crate) use template::{TemplateCells, kind_called};

pub(crate) use alias::{ALIASES, Alias, AliasCells};
pub use backing::Backing;
pub use band::{BandState, Consensus, IssuerRange, TorqueInterval, best_intervals, consensus};
pub(crate) use bare::BareEntry;
pub use claim::{Claim, Speaker};
pub use compiled_in::compiled_in;
pub use dissent::Dissent;
pub(crate) use entry::ENTRIES;
pub use entry::{Entry, Hand};
pub(crate) use evidence::EVIDENCE;
pub use evidence::{Evidence, Grade};
pub use files::Files;
pub(crate) use interval::{EventKind, INTERVALS, Scope, ServiceInterval, Trigger};
pub(crate) use joint_kind::LAYOUTS;
pub use joint_kind::{JointKind, Way};
pub(crate) use limit::{LIMITS, MeasuredItem, MeasuredVerdict, SourcedLimit};
pub use orientation::Orientation;
pub(crate) use own::OWN_GRADES;
pub use own::{OwnFault, OwnFigure, OwnRow};
pub use page::Page;
pub(crate) use page::{ONE_VALUE, word_of_band};
pub use ridden::Commonness;
pub use round::{Round, Rounds};
pub(crate) use search::{CalledEntry, NameSearch};
pub use search::{Found, Hit};
pub(crate) use source::SOURCES;
pub use source::Source;
pub(crate) use step::STEPS;
pub use step::{COMMON_PRACTICE, Phase, Step};
pub(crate) use template::{Check, TEMPLATES, TemplateJoint};
pub use validate::Book;
pub(crate) use validate::SHEETS;
pub(crate) use voice::Voices;
