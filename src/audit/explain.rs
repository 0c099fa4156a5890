//! Why a row was rejected, in words that name what stands in it.

use rustc_hash::FxHashMap;

use super::Columns;
use super::counts::Fault;
use super::record::Fields;
use super::value::read_slowly;
use crate::quantity::QuantityError;

/// Hints that are remembered: those of values, which take a search for like spellings of their units.
const MOST: usize = 4096;
/// Bytes of what is wrong, where the hint is remembered.
const LONGEST: usize = 100;

/// Explains rows, and remembers what to write instead.
#[derive(Debug, Default)]
pub(super) struct Explainer {
    /// By what is wrong.
    hints: FxHashMap<String, String>,
}

impl Explainer {
    /// What is wrong with a row of `data`, and what to write instead where that is known.
    pub(super) fn explain(
        &mut self,
        fault: Fault,
        data: &[u8],
        fields: &Fields,
        columns: &Columns,
    ) -> String {
        let field = |column: usize| String::from_utf8_lossy(fields.get(data, column)).trim().to_owned();
        match fault {
            Fault::Columns => {
                let hint = if fields.count() > columns.count { "; a decimal comma needs quotes" } else { "" };
                format!("{} fields, the header has {}{hint}", fields.count(), columns.count)
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
                match read_slowly(fields.get(data, columns.value), fields.get(data, columns.unit)) {
                    Err(error) => self.with_hint(&error),
                    Ok(_) => fault.text().to_owned(),
                }
            }
            Fault::Day => format!(
                "`{}` begins with no day such as 2026-05-03, and the calibration of the wrench hangs on it",
                field(columns.taken_at)
            ),
        }
    }

    fn with_hint(&mut self, error: &QuantityError) -> String {
        let wrong = error.to_string();
        if let Some(hint) = self.hints.get(&wrong) {
            return format!("{wrong}; {hint}");
        }
        let hint = error.hint();
        let reason = format!("{wrong}; {hint}");
        if self.hints.len() < MOST && wrong.len() <= LONGEST {
            self.hints.insert(wrong, hint);
        }
        reason
    }
}
