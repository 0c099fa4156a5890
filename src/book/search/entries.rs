//! What an entry is called, and how well a question fits that.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::lists::{OPPOSITES, RINGS, SHARED};
use super::reading::{parted, plain_words, same_words};
use crate::book::Commonness;

/// An entry as search knows it.
#[derive(Debug, Clone, Default)]
pub(crate) struct CalledEntry {
    pub entry: String,
    pub name: String,
    pub aliases: Vec<String>,
    /// Its thread and its tool.
    pub size: String,
    /// What its hardware looks like: a word there is a mention, no name.
    pub hardware: String,
    /// How much it is ridden.
    pub ridden: Commonness,
}

/// One of the names of an entry.
#[derive(Debug)]
struct Calling {
    /// Every word of it, also those that name no part.
    words: Vec<String>,
    named: Vec<String>,
    /// So many of its first words say what the part is; the others say more about it.
    core: usize,
    places: Vec<String>,
}

/// An entry with its words.
#[derive(Debug)]
pub(super) struct Indexed {
    pub entry: String,
    phrases: Vec<Calling>,
    /// Words of its names.
    names: BTreeSet<String>,
    /// Words of its thread and tool.
    sizes: BTreeSet<String>,
    /// Words of its hardware.
    mentions: BTreeSet<String>,
    ridden: Commonness,
    is_ring: bool,
    is_unstated: bool,
}

/// What was asked.
#[derive(Debug)]
pub(super) struct Question {
    /// Every word.
    pub words: Vec<String>,
    /// Those that name a part.
    pub asked: Vec<String>,
    /// Those that say where it is.
    pub places: Vec<String>,
}

/// How an entry fits a question, the best first.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Fit<'a> {
    pub is_key: Reverse<bool>,
    /// Whether only the end of its name was said, or a thread.
    pub is_loose: bool,
    /// How rare it is, where few ride it.
    pub rare: Option<Commonness>,
    /// The same words, all of its words, its words and more, its end, its thread: 0 to 4; and of two alike behind
    /// comes the one of whose name any word was left out, be it one that names no part.
    pub looseness: (u8, bool),
    /// Asked for words that say where a part is, and has.
    pub places: Reverse<usize>,
    pub ridden: Commonness,
    /// Words of its name that were not said.
    pub left: usize,
    pub is_unstated: bool,
    pub entry: &'a str,
    pub is_ring: bool,
}

/// The loosest fit in which the whole name of a part was said.
const FULL: u8 = 2;

/// What ends the name of a part and begins what is said about it.
const BOUNDARIES: [&str; 10] =
    [",", " in ", " on ", " of ", " to ", " with ", " without ", " around ", " into ", " at "];

impl Calling {
    fn new(text: &str) -> Calling {
        let end = BOUNDARIES.iter().filter_map(|boundary| text.find(boundary)).min().unwrap_or(text.len());
        let words = plain_words(text);
        let (named, places) = parted(&words);
        let core = parted(&plain_words(&text[..end])).0.len();
        Calling { words: same_words(&words), named, core, places }
    }

    fn core(&self) -> &[String] {
        &self.named[..self.core.min(self.named.len())]
    }

    /// How it fits the words of a question: the same words, all of its words and more about it, or its end.
    fn fits(&self, asked: &[String], places: &[String]) -> Option<(u8, usize)> {
        let has = |words: &[String], word: &String| words.contains(word);
        let within = |few: &[String], many: &[String]| few.iter().all(|word| has(many, word));
        let core = self.core();
        let unsaid = |words: &[String], said: &[String]| words.iter().filter(|word| !has(said, word)).count();
        let left = unsaid(&self.named, asked) + unsaid(&self.places, places);
        let head = core.last()?;
        if asked == core && !(is_shared(core) && core.len() < self.named.len()) {
            return Some((0, unsaid(&self.places, places)));
        }
        if asked == self.named {
            return Some((0, left));
        }
        if within(core, asked) && !is_shared(core) {
            return Some((if core.len() == asked.len() { 1 } else { 2 }, left));
        }
        // The last words of the part's name, and of what is said about it any.
        let said = |word: &&String| has(asked, word);
        let is_end = core.iter().rev().take_while(said).count() == core.iter().filter(said).count();
        let ends_so = has(asked, head) && is_end && within(asked, &self.named) && !is_shared(asked);
        ends_so.then_some((3, left))
    }
}

/// Whether words are one word that many parts share.
fn is_shared(words: &[String]) -> bool {
    let [word] = words else { return false };
    SHARED.contains(&word.as_str()) || word.chars().all(|c| c.is_ascii_digit())
}

impl Indexed {
    pub(super) fn new(named: &CalledEntry) -> Indexed {
        let all = |text: &str| -> BTreeSet<String> { same_words(&plain_words(text)).into_iter().collect() };
        let texts = || std::iter::once(&named.name).chain(&named.aliases);
        let names: BTreeSet<String> = texts().chain([&named.entry]).flat_map(|text| all(text)).collect();
        Indexed {
            entry: named.entry.clone(),
            phrases: texts().map(|text| Calling::new(text)).collect(),
            sizes: all(&named.size),
            mentions: all(&named.hardware),
            ridden: named.ridden,
            is_ring: plain_words(&named.name).iter().any(|word| RINGS.contains(&word.as_str())),
            is_unstated: named.name.ends_with("not stated"),
            names,
        }
    }

    pub(super) fn has(&self, word: &str) -> bool {
        self.names.contains(word) || self.sizes.contains(word)
    }

    pub(super) fn mentions(&self, word: &str) -> bool {
        self.mentions.contains(word)
    }

    /// How the entry fits words that name a part and words that say where it is; none where a word is no word of its
    /// names, or where the words are only part of the name of something else.
    pub(super) fn fits(&self, question: &Question, is_key: bool) -> Option<Fit<'_>> {
        let Question { words, asked, places } = question;
        let against = |place: &String| {
            let opposite = OPPOSITES.iter().find(|(one, _)| one == place);
            opposite.is_some_and(|(_, other)| self.names.contains(*other) && !self.names.contains(place))
        };
        let is_size = asked.iter().all(|word| self.sizes.contains(word))
            && asked.iter().any(|word| word.chars().any(|c| c.is_ascii_digit()))
            && (asked.len() > 1 || asked.iter().any(|word| word.chars().any(char::is_alphabetic)));
        // The number of bolts is not the size of a key.
        let is_hex = asked.iter().any(|word| word == "hex");
        let fits_size = |word: &String| {
            self.sizes.contains(word) && (is_hex || !word.chars().all(|c| c.is_ascii_digit()))
        };
        let is_whole = asked.iter().all(|word| self.names.contains(word) || fits_size(word));
        if !is_key && (!(is_whole || is_size) || places.iter().any(against)) {
            return None;
        }
        // A size says more about a part whose name is said.
        let said: Vec<String> = asked.iter().filter(|word| self.names.contains(*word)).cloned().collect();
        let by_name = self.phrases.iter().filter_map(|phrase| {
            let (fit, left) = phrase.fits(&said, places)?;
            Some((fit, phrase.words.iter().any(|word| !words.contains(word)), left))
        });
        let by_size = is_size.then_some((4, false, 0));
        let (fit, is_cut, left) = by_name.min().or(by_size).or(is_key.then_some((0, false, 0)))?;
        let there = places.iter().filter(|place| self.names.contains(*place)).count();
        Some(Fit {
            is_key: Reverse(is_key),
            is_loose: fit > FULL,
            rare: Some(self.ridden).filter(|ridden| ridden.is_rare()),
            looseness: (fit, is_cut),
            places: Reverse(there),
            ridden: self.ridden,
            left,
            is_unstated: self.is_unstated,
            entry: &self.entry,
            is_ring: self.is_ring,
        })
    }
}
