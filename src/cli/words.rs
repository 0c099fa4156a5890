//! Words of the core as choices of an option: completion and help list them, nothing else is taken.

use std::borrow::Cow;

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

use super::{Failure, FailureKind};
use crate::sheet::field::YES_NO;
use crate::words::meant;
use crate::workshop::Name;

/// Takes the words of those values that may be chosen.
pub(super) fn one_of<T: Copy + Send + Sync + 'static>(
    words: &'static [(&'static str, T)],
    may_be: fn(&T) -> bool,
) -> impl TypedValueParser<Value = T> {
    let choices = words.iter().filter(move |(_, value)| may_be(value)).map(|(word, _)| *word);
    PossibleValuesParser::new(choices).try_map(move |word| meant(words, &word).ok_or("an unknown word"))
}

/// Reads each of the words; those that do not fit are not listed, and refused where more can be said of them.
pub(super) fn one_of_fitting<T: Copy + Send + Sync + 'static>(
    words: &'static [(&'static str, T)],
    fits: fn(&T) -> bool,
) -> impl TypedValueParser<Value = T> {
    let choices = words.iter().map(move |(word, value)| PossibleValue::new(*word).hide(!fits(value)));
    PossibleValuesParser::new(choices).try_map(move |word| meant(words, &word).ok_or("an unknown word"))
}

/// Whether something is so, as typed.
pub(super) fn yes_no(text: &str) -> Result<bool, String> {
    meant(YES_NO, text).ok_or_else(|| format!("`{text}` is neither yes nor no"))
}

/// Refuses a name that a shell or this program would take for an option, and a spreadsheet program for a formula.
pub(super) fn refuse_like_option(name: &str) -> Result<(), Failure> {
    if name.trim().starts_with(['-', '=', '+', '@']) {
        let message = format!("`{name}` looks like an option or a formula");
        return Err(Failure::new(FailureKind::Name, message, "begin the name with a letter or a digit"));
    }
    Ok(())
}

/// The name of a bicycle or joint as somebody gives it.
pub(super) fn typed_name(text: &str) -> Result<Name, Failure> {
    refuse_like_option(text)?;
    Ok(Name::new(text)?)
}

/// Characters of a text that somebody leaves: a page of a book has twice as many (own choice).
const LONGEST_TEXT: usize = 1000;
/// The options that take such texts.
const TEXTS: [&str; 7] = ["--note", "--why", "--who", "--owner", "--place", "--condition", "--photo"];

/// How a text is longer than it may be; nothing where it is not.
pub(super) fn too_long(text: &str) -> Option<String> {
    let length = text.chars().count();
    (length > LONGEST_TEXT).then(|| format!("has {length} characters; {LONGEST_TEXT} are the most"))
}

/// Refuses texts that are longer than anybody reads: those of options among what was typed, and the name of `who`.
pub(super) fn refuse_long<'a>(typed: impl Iterator<Item = Cow<'a, str>>, who: &str) -> Result<(), Failure> {
    let refused = |option: &str, told: String| {
        let hint = "write less, and name the file or paper that has the rest; nothing was done";
        Err(Failure::new(FailureKind::Value, format!("the text of {option} {told}"), hint))
    };
    let mut before = String::new();
    for argument in typed {
        let (option, text) = argument
            .split_once('=')
            .filter(|(option, _)| TEXTS.contains(option))
            .unwrap_or((&before, &argument));
        if let (true, Some(told)) = (TEXTS.contains(&option), too_long(text)) {
            return refused(option, told);
        }
        before = argument.into_owned();
    }
    too_long(who).map_or(Ok(()), |told| refused("--who", told))
}
