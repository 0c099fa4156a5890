//! The workshop's own figures.

use serde_json::{Value, json};

use super::figure::band_text;
use super::{Band, Report, Style, columns, records};
use crate::book::{Consensus, Evidence, OwnFault, OwnRow};
use crate::quantity::TorqueUnit;

/// One of them, as it was typed and as it was read.
pub struct OwnShown {
    pub row: OwnRow,
    pub read: Result<Evidence, OwnFault>,
    /// What its entry is called, and what the evidence for it amounts to; none where the book has no such entry.
    pub entry: Option<(String, Consensus)>,
}

impl OwnShown {
    /// Why it counts for nothing; empty where it counts.
    fn reason(&self) -> String {
        match (&self.read, &self.entry) {
            (Err(fault), _) => fault.to_string(),
            (_, None) => no_entry(&self.row),
            (Ok(_), Some(_)) => String::new(),
        }
    }

    fn json(&self) -> Value {
        let OwnRow { number, figure } = &self.row;
        let spec = self.read.as_ref().ok().map(|evidence| evidence.claim.stated.spec);
        let band = spec.map(Band::of);
        let value_nm = band.and_then(|band| band.value_nm);
        let reason = self.reason();
        json!({
            "own": number,
            "entry": figure.entry,
            "name": self.entry.as_ref().map(|(name, _)| name),
            "state": self.entry.as_ref().map(|(_, consensus)| consensus.state.word()),
            "value": figure.value,
            // A source that prints one number names no limits.
            "low_nm": value_nm.or(band.and_then(|band| band.low_nm)),
            "high_nm": value_nm.or(band.and_then(|band| band.high_nm)),
            "value_nm": value_nm,
            "form": spec.map(crate::quantity::Spec::form),
            "grade": figure.grade,
            "issuer": figure.issuer,
            "voice": self.read.as_ref().ok().map(|evidence| &evidence.source.issuer),
            "source": figure.source,
            "locator": figure.locator,
            "year": figure.year,
            "variant": figure.variant,
            "condition": figure.condition,
            "material": figure.material,
            "added_on": figure.added_on,
            "counted": reason.is_empty(),
            "reason": reason,
        })
    }

    /// Who says it, where, and of what.
    fn where_text(&self) -> String {
        let figure = &self.row.figure;
        let mut said = vec![figure.issuer.clone()];
        if let Some(voice) = self.voice() {
            said.push(format!("speaks for {voice}"));
        }
        said.extend([&figure.source, &figure.locator, &figure.year].map(String::clone));
        said.extend([&figure.variant, &figure.material, &figure.condition].map(String::clone));
        said.retain(|text| !text.is_empty());
        let mut text = said.join(", ");
        let reason = self.reason();
        if !reason.is_empty() {
            text += &format!("; not counted: {reason}");
        }
        text
    }

    /// The issuer that it speaks for, where that is another than it names.
    fn voice(&self) -> Option<&str> {
        let voice = self.read.as_ref().ok().map(|evidence| evidence.source.issuer.as_str());
        voice.filter(|voice| *voice != self.row.figure.issuer.trim())
    }
}

/// What is said of a figure whose entry the book does not have.
pub fn no_entry(row: &OwnRow) -> String {
    format!(
        "own figure {} is of `{}`, which the book does not have; it is kept",
        row.number, row.figure.entry
    )
}

/// All of them.
pub struct OwnList(pub Vec<OwnShown>);

/// The columns of a figure, in `book own` and where one comes or goes.
const COLUMNS: &str = "own,entry,name,state,value,low_nm,high_nm,value_nm,form,grade,issuer,voice,source,locator,year,\
                       variant,condition,material,added_on,counted,reason";

impl Report for OwnList {
    const SHEET: (&'static str, &'static str) = ("", COLUMNS);

    fn json(&self) -> Value {
        self.0.iter().map(OwnShown::json).collect()
    }

    fn text(&self, style: &Style) -> String {
        if self.0.is_empty() {
            let said = "no figures of the workshop's own: `evenclamp book add --help` tells how they come in";
            return style.wrapped("", said);
        }
        let rows = self.0.iter().map(|shown| {
            let figure = &shown.row.figure;
            let number = shown.row.number.to_string();
            vec![number, figure.entry.clone(), figure.value.clone(), figure.grade.clone(), shown.where_text()]
        });
        columns(&records(&["own", "entry", "value", "grade", "who, where and of what"], rows), style)
    }
}

/// A figure came or went.
pub struct OwnChanged {
    /// `added` or `removed`.
    pub done: &'static str,
    pub shown: OwnShown,
    /// What the evidence for the entry amounted to before; none where the book has no such entry.
    pub before: Option<Consensus>,
    /// What else must be known.
    pub notes: Vec<String>,
    pub unit: TorqueUnit,
}

impl OwnChanged {
    /// What the evidence amounts to, in a few words.
    fn amount(&self, consensus: &Consensus) -> String {
        let issuers = match consensus.issuers {
            1 => "1 issuer".to_owned(),
            n => format!("{n} issuers"),
        };
        let state = consensus.state.word();
        match consensus.spec {
            Some(_) => format!("{state} {}, {issuers}", band_text(consensus, self.unit)),
            None => format!("{state}, {issuers}"),
        }
    }
}

impl Report for OwnChanged {
    const SHEET: (&'static str, &'static str) = (
        "",
        "done,own,entry,name,value,grade,issuer,voice,source,locator,state_before=before.state,state,notes",
    );

    fn json(&self) -> Value {
        let amount = |consensus: &Consensus| {
            json!({
                "state": consensus.state.word(),
                "band": consensus.spec.map(Band::of),
                "issuers": consensus.issuers,
                "own": consensus.own,
            })
        };
        let after = self.shown.entry.as_ref().map(|(_, consensus)| amount(consensus));
        let mut json = json!({ "done": self.done });
        if let (Value::Object(keys), Value::Object(of_row)) = (&mut json, self.shown.json()) {
            keys.extend(of_row);
            keys.insert("before".to_owned(), json!(self.before.as_ref().map(amount)));
            keys.insert("after".to_owned(), json!(after));
            keys.insert("notes".to_owned(), json!(self.notes));
        }
        json
    }

    fn text(&self, style: &Style) -> String {
        let OwnRow { number, figure } = &self.shown.row;
        let said =
            format!("{} for {} ({}, {})", figure.value, figure.entry, figure.grade, self.shown.where_text());
        let mut text = style.wrapped("", &format!("{} own figure {number}: {said}", self.done));
        if let (Some(before), Some((_, after))) = (&self.before, &self.shown.entry) {
            let (before, after) = (self.amount(before), self.amount(after));
            let change =
                if before == after { format!("still {after}") } else { format!("{before} → {after}") };
            text += &style.wrapped("", &format!("{}: {change}", figure.entry));
        }
        for note in &self.notes {
            text += &style.wrapped("", note);
        }
        text
    }
}
