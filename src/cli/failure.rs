//! A command that could not answer: what is wrong, where, and what to type instead.

use serde::Serialize;

use crate::joint::JointError;
use crate::quantity::QuantityError;
use crate::report::{Format, WriteError};
use crate::sequence::{LayoutError, PlanError, SettingError};
use crate::store::StoreError;

/// Why a command could not answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Failure {
    /// A stable word for programs: `value`, `entry`, `book`, `database`, `file`, `usage` …
    pub kind: &'static str,
    /// What is wrong.
    pub message: String,
    /// What to do or type instead.
    pub hint: Option<String>,
    /// Where, for input with places.
    pub at: Option<String>,
}

impl Failure {
    /// A failure with its fix.
    pub fn new(kind: &'static str, message: impl Into<String>, hint: impl Into<String>) -> Failure {
        Failure { kind, message: message.into(), hint: Some(hint.into()), at: None }
    }

    /// A failure at a place.
    #[must_use]
    pub fn at(mut self, place: impl Into<String>) -> Failure {
        self.at = Some(place.into());
        self
    }

    /// The failure of a command line that `clap` refuses.
    #[must_use]
    pub fn from_usage(error: &clap::Error) -> Failure {
        let text = error.to_string();
        let told = text.lines().take_while(|line| !line.starts_with("Usage:"));
        let message = told.map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ");
        Failure::new(
            "usage",
            message.trim_start_matches("error: "),
            "`evenclamp --help` lists the commands and options",
        )
    }

    /// The failure as written to standard error.
    #[must_use]
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

impl From<QuantityError> for Failure {
    fn from(error: QuantityError) -> Failure {
        Failure::new("value", error.to_string(), error.hint())
    }
}

impl From<LayoutError> for Failure {
    fn from(error: LayoutError) -> Failure {
        Failure::new("layout", error.to_string(), error.hint())
    }
}

impl From<JointError> for Failure {
    fn from(error: JointError) -> Failure {
        let hint = Some(error.hint()).filter(|hint| !hint.is_empty());
        Failure { kind: "bolt", message: error.to_string(), hint, at: None }
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Failure {
        match error {
            PlanError::Layout(layout) => layout.into(),
            PlanError::Setting(setting) => setting.into(),
            other => Failure::new("plan", other.to_string(), other.hint()),
        }
    }
}

impl From<SettingError> for Failure {
    fn from(error: SettingError) -> Failure {
        Failure::new("wrench", error.to_string(), error.hint())
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Failure {
        let kind = if error.is_read_only() { "read-only" } else { "database" };
        Failure::new(kind, error.to_string(), error.hint())
    }
}

impl From<WriteError> for Failure {
    fn from(error: WriteError) -> Failure {
        Failure { kind: "output", message: error.to_string(), hint: None, at: None }
    }
}
