//! A diagnostic about the spec book: where it is, what is wrong, what would be right.

use std::fmt;

/// A place in a file of the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Name of the sheet, such as `evidence`.
    pub sheet: &'static str,
    /// Line, from 1.
    pub line: usize,
    /// Character in the line, from 1.
    pub column: usize,
}

impl Place {
    /// The file name within the book, such as `evidence.csv`.
    pub(crate) fn file(&self) -> String {
        file_of(self.sheet)
    }
}

pub(super) fn file_of(sheet: &str) -> String {
    format!("{sheet}.csv")
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}", self.file(), self.line, self.column)
    }
}

/// How much a finding about the book weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The book does not load with it.
    Error,
    /// The book loads; somebody should look.
    Warning,
}

/// One fault of the book.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Diagnostic {
    /// Where the fault is.
    pub at: Place,
    /// Whether the book can be loaded all the same.
    pub severity: Severity,
    /// What is wrong, naming the field and the value found.
    pub message: String,
    /// What would be right.
    pub fix: String,
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = match self.severity {
            Severity::Error => "",
            Severity::Warning => "warning: ",
        };
        write!(f, "{}: {kind}{}; {}", self.at, self.message, self.fix)
    }
}

/// Diagnostics collected while a book is read, so that all are listed at once.
#[derive(Debug, Default)]
pub struct Diagnostics(Vec<Diagnostic>);

impl Diagnostics {
    /// Adds a fault that stops the load.
    pub fn error(&mut self, at: &Place, message: impl Into<String>, fix: impl Into<String>) {
        self.push(at, Severity::Error, message.into(), fix.into());
    }

    /// Adds a finding that does not stop the load.
    pub fn warning(&mut self, at: &Place, message: impl Into<String>, fix: impl Into<String>) {
        self.push(at, Severity::Warning, message.into(), fix.into());
    }

    /// Adds the diagnostics of another reading.
    pub fn extend(&mut self, other: Diagnostics) {
        self.0.extend(other.0);
    }

    fn push(&mut self, at: &Place, severity: Severity, message: String, fix: String) {
        self.0.push(Diagnostic { at: *at, severity, message, fix });
    }

    /// True when something was found that stops the load.
    pub(crate) fn has_errors(&self) -> bool {
        self.0.iter().any(|diagnostic| diagnostic.severity == Severity::Error)
    }

    pub(crate) fn into_errors(mut self) -> Vec<Diagnostic> {
        self.0.retain(|diagnostic| diagnostic.severity == Severity::Error);
        self.into_sorted()
    }

    pub(crate) fn into_sorted(mut self) -> Vec<Diagnostic> {
        self.0.sort();
        self.0
    }
}
