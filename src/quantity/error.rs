//! What can be wrong with the text of a torque, and what to type instead.

use super::{TorqueUnit, spelling};

/// A unit spelling that cannot be read as one torque unit.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum UnitError {
    /// The spelling names a mass, a force or a misprint; `meanings` are what it may stand for.
    #[error("`{text}` is not a unit of torque")]
    Unclear {
        /// The spelling as typed.
        text: String,
        /// The torque units it may stand for, likeliest first.
        meanings: &'static [TorqueUnit],
    },
    /// No spelling of the table matches.
    #[error("unknown unit `{0}`")]
    Unknown(String),
}

impl UnitError {
    /// What to type instead.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            UnitError::Unclear { meanings, .. } => {
                let names: Vec<&str> = meanings.iter().map(|unit| unit.symbol()).collect();
                format!("it may stand for {}: write the one you mean", names.join(" or "))
            }
            UnitError::Unknown(text) => match spelling::nearest(text).as_slice() {
                [] => {
                    "units are N·m, lbf·in, lbf·ft, kgf·cm and their usual spellings such as Nm, in-lb, ft-lb"
                        .to_owned()
                }
                nearest => format!("nearest known: {}", nearest.join(", ")),
            },
        }
    }
}

/// Text that is not a torque value, range or limit.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityError {
    /// Nothing but white space.
    #[error("a value is missing")]
    Empty,
    /// The text has no number where one is needed.
    #[error("`{0}` cannot be read as a number")]
    NotANumber(String),
    /// `8,851` may be 8.851 or 8851.
    #[error("`{0}` can be read with a decimal or a thousands comma")]
    UnclearComma(String),
    /// More digits than a torque can be known to.
    #[error("`{0}` has more than 15 digits")]
    TooManyDigits(String),
    /// A minus sign before the number.
    #[error("`{0}` is negative")]
    Negative(String),
    /// A limit or set value of nothing.
    #[error("a specified torque of 0 means nothing")]
    ZeroSpec,
    /// The unit cannot be read.
    #[error(transparent)]
    Unit(#[from] UnitError),
    /// The ends of a range are the wrong way round.
    #[error("the range `{0}` has its low end above its high end")]
    UpsideDown(String),
    /// A tolerance as wide as the value itself.
    #[error("the tolerance in `{0}` is as large as the value")]
    ToleranceTooWide(String),
    /// More than one value or range, or words that are not understood.
    #[error("`{0}` is not one value, range or limit")]
    NotOneSpec(String),
    /// Two statements in two units that are not the same torque.
    #[error("`{text}` says two things: the second is {second}")]
    UnitsDisagree {
        /// The text as typed.
        text: String,
        /// The second statement in the unit of the first.
        second: String,
    },
    /// A reading was needed, but the text is a range or a limit.
    #[error("`{0}` is not one reading")]
    NotAReading(String),
}

impl QuantityError {
    /// What to type instead.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            QuantityError::Unit(unit) => unit.hint(),
            QuantityError::UnclearComma(text) => {
                format!("write {} or {}", text.replace(',', "."), text.replace(',', ""))
            }
            QuantityError::Negative(_) => {
                "give the size of the torque; a left-hand thread is a property of the joint, not a sign"
                    .to_owned()
            }
            QuantityError::UpsideDown(_) => "write the smaller value first, such as 4-6 N·m".to_owned(),
            QuantityError::UnitsDisagree { .. } => {
                "look at the part again, and give the one that stands there".to_owned()
            }
            QuantityError::NotAReading(_) => "give one number with its unit, such as 5.1 N·m".to_owned(),
            QuantityError::TooManyDigits(_) => "four digits are more than any torque wrench shows".to_owned(),
            QuantityError::ZeroSpec => "give the torque on the part, such as 5 N·m".to_owned(),
            QuantityError::ToleranceTooWide(_) => "write the range itself, such as 4-6 N·m".to_owned(),
            QuantityError::NotANumber(text) if text.contains([',', '.']) => {
                "write a decimal point or comma and nothing between thousands, such as 1234.5".to_owned()
            }
            QuantityError::Empty | QuantityError::NotANumber(_) | QuantityError::NotOneSpec(_) => {
                "examples: 5 N·m, 4-6 N·m, max 5 N·m, min 12 N·m, 5 ±0.5 N·m, 44 lbf·in".to_owned()
            }
        }
    }
}
