//! The names of wrenches in a log, each known by a number.

use super::reference::{KnownWrench, Reference};
use super::summary::{MOST_NAMES, OTHERS, is_counted_apart};

/// Characters of a wrench's name that count where it is not registered.
const LONGEST_NAME: usize = 100;

/// The name of a wrench in a log.
#[derive(Debug)]
pub(super) struct WrenchName<'a> {
    pub(super) name: String,
    /// The wrench, if it is registered.
    pub(super) wrench: Option<&'a KnownWrench>,
}

impl WrenchName<'_> {
    /// Whether a log means this wrench; case does not count for registered ones.
    fn is(&self, name: &str) -> bool {
        if self.wrench.is_some() { self.name.eq_ignore_ascii_case(name) } else { self.name == name }
    }
}

/// Names by number: none at all, then those of registered wrenches, then others as they are met.
#[derive(Debug)]
pub(super) struct Names<'a> {
    known: Vec<WrenchName<'a>>,
    /// Whether there were too many that are not registered.
    crowded: bool,
}

impl<'a> Names<'a> {
    /// None at all, and the registered wrenches.
    pub(super) fn new(reference: &'a Reference) -> Names<'a> {
        let mut known = vec![WrenchName { name: String::new(), wrench: None }];
        known.extend(
            reference.wrenches().iter().map(|wrench| WrenchName {
                name: wrench.wrench.name().trim().to_owned(),
                wrench: Some(wrench),
            }),
        );
        Names { known, crowded: false }
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.known.len()
    }

    /// Whether there were too many that are not registered: then all of them are to be counted together.
    pub(super) fn is_crowded(&self) -> bool {
        self.crowded
    }

    pub(super) fn get(&self, number: u32) -> Option<&WrenchName<'a>> {
        self.known.get(number as usize)
    }

    /// The number of a name; one that is not known gets the next.
    pub(super) fn number_of(&mut self, name: &str) -> u32 {
        let known = self.place(name);
        u32::try_from(known.unwrap_or_else(|| self.add(name))).unwrap_or(0)
    }

    /// The numbers here of the names of another thread.
    pub(super) fn take_in(&mut self, other: &Names<'_>) -> Vec<u32> {
        self.crowded |= other.crowded;
        other.known.iter().map(|name| self.number_of(&name.name)).collect()
    }

    fn place(&self, name: &str) -> Option<usize> {
        self.known.iter().position(|known| known.is(name))
    }

    fn add(&mut self, name: &str) -> usize {
        let apart = self.known.iter().filter(|known| is_counted_apart(&known.name, known.wrench.is_some()));
        let full = apart.count() >= MOST_NAMES;
        self.crowded |= full;
        let name: String = if full { OTHERS.to_owned() } else { name.chars().take(LONGEST_NAME).collect() };
        self.place(&name).unwrap_or_else(|| {
            self.known.push(WrenchName { name, wrench: None });
            self.known.len() - 1
        })
    }
}
