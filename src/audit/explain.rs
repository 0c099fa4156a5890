//! Why a row was rejected, in words that name what stands in it.

use rustc_hash::FxHashMap;

use super::Columns;
use super::counts::Fault;
use super::record::Fields;
use super::value::read_slowly;

/// Reasons that are remembered: those of values, which take the parser and a search for like spellings of
/// their units.
const MOST: usize = 4096;

/// Explains rows, and remembers how.
#[derive(Debug, Default)]
pub(super) struct Explainer {
    /// By value and unit.
    values: FxHashMap<Vec<u8>, String>,
}

impl Explainer {
    /// See [`explain`].
    pub(super) fn explain(
        &mut self,
        fault: Fault,
        data: &[u8],
        fields: &Fields,
        columns: &Columns,
    ) -> String {
        if fault != Fault::Value {
            return explain(fault, data, fields, columns);
        }
        // The byte between them stands in no UTF-8 text, so that no two pairs make one key.
        let key = [fields.get(data, columns.value), b"\xff", fields.get(data, columns.unit)].concat();
        if let Some(reason) = self.values.get(&key) {
            return reason.clone();
        }
        let reason = explain(fault, data, fields, columns);
        if self.values.len() < MOST && key.len() <= 64 {
            self.values.insert(key, reason.clone());
        }
        reason
    }
}

/// What is wrong with a row of `data`, and what to write instead where that is known.
fn explain(fault: Fault, data: &[u8], fields: &Fields, columns: &Columns) -> String {
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
        Fault::Value => match read_slowly(fields.get(data, columns.value), fields.get(data, columns.unit)) {
            Err(error) => format!("{error}; {}", error.hint()),
            Ok(_) => fault.text().to_owned(),
        },
        Fault::Day => format!(
            "`{}` begins with no day such as 2026-05-03, and the calibration of the wrench hangs on it",
            field(columns.taken_at)
        ),
    }
}
