//! Search: which entries a question asks for (`specs/rules.md`, "Finding an entry").

mod english;
mod entries;
mod lists;
mod reading;
mod slips;

use std::cmp::Reverse;
use std::collections::BTreeSet;

use english::IS_ENGLISH;
pub(crate) use entries::CalledEntry;
use entries::{Indexed, Question};
use lists::{BOLTS, RINGS};
use reading::{is_said_in_two_ways, often_says_nothing, parted, plain_words, same_words, says_nothing};
use slips::{Word, readings};

/// An entry found for a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// Its key.
    pub entry: String,
    /// Whether it is what all words ask for.
    pub is_whole: bool,
    /// The words that it has nothing of.
    pub missing: Vec<String>,
}

/// Entries found for a question.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Found {
    /// Those that all words ask for, best first; behind them those that match only in part.
    pub hits: Vec<Hit>,
    /// Keys of what is measured and no entry, where no entry is what all words ask for.
    pub measured: Vec<String>,
    /// Words that were taken for others: as typed, as read.
    pub corrected: Vec<(String, String)>,
    /// Where nothing was found: the nearest words or names of the book.
    pub nearest: Vec<String>,
}

/// What every entry of a book is called.
pub(crate) struct NameSearch {
    entries: Vec<Indexed>,
    /// The names and aliases as they stand in the book.
    texts: Vec<String>,
    /// Words of names, which a slip may be corrected to.
    names: Vec<String>,
    /// Every word of the book.
    known: BTreeSet<String>,
}

/// So many names are offered where nothing was found.
const OFFERED: usize = 5;

impl NameSearch {
    pub(crate) fn new(named: &[CalledEntry]) -> NameSearch {
        let texts: Vec<String> =
            named.iter().flat_map(|one| std::iter::once(&one.name).chain(&one.aliases)).cloned().collect();
        let names: BTreeSet<String> = texts.iter().flat_map(|text| plain_words(text)).collect();
        let rest = named.iter().flat_map(|one| [&one.entry, &one.size, &one.hardware]);
        let known = rest.flat_map(|text| plain_words(text)).chain(names.iter().cloned()).collect();
        let names = names.into_iter().filter(|word| !says_nothing(word) || is_bolt(word)).collect();
        NameSearch { entries: named.iter().map(Indexed::new).collect(), texts, names, known }
    }

    /// The entries that a question asks for.
    pub(crate) fn find(&self, question: &str) -> Found {
        let key = question.trim().to_lowercase();
        let typed = plain_words(question);
        let mut led = self.led(&typed, &key);
        if led.is_empty() {
            let rest: Vec<String> = typed.iter().filter(|word| !often_says_nothing(word)).cloned().collect();
            led = if rest.len() < typed.len() { self.led(&rest, &key) } else { led };
        }
        match led.pop() {
            // Of two readings that lead somewhere neither is better than the other.
            Some(found) if led.is_empty() => found,
            _ => Found { nearest: self.nearest(&typed), ..Found::default() },
        }
    }

    /// What each reading of the typed words leads to, where that is anything.
    fn led(&self, typed: &[String], key: &str) -> Vec<Found> {
        let words: Vec<Word> = typed.iter().map(|word| self.word(word)).collect();
        let mut led = Vec::new();
        for read in readings(&words, &self.names) {
            let mut hits = self.whole(&read, key);
            if !hits.is_empty() {
                hits.extend(self.partly(&read, &hits));
                let both = typed.iter().cloned().zip(read);
                let corrected = both.filter(|(typed, read)| typed != read).collect();
                led.push(Found { hits, corrected, ..Found::default() });
            }
        }
        led
    }

    /// The same; where no entry is asked for, what else is called so and is measured.
    pub(crate) fn find_or_measure(&self, measures: &NameSearch, question: &str) -> Found {
        let found = self.find(question);
        if !found.hits.is_empty() {
            return found;
        }
        let measure = measures.find(question);
        if measure.hits.is_empty() {
            return found;
        }
        let whole = measure.hits.iter().filter(|hit| hit.is_whole).map(|hit| hit.entry.clone());
        Found { measured: whole.collect(), corrected: measure.corrected, ..Found::default() }
    }

    fn word(&self, word: &str) -> Word {
        let is_known = self.known.contains(word) || says_nothing(word) || is_said_in_two_ways(word);
        match () {
            () if is_known || reading::is_place(word) => Word::Known(word.to_owned()),
            () if IS_ENGLISH.binary_search(&word).is_ok() => Word::OfNoPart,
            () => Word::Unknown(word.to_owned()),
        }
    }

    /// The entries that all words ask for, best first.
    fn whole(&self, read: &[String], key: &str) -> Vec<Hit> {
        let (asked, places) = parted(read);
        let question = Question { words: same_words(read), asked, places };
        let mut ranked: Vec<_> = self
            .entries
            .iter()
            .filter(|entry| !question.asked.is_empty() || entry.entry == key)
            .filter_map(|entry| entry.fits(&question, entry.entry == key))
            .collect();
        ranked.sort_unstable();
        let is_bolt = question.words.iter().any(|word| is_bolt(word))
            && !question.asked.iter().any(|word| is_ring(word));
        if is_bolt && ranked.iter().any(|fit| fit.rare.is_none() && !fit.is_ring) {
            ranked.retain(|fit| !fit.is_ring || fit.is_key.0);
        }
        let hit = |entry: &str| Hit { entry: entry.to_owned(), is_whole: true, missing: Vec::new() };
        ranked.into_iter().map(|fit| hit(fit.entry)).collect()
    }

    /// The other entries that have one of the words, those with the most first.
    fn partly(&self, read: &[String], whole: &[Hit]) -> Vec<Hit> {
        let (asked, _) = parted(read);
        let others = self.entries.iter().filter(|entry| whole.iter().all(|hit| hit.entry != entry.entry));
        let mut partly: Vec<_> = others
            .filter_map(|entry| {
                let missing: Vec<String> =
                    asked.iter().filter(|word| !entry.has(word) && !entry.mentions(word)).cloned().collect();
                let named = asked.iter().filter(|word| entry.has(word)).count();
                (missing.len() < asked.len()).then_some((
                    missing.len(),
                    Reverse(named),
                    &entry.entry,
                    missing,
                ))
            })
            .collect();
        partly.sort_unstable();
        let hit = |entry: &String, missing| Hit { entry: entry.clone(), is_whole: false, missing };
        partly.into_iter().map(|(_, _, entry, missing)| hit(entry, missing)).collect()
    }

    /// What to offer where nothing was found: words near to those that the book does not know, else names that have
    /// the most of the words.
    fn nearest(&self, typed: &[String]) -> Vec<String> {
        let unknown = typed.iter().filter(|word| !matches!(self.word(word), Word::Known(_)));
        let near: Vec<String> =
            unknown.flat_map(|word| crate::words::nearest_by_slips(word, &self.names)).collect();
        if !near.is_empty() {
            return near;
        }
        let (asked, _) = parted(typed);
        let mut near: Vec<(usize, usize, &String)> = Vec::new();
        for text in &self.texts {
            let words = plain_words(text);
            let words = [same_words(&words), words].concat();
            let lacking = asked.iter().filter(|word| !words.contains(word)).count();
            if lacking < asked.len() && near.iter().all(|(_, _, known)| *known != text) {
                near.push((lacking, words.len(), text));
            }
        }
        near.sort_unstable();
        near.into_iter().take(OFFERED).map(|(_, _, text)| text.clone()).collect()
    }
}

fn is_bolt(word: &str) -> bool {
    BOLTS.contains(&word)
}

fn is_ring(word: &str) -> bool {
    RINGS.contains(&word)
}

#[cfg(test)]
#[path = "search_tests.rs"]
mod tests;
