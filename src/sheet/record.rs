//! Records: what one thing is made of, column by column. The database, the exported files and their
//! import follow from one list for each kind of record.

use crate::words::meant;

/// A value as a database or a file keeps it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum KeptValue {
    /// Nothing; an empty field of a file.
    Null,
    /// So or not; `true` or `false` in a file.
    Truth(bool),
    Whole(i64),
    Number(f64),
    /// Text, and everything that is read from a file.
    Text(String),
}

impl KeptValue {
    /// The value as a field of a file.
    pub(crate) fn field(&self) -> String {
        match self {
            KeptValue::Null => String::new(),
            KeptValue::Truth(truth) => truth.to_string(),
            KeptValue::Whole(number) => number.to_string(),
            KeptValue::Number(number) => format!("{number:?}"),
            KeptValue::Text(text) => text.clone(),
        }
    }

    /// The text of a word that is none of those known.
    pub(crate) fn is_not(&self, what: &'static str) -> NotA {
        NotA { what, text: self.field() }
    }
}

/// A value that is not what its column holds.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{text}` is not {what}")]
pub struct NotA {
    /// What the column holds, such as `a time`.
    what: &'static str,
    text: String,
}

/// What is kept in one column.
pub(crate) trait Kept: Sized {
    /// The value as it is kept.
    fn kept(&self) -> KeptValue;

    /// What a value stands for.
    fn of_kept(value: KeptValue) -> Result<Self, NotA>;
}

impl Kept for String {
    fn kept(&self) -> KeptValue {
        KeptValue::Text(self.clone())
    }

    fn of_kept(value: KeptValue) -> Result<String, NotA> {
        match value {
            KeptValue::Text(text) => Ok(text),
            other => Ok(other.field()),
        }
    }
}

const TRUTHS: &[(&str, bool)] = &[("true", true), ("yes", true), ("false", false), ("no", false)];

impl Kept for bool {
    fn kept(&self) -> KeptValue {
        KeptValue::Truth(*self)
    }

    fn of_kept(value: KeptValue) -> Result<bool, NotA> {
        match (&value, value.field().as_str()) {
            (KeptValue::Truth(truth), _) => Ok(*truth),
            (KeptValue::Whole(number @ (0 | 1)), _) => Ok(*number == 1),
            (KeptValue::Text(_), text) => {
                // Spreadsheet programs write them large, people say yes and no.
                meant(TRUTHS, text).ok_or_else(|| value.is_not("true or false"))
            }
            _ => Err(value.is_not("true or false")),
        }
    }
}

impl Kept for f64 {
    fn kept(&self) -> KeptValue {
        KeptValue::Number(*self)
    }

    fn of_kept(value: KeptValue) -> Result<f64, NotA> {
        let number = match &value {
            KeptValue::Number(number) => Some(*number),
            KeptValue::Text(text) => text.parse().ok(),
            _ => None,
        };
        number.filter(|number| number.is_finite()).ok_or_else(|| value.is_not("a number"))
    }
}

macro_rules! kept_whole {
    ($($Number:ty),+) => {$(
        impl Kept for $Number {
            fn kept(&self) -> KeptValue {
                KeptValue::Whole(i64::from(*self))
            }

            fn of_kept(value: KeptValue) -> Result<$Number, NotA> {
                let number = match &value {
                    KeptValue::Whole(number) => (*number).try_into().ok(),
                    KeptValue::Text(text) => text.parse().ok(),
                    _ => None,
                };
                number.ok_or_else(|| value.is_not("a whole number"))
            }
        }
    )+};
}
kept_whole!(u16, u32);

impl<T: Kept> Kept for Option<T> {
    fn kept(&self) -> KeptValue {
        self.as_ref().map_or(KeptValue::Null, Kept::kept)
    }

    fn of_kept(value: KeptValue) -> Result<Option<T>, NotA> {
        match value {
            KeptValue::Null => Ok(None),
            KeptValue::Text(text) if text.is_empty() => Ok(None),
            value => T::of_kept(value).map(Some),
        }
    }
}

/// What is kept as a word: `kept_as_text!(Type, "a type", text, parse)`, where `text` makes the word and `parse`
/// gives none for an unknown one.
macro_rules! kept_as_text {
    ($Type:ty, $what:literal, $text:expr, $parse:expr) => {
        impl $crate::sheet::Kept for $Type {
            fn kept(&self) -> $crate::sheet::KeptValue {
                let text: fn(&$Type) -> String = $text;
                $crate::sheet::KeptValue::Text(text(self))
            }

            fn of_kept(value: $crate::sheet::KeptValue) -> Result<$Type, $crate::sheet::NotA> {
                let parse: fn(&str) -> Option<$Type> = $parse;
                parse(&value.field()).ok_or_else(|| value.is_not($what))
            }
        }
    };
}
pub(crate) use kept_as_text;

/// One column of a record.
pub(crate) struct Column<R: 'static> {
    /// Its name in the database; none where it is kept in a table of its own.
    pub(crate) stored: Option<&'static str>,
    /// Its name in an exported file.
    pub(crate) file: &'static str,
    /// Whether a file must have it; else it is empty for every row.
    pub(crate) needed: bool,
    pub(crate) get: fn(&R) -> KeptValue,
    pub(crate) set: fn(&mut R, KeptValue) -> Result<(), NotA>,
}

/// A column of a record that is a field: `kept_field!(path.to.it, "stored", "file")`, or with one name for both. A
/// file may lack what is marked `may_be_missing`: it says nothing of most, or came later than the file.
macro_rules! kept_field {
    ($($path:ident).+, $name:literal) => {
        $crate::sheet::kept_field!($($path).+, $name, $name)
    };
    ($($path:ident).+, $name:literal, may_be_missing) => {
        $crate::sheet::Column { needed: false, ..$crate::sheet::kept_field!($($path).+, $name, $name) }
    };
    ($($path:ident).+, $stored:literal, $file:literal) => {
        $crate::sheet::Column {
            stored: Some($stored),
            file: $file,
            needed: true,
            get: |record| $crate::sheet::Kept::kept(&record.$($path).+),
            set: |record, value| {
                record.$($path).+ = $crate::sheet::Kept::of_kept(value)?;
                Ok(())
            },
        }
    };
}
pub(crate) use kept_field;

/// Why a record of a file is not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Refused {
    /// The column of the file at fault.
    pub(crate) column: &'static str,
    pub(crate) why: String,
    pub(crate) fix: String,
}

/// A kind of record.
pub(crate) trait KeptRecord: Sized + 'static {
    /// What an error about a damaged one calls it.
    const WHAT: &'static str = "record";

    /// Its columns in the order of its file.
    const COLUMNS: &'static [Column<Self>];

    /// A record to be filled in, column by column.
    fn blank() -> Self;

    /// What a file may not bring in, although a database that holds it is read.
    fn refused(&self) -> Option<Refused> {
        None
    }

    /// The columns that its table has.
    fn stored() -> impl Iterator<Item = (&'static str, &'static Column<Self>)> {
        Self::COLUMNS.iter().filter_map(|column| Some((column.stored?, column)))
    }
}
