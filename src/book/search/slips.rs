//! What a word that no entry knows may have been meant to be.

use super::english::PLAIN;

/// A word of a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Word {
    /// The book has it.
    Known(String),
    /// A word of English, so no slip of another; the book does not have it.
    OfNoPart,
    /// Neither.
    Unknown(String),
}

/// A word of at least so many letters may be the beginning of another.
const BEGINNING: usize = 4;
/// A word of at least so many letters may be a slip of another.
const SLIP: usize = 5;
/// A word of at least so many letters may have two slips.
const TWO_SLIPS: usize = 8;
/// So many readings of a question are tried.
const MOST: usize = 100;

/// The ways to read a question: its words, with one of `names` for each that the book does not have; none where
/// a word can be read in no way.
pub(super) fn readings(words: &[Word], names: &[String]) -> Vec<Vec<String>> {
    let mut readings: Vec<Vec<String>> = vec![Vec::new()];
    for word in words {
        let meant: Vec<&String> = match word {
            Word::Known(word) => vec![word],
            Word::OfNoPart => Vec::new(),
            Word::Unknown(word) => meant(word, names),
        };
        let each = |read: &Vec<String>| -> Vec<Vec<String>> {
            meant.iter().map(|word| [read.as_slice(), &[(*word).clone()]].concat()).collect()
        };
        readings = readings.iter().flat_map(each).take(MOST).collect();
    }
    readings
}

/// The words that `word` is the beginning of; else those nearest to it by slips.
fn meant<'a>(word: &str, names: &'a [String]) -> Vec<&'a String> {
    let letters = word.chars().count();
    if word.chars().any(|c| c.is_ascii_digit()) {
        return Vec::new();
    }
    let names = || names.iter().filter(|name| PLAIN.binary_search(&name.as_str()).is_err());
    let begun: Vec<&String> = names().filter(|name| letters >= BEGINNING && name.starts_with(word)).collect();
    if !begun.is_empty() {
        return begun;
    }
    let allowed = match letters {
        ..SLIP => 0,
        SLIP..TWO_SLIPS => 1,
        _ => 2,
    };
    let slips = |name: &&String| strsim::damerau_levenshtein(word, name);
    let near: Vec<(usize, &String)> =
        names().map(|name| (slips(&name), name)).filter(|(slips, _)| (1..=allowed).contains(slips)).collect();
    let least = near.iter().map(|(slips, _)| *slips).min();
    near.into_iter().filter(|(slips, _)| Some(*slips) == least).map(|(_, name)| name).collect()
}
