//! Why a log could not be judged.

use std::io;

/// A failure that ends an audit; a bad row is no failure.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AuditError {
    /// The log cannot be read, or a packed one ends too early or is damaged.
    #[error("{}", reading(source))]
    Read { source: io::Error },
    #[error("the log is empty")]
    Empty,
    #[error("the log is in UTF-16, not in UTF-8")]
    NotUtf8,
    #[error("the log has no column {}", missing.join(", "))]
    MissingColumns { missing: Vec<&'static str>, found: Vec<String> },
    #[error("the header names the column `{name}` twice")]
    TwoColumns { name: String },
    #[error("the header has more than {most} columns")]
    ManyColumns { most: usize },
    #[error("a line of the log is longer than {bytes} bytes")]
    LongLine { bytes: usize },
    /// A row cannot be judged, and every row was to be.
    #[error("row {row} cannot be judged: {reason}")]
    Rejected {
        /// The number of the row; the header is not counted.
        row: u64,
        reason: String,
    },
    #[error("cannot write the {what}: {source}")]
    Write { what: &'static str, source: io::Error },
    #[error("the pieces do not belong together: {0}")]
    Apart(String),
}

fn reading(source: &io::Error) -> String {
    match source.kind() {
        io::ErrorKind::UnexpectedEof => "the packed log ends too early: it was cut off".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder, not a log".to_owned(),
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::InvalidInput | io::ErrorKind::InvalidData => {
            format!("the packed log is damaged: {source}")
        }
        _ => format!("cannot read the log: {source}"),
    }
}

impl AuditError {
    pub fn hint(&self) -> String {
        match self {
            AuditError::Read { source } => match source.kind() {
                io::ErrorKind::UnexpectedEof => "fetch or pack it again".to_owned(),
                io::ErrorKind::IsADirectory | io::ErrorKind::NotFound => {
                    "name a CSV file, as it is or packed with gzip or zstd, or - for standard input"
                        .to_owned()
                }
                _ => "see that the file is whole and can be read".to_owned(),
            },
            AuditError::NotUtf8 => "save it as CSV in UTF-8".to_owned(),
            AuditError::MissingColumns { found, .. } if found.len() < 2 => {
                "the first line names the columns with commas between them, such as entry,value,unit"
                    .to_owned()
            }
            AuditError::MissingColumns { found, .. } => format!("the header has {}", found.join(", ")),
            AuditError::Empty => "the first line names the columns, such as entry,value,unit".to_owned(),
            AuditError::TwoColumns { .. } => "rename one of them".to_owned(),
            AuditError::ManyColumns { .. } => "keep the columns of a log and a few notes".to_owned(),
            AuditError::LongLine { .. } => "is it a CSV file with a line for each reading?".to_owned(),
            AuditError::Rejected { .. } => "mend the row, or leave out --strict and see --rejects".to_owned(),
            AuditError::Write { .. } => "make room or name another place; nothing was left there".to_owned(),
            AuditError::Apart(_) => "make all pieces with the same book, rule and version".to_owned(),
        }
    }
}
