//! A command that could not answer: what is wrong, where, and what to type instead.

use std::fmt::Display;

use serde::Serialize;

use crate::joint::JointError;
use crate::quantity::QuantityError;
use crate::report::{ChartError, Format};
use crate::sequence::{LayoutError, PlanError, SettingError};
use crate::store::{StoreError, Trouble};

/// What kind of failure it is: a stable word for programs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum FailureKind {
    Action,
    Adapter,
    Bike,
    Bolt,
    Book,
    Clock,
    Database,
    Entry,
    File,
    Finding,
    Future,
    Implausible,
    Import,
    Input,
    Interval,
    Joint,
    Kind,
    Layout,
    Log,
    Loss,
    Name,
    NoBand,
    Output,
    Pieces,
    Plan,
    ReadOnly,
    Restore,
    Row,
    Sheet,
    Time,
    Usage,
    Value,
    Wrench,
}

/// Why a command could not answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Failure {
    pub at: Option<String>,
    pub hint: Option<String>,
    /// A stable word for programs.
    pub kind: FailureKind,
    pub message: String,
}

impl Failure {
    /// A failure with what to do instead; an empty `hint` is none.
    pub fn new(kind: FailureKind, message: impl Display, hint: impl Into<String>) -> Failure {
        let hint = Some(hint.into()).filter(|hint| !hint.is_empty());
        Failure { kind, message: message.to_string(), hint, at: None }
    }

    pub fn at(mut self, place: impl Into<String>) -> Failure {
        self.at = Some(place.into());
        self
    }

    /// The failure of a command line that `clap` refuses.
    pub fn from_usage(error: &clap::Error) -> Failure {
        let text = error.to_string();
        let told = text.lines().take_while(|line| !line.starts_with("Usage:"));
        let message = told.map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ");
        Failure::new(
            FailureKind::Usage,
            message.trim_start_matches("error: "),
            "`evenclamp --help` lists the commands and options",
        )
    }

    /// The failure as written to standard error.
    pub fn text(&self, format: Format) -> String {
        if format == Format::Json {
            let json = serde_json::json!({ "error": self });
            return format!("{json}\n");
        }
        let place = self.at.as_ref().map(|at| format!("{at}: ")).unwrap_or_default();
        let hint = self.hint.as_ref().map(|hint| format!("  {hint}\n")).unwrap_or_default();
        format!("evenclamp: {place}{}\n{hint}", self.message)
    }
}

/// What went wrong elsewhere, as the failure of a command.
pub(super) trait OrFail<T> {
    /// The value, or a failure in the error's own words, with what to do instead.
    fn or_fail(self, kind: FailureKind, hint: &str) -> Result<T, Failure>;
}

impl<T, E: Display> OrFail<T> for Result<T, E> {
    fn or_fail(self, kind: FailureKind, hint: &str) -> Result<T, Failure> {
        self.map_err(|error| Failure::new(kind, error, hint))
    }
}

/// Errors that say themselves what to do instead, each always of one kind.
macro_rules! failures {
    ($($Error:ty => $kind:ident),+) => {$(
        impl From<$Error> for Failure {
            fn from(error: $Error) -> Failure {
                Failure::new(FailureKind::$kind, &error, error.hint())
            }
        }
    )+};
}
failures!(QuantityError => Value, LayoutError => Layout, SettingError => Wrench, JointError => Bolt);

impl From<ChartError> for Failure {
    fn from(error: ChartError) -> Failure {
        let hint = "no picture was written; record something first, or leave the option for the picture out";
        Failure::new(FailureKind::Output, error, hint)
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Failure {
        match error {
            PlanError::Layout(layout) => layout.into(),
            PlanError::Setting(setting) => setting.into(),
            other => Failure::new(FailureKind::Plan, &other, other.hint()),
        }
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Failure {
        let kind = match error.trouble() {
            Some(Trouble::ReadOnly) => FailureKind::ReadOnly,
            _ => FailureKind::Database,
        };
        Failure::new(kind, &error, store_hint(&error))
    }
}

impl From<csv::Error> for Failure {
    fn from(error: csv::Error) -> Failure {
        Failure::new(FailureKind::Output, error, "")
    }
}

fn store_hint(error: &StoreError) -> &'static str {
    match error {
        StoreError::Newer { .. } => "use the newer evenclamp; this one has not touched the file",
        StoreError::DamagedBook(_) => "load it again with `evenclamp book load --compiled-in`",
        StoreError::WrenchExists(_) => {
            "choose another name (a retired wrench keeps its own), or record a calibration with `evenclamp wrench calibrated`"
        }
        StoreError::NameTaken(_) | StoreError::JointNameTaken { .. } => "choose another name",
        StoreError::NotCorrectable(_) => {
            "`evenclamp history BIKE/JOINT` lists the readings with their numbers"
        }
        StoreError::NoBackup { .. } => "name a file that `evenclamp backup` has written; nothing was changed",
        StoreError::DamagedRecord { .. } => "restore the database from a backup",
        StoreError::Folder { .. } => "name another file with --db PATH or EVENCLAMP_DB",
        StoreError::Sql(_) => match error.trouble() {
            Some(Trouble::Busy) => "another program is writing to it; try again when it has finished",
            Some(Trouble::NoDatabase) => {
                "the file is no sound database; move it away or name another with --db PATH"
            }
            Some(Trouble::ReadOnly) => {
                "the file or its folder cannot be written; name another with --db PATH"
            }
            Some(Trouble::Disk) => {
                "the disk cannot be read or written; see whether it is full and make room; nothing was changed"
            }
            Some(Trouble::Full) => "the disk is full; make room and repeat the command",
            None => "nothing was changed",
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Programs tell failures apart by these words, so they stay.
    #[test]
    fn kinds_are_written_as_one_word() {
        for (kind, word) in [
            (FailureKind::NoBand, "no-band"),
            (FailureKind::ReadOnly, "read-only"),
            (FailureKind::Usage, "usage"),
        ] {
            let failure = Failure::new(kind, "m", "h").at("p");
            let json = format!(
                "{{\"error\":{{\"at\":\"p\",\"hint\":\"h\",\"kind\":\"{word}\",\"message\":\"m\"}}}}\n"
            );
            assert_eq!(failure.text(Format::Json), json);
            assert_eq!(failure.text(Format::Text), "evenclamp: p: m\n  h\n");
        }
    }

    #[test]
    fn what_the_database_refuses_is_answered_with_what_helps() {
        let path = std::path::PathBuf::from("x");
        let unwritable = StoreError::Folder { path: path.clone(), source: std::io::ErrorKind::Other.into() };
        let damaged =
            StoreError::DamagedRecord { what: "record", name: "a".to_owned(), reason: "b".to_owned() };
        for (error, kind, hint) in [
            (unwritable, FailureKind::ReadOnly, "--db PATH or EVENCLAMP_DB"),
            (StoreError::Newer { found: 9, known: 1 }, FailureKind::Database, "newer evenclamp"),
            (StoreError::DamagedBook(String::new()), FailureKind::Database, "book load --compiled-in"),
            (StoreError::WrenchExists("a".to_owned()), FailureKind::Database, "wrench calibrated"),
            (StoreError::NameTaken("a".to_owned()), FailureKind::Database, "another name"),
            (StoreError::NotCorrectable(3), FailureKind::Database, "history BIKE/JOINT"),
            (StoreError::NoBackup { path, reason: String::new() }, FailureKind::Database, "evenclamp backup"),
            (damaged, FailureKind::Database, "restore the database from a backup"),
        ] {
            let failure = Failure::from(error);
            assert_eq!(failure.kind, kind, "{failure:?}");
            assert!(failure.hint.as_ref().is_some_and(|told| told.contains(hint)), "{failure:?}");
        }
    }
}
