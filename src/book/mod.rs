//! The spec book: curated sheets, read strictly, and what they say about an entry.
//!
//! A book is either whole or refused: [`Book::read`] lists every complaint at once.

mod alias;
mod band;
mod compiled_in;
mod complaint;
mod entry;
mod evidence;
mod field;
mod interval;
mod limit;
mod page;
mod search;
mod sheet;
mod source;
mod step;
mod template;
mod whole;

pub use alias::{ALIASES, Alias};
pub use band::{Consensus, State, Stretch, Voice, best_stretches, consensus, voices};
pub use compiled_in::compiled_in;
pub use complaint::{Complaint, Complaints, Place, Severity};
pub use entry::{ENTRIES, Entry, Hand};
pub use evidence::{EVIDENCE, Evidence, Grade};
pub use interval::{EventKind, INTERVALS, Interval, Scope, Trigger};
pub use limit::{LIMITS, MeasuredItem, MeasuredVerdict, SourcedLimit};
pub use page::Page;
pub use search::{corrected, nearest_words, words_of};
pub use sheet::{Cell, Row, Sheet, read_sheet, write_sheet};
pub use source::{SOURCES, Source};
pub use step::{COMMON_PRACTICE, Phase, STEPS, Step};
pub use template::{Check, TEMPLATES, TemplateJoint};
pub use whole::{Book, Files, SHEETS};
