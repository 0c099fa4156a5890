//! What a command has to say, and how it is written: text for people, JSON and CSV for programs.
//!
//! A report holds what it is about; nothing is rounded or laid out before it gets here. Its JSON names each key once, and
//! the columns of its CSV are keys of it.

mod aim;
mod audit;
mod audit_plot;
mod audit_row;
mod band;
mod bolt;
mod bolt_keys;
mod book;
mod chart;
mod check;
mod condition;
mod convert;
mod demo;
mod digits;
mod figure;
mod find;
mod journal;
mod order;
mod own;
mod pick;
mod setting;
mod sheet;
mod show;
mod style;
mod sweep;
mod sweep_plot;
mod table;
mod words;
mod workshop;
mod wrench;
mod wrench_shown;

use serde_json::Value;

use crate::words::cell;

pub(crate) use aim::ShownSetting;
pub(crate) use audit::AuditReport;
pub(crate) use audit_plot::audit_plot;
pub(crate) use audit_row::CsvRowWriter;
pub(crate) use band::Band;
pub(crate) use bolt::BoltReport;
pub(crate) use book::{BookChanged, BookCheck, BookStatus, OwnCounts};
pub use chart::ChartError;
pub(crate) use check::CheckReport;
pub(crate) use condition::{ConditionReport, StatedCondition};
pub(crate) use convert::Conversion;
pub(crate) use demo::{DemoReport, DemoStep};
pub use figure::spec_text;
pub(crate) use figure::{resolution_of, step_text, stretch_text, torque_text};
pub(crate) use find::FoundEntries;
pub use journal::{JournalImport, VerifyReport};
pub(crate) use order::{Bolts, OrderReport, OrderedJoint, Passes, StepAt};
pub(crate) use own::{OwnChanged, OwnList, OwnShown, no_entry};
pub(crate) use pick::{PickReport, PickedFor};
pub(crate) use setting::SettingReport;
pub(crate) use sheet::{one_sheet, sheet};
pub(crate) use show::{EntryReport, ShownJoint};
pub(crate) use style::Style;
pub(crate) use sweep_plot::{nice_step, sweep_plot};
pub(crate) use table::{columns, records};
pub(crate) use words::{
    HeldBack, TOO_MUCH, TooMuch, doubt_text, doubtful_ride_text, figure_option, narrow_text, need_text,
    next_text, orientation_to_act, reason_text, slip_text, turning_warning,
};
pub(crate) use workshop::{
    AlteredBicycle, BicycleReport, CardReport, ChangedJoints, ChangesReport, DueReport, EventReport,
    FleetList, FleetReady, HistoryReport, ImportReport, ItemQuestion, JointSheet, ReadyReport, RecallReport,
    RecordReport, RoundReport, RoundTally, SheetTaken, TakenField, card_html, history_svg, told,
};
pub(crate) use wrench::WrenchReport;
pub(crate) use wrench_shown::ShownWrench;

/// How a report is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Format {
    /// For people.
    #[default]
    Text,
    /// For programs; keys end in their unit.
    Json,
    /// For spreadsheets.
    Csv,
}

/// Something a command says.
pub(crate) trait Report {
    /// The list in its JSON that is a sheet for a spreadsheet, and the columns, as [`sheet`] takes them.
    const SHEET: (&'static str, &'static str) = ("", "");

    /// For programs; keys end in their unit.
    fn json(&self) -> Value;

    /// For people, ending in a line break.
    fn text(&self, style: &Style) -> String;

    /// Rows for a spreadsheet, the header first.
    fn rows(&self) -> Vec<Vec<String>> {
        let (list, columns) = Self::SHEET;
        sheet(&self.json(), list, columns)
    }
}

/// A report in a format, ending in a line break. It never fails in practice: everything is written in memory.
pub(crate) fn write(report: &impl Report, format: Format, style: &Style) -> csv::Result<String> {
    match format {
        Format::Text => Ok(report.text(style)),
        Format::Json => Ok(format!("{:#}\n", digits::without_noise(report.json()))),
        Format::Csv => {
            let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
            for row in report.rows() {
                writer.write_record(row.iter().map(|field| cell(field).into_owned()))?;
            }
            let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
            Ok(String::from_utf8_lossy(&bytes).into_owned())
        }
    }
}
