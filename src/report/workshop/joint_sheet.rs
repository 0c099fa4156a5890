//! The table of joints that people fill in, and what was taken over from one.

use serde_json::{Value, json};

use super::bicycle::ChangedJoints;
use crate::report::{Report, Style, records};
use crate::sheet::{KeptRecord as _, KeptValue, fillable_fields, record_header};
use crate::words::cell;
use crate::workshop::{Joint, State};

/// Joints with their bicycles, each a row of a table.
pub struct JointSheet<'a> {
    pub joints: &'a [(String, Joint)],
    /// What parts the fields.
    pub separator: u8,
}

impl JointSheet<'_> {
    /// The table as a file, which is written in memory and does not fail.
    pub fn csv(&self) -> Result<String, std::io::Error> {
        let mut writer = csv::WriterBuilder::new().delimiter(self.separator).from_writer(Vec::new());
        for row in self.rows() {
            writer.write_record(row.iter().map(|field| cell(field).into_owned()))?;
        }
        let bytes = writer.into_inner().map_err(|error| std::io::Error::from(error.error().kind()))?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}

impl Report for JointSheet<'_> {
    fn json(&self) -> Value {
        let row = |(bike, joint): &(String, Joint)| {
            let columns = Joint::COLUMNS.iter();
            let values = columns.map(|column| (column.file.to_owned(), json_of((column.get)(joint))));
            [("bike".to_owned(), bike.as_str().into())].into_iter().chain(values).collect::<Value>()
        };
        self.joints.iter().map(row).collect()
    }

    fn text(&self, _: &Style) -> String {
        self.csv().unwrap_or_default()
    }

    fn rows(&self) -> Vec<Vec<String>> {
        let rows = self.joints.iter().map(|(bike, joint)| fillable_fields(bike, joint));
        records(&record_header::<Joint>(Some("bike")), rows)
    }
}

/// What stands nowhere is an empty text, as in the table.
fn json_of(value: KeptValue) -> Value {
    match value {
        KeptValue::Null => "".into(),
        KeptValue::Truth(truth) => truth.into(),
        KeptValue::Whole(number) => number.into(),
        KeptValue::Number(number) => number.into(),
        KeptValue::Text(text) => text.into(),
    }
}

/// A field that was taken over.
pub struct TakenField {
    pub bike: String,
    pub joint: String,
    pub column: &'static str,
    /// What was there before; empty where nothing was.
    pub from: String,
    pub to: String,
}

/// What was taken over from a table.
pub struct SheetTaken<'a> {
    /// How many rows were read, each for one joint.
    pub rows: usize,
    pub fields: &'a [TakenField],
    /// The joints that are different now.
    pub joints: ChangedJoints<'a>,
}

impl SheetTaken<'_> {
    /// How many fields of a bicycle are new, different, and gone.
    fn counts(&self, bike: &str) -> [usize; 3] {
        let mut counts = [0; 3];
        for field in self.fields.iter().filter(|field| field.bike == bike) {
            let place = match (field.from.is_empty(), field.to.is_empty()) {
                (true, _) => 0,
                (_, false) => 1,
                (false, true) => 2,
            };
            counts[place] += 1;
        }
        counts
    }
}

impl Report for SheetTaken<'_> {
    const SHEET: (&'static str, &'static str) = ("changes", "bike,joint,column,from,to");

    fn json(&self) -> Value {
        let bicycle = |bike: &str| {
            let [new, changed, taken_away] = self.counts(bike);
            json!({ "bike": bike, "new": new, "changed": changed, "taken_away": taken_away })
        };
        let change = |field: &TakenField| {
            json!({
                "bike": field.bike,
                "joint": field.joint,
                "column": field.column,
                "from": field.from,
                "to": field.to,
            })
        };
        json!({
            "rows": self.rows,
            "bikes": self.joints.names().map(bicycle).collect::<Vec<_>>(),
            "changes": self.fields.iter().map(change).collect::<Vec<_>>(),
            "joints": self.joints.json()["joints"],
        })
    }

    /// New figures are counted. What was there before and is different now is named, and so is what asks for a second
    /// look.
    fn text(&self, style: &Style) -> String {
        let mut text = String::new();
        for bike in self.joints.names() {
            let [new, changed, gone] = self.counts(bike);
            let told = [(new, "new"), (changed, "changed"), (gone, "taken away")];
            let told = told.iter().filter(|(count, _)| *count > 0);
            let told: Vec<String> = told.map(|(count, what)| format!("{count} {what}")).collect();
            let told = if told.is_empty() { "nothing changed".to_owned() } else { told.join(", ") };
            text += &style.wrapped(&format!("{bike}: "), &told);
        }
        for field in self.fields.iter().filter(|field| !field.from.is_empty()) {
            let to = if field.to.is_empty() { "nothing" } else { &field.to };
            let first = format!("  {}/{}: ", field.bike, field.joint);
            text += &style.wrapped(&first, &format!("{} {} → {to}", field.column, field.from));
        }
        let asks = self
            .joints
            .lines(style, |verdict| verdict.state() == State::TooMuch || !verdict.governing.notes.is_empty());
        if !asks.is_empty() {
            text += &format!("Look again\n{asks}");
        }
        text
    }
}
