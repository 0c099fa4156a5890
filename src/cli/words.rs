//! Words of the core as choices of an option: completion and help list them, nothing else is taken.

use clap::builder::{PossibleValuesParser, TypedValueParser};

use crate::conformity::Kind;
use crate::wrench::WrenchKind;

/// The kinds of reading that come with a value or a hand.
pub(super) fn reading_kind() -> impl TypedValueParser<Value = Kind> {
    let words = Kind::ALL.into_iter().filter(|kind| *kind != Kind::Skipped).map(Kind::text);
    PossibleValuesParser::new(words).try_map(|word| Kind::parse(&word).ok_or("an unknown kind of reading"))
}

/// The types of torque wrench.
pub(super) fn wrench_kind() -> impl TypedValueParser<Value = WrenchKind> {
    PossibleValuesParser::new(WrenchKind::ALL.map(WrenchKind::text))
        .try_map(|word| WrenchKind::parse(&word).ok_or("an unknown type of wrench"))
}
