//! What the workshop book has to say.

mod bicycle;
mod card;
mod card_html;
mod changes;
mod due;
mod event;
mod fleet;
mod history;
mod joint_sheet;
mod plot;
mod question;
mod ready;
mod ready_text;
mod recall;
mod record;
mod round;
mod set;

pub use bicycle::{AlteredBicycle, BicycleReport, ChangedJoints, FleetList};
pub use card::CardReport;
pub use card_html::card_html;
pub use changes::ChangesReport;
pub use due::DueReport;
pub use event::EventReport;
pub use fleet::FleetReady;
pub use history::HistoryReport;
pub use joint_sheet::{JointSheet, SheetTaken, TakenField};
pub use plot::history_svg;
pub use question::ItemQuestion;
pub use ready::ReadyReport;
pub use recall::RecallReport;
pub(super) use recall::{recalled_json, recalled_text};
pub use record::{ImportReport, RecordReport, told};
pub use round::{RoundReport, RoundTally};
pub use set::JointSetting;
