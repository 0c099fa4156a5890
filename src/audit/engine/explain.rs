//! Why a row was rejected, in words that name what stands in it.

use std::collections::HashMap;

use super::super::counts::Fault;
use super::columns::AuditColumns;
use super::record::Record;
use super::value::read_slowly;

/// Hints that are remembered: those of values, which take a search for like spellings of their units, and a log may have its unit wrong in every row.
const MOST: usize = 4096;
/// Bytes of what is wrong, where the hint is remembered.
const LONGEST: usize = 100;

#[derive(Debug, Default)]
pub(super) struct Explainer {
    /// By what is wrong.
    hints: HashMap<String, String>,
}

impl Explainer {
    pub(super) fn explain(&mut self, fault: Fault, record: &Record<'_>, columns: &AuditColumns) -> String {
        let field = |column: usize| String::from_utf8_lossy(record.field(column).bytes()).trim().to_owned();
        match fault {
            Fault::Columns => {
                let hint = if record.count() > columns.count { "; a decimal comma needs quotes" } else { "" };
                format!("{} fields, the header has {}{hint}", record.count(), columns.count)
            }
            Fault::Quote => "a quote is not closed".to_owned(),
            Fault::NoEntry => "names neither an entry nor a bike and joint".to_owned(),
            Fault::Entry => format!("the book has no entry `{}`", field(columns.entry)),
            Fault::Joint => format!(
                "bike `{}` has no joint `{}` that is checked by torque",
                field(columns.bike),
                field(columns.joint)
            ),
            Fault::Kind => format!("`{}` is no kind of reading", field(columns.kind)),
            Fault::Value => {
                match read_slowly(
                    record.field(columns.value).bytes(),
                    record.field(columns.unit).bytes(),
                    columns.separator,
                ) {
                    Err(error) => self.with_hint(error.to_string(), || error.hint()),
                    Ok(_) => fault.text().to_owned(),
                }
            }
            Fault::NoReading => format!(
                "`{}` is no reading: zero, or less than the smallest division of its wrench",
                field(columns.value)
            ),
            Fault::TearsAny => format!(
                "`{}` would tear any bolt of that thread, even of class 12.9: look at the figure and its unit again",
                field(columns.value)
            ),
            Fault::Day => format!(
                "`{}` begins with no day such as 2026-05-03; write when it was read, or leave it empty",
                field(columns.taken_at)
            ),
        }
    }

    fn with_hint(&mut self, wrong: String, hint: impl Fn() -> String) -> String {
        if let Some(hint) = self.hints.get(&wrong) {
            return format!("{wrong}; {hint}");
        }
        let hint = hint();
        let reason = format!("{wrong}; {hint}");
        if self.hints.len() < MOST && wrong.len() <= LONGEST {
            self.hints.insert(wrong, hint);
        }
        reason
    }
}
