//! The names of wrenches in a log, each known by a number.

use std::collections::HashMap;

use super::super::reference::{KnownWrench, Reference};
use super::super::summary::{MOST_UNREGISTERED, OVERFLOW};

/// Characters of a wrench's name that count; registered ones have fewer.
const LONGEST_NAME: usize = 100;

pub(super) struct WrenchName<'a> {
    pub(super) name: String,
    pub(super) wrench: Option<&'a KnownWrench>,
}

/// Names by number: none at all, then those of registered wrenches, then others as they are met.
pub(super) struct WrenchNames<'a> {
    names: Vec<WrenchName<'a>>,
    /// Numbers by name in small letters: case does not count for registered wrenches.
    registered: HashMap<String, u32>,
    /// Numbers by name, no name at all among them.
    unregistered: HashMap<String, u32>,
}

impl<'a> WrenchNames<'a> {
    pub(super) fn new(reference: &'a Reference) -> WrenchNames<'a> {
        let mut names = WrenchNames {
            names: vec![WrenchName { name: String::new(), wrench: None }],
            registered: HashMap::new(),
            unregistered: HashMap::from([(String::new(), 0)]),
        };
        for wrench in reference.wrenches() {
            let name = wrench.wrench.name().trim();
            let number = names.add(name, Some(wrench));
            names.registered.entry(name.to_ascii_lowercase()).or_insert(number);
        }
        names
    }

    pub(super) fn get(&self, number: u32) -> Option<&WrenchName<'a>> {
        self.names.get(number as usize)
    }

    /// The number of a name; one that is not known gets the next.
    pub(super) fn number_of(&mut self, name: &str) -> u32 {
        let name = name.char_indices().nth(LONGEST_NAME).map_or(name, |(end, _)| &name[..end]);
        if let Some(&number) = self.registered.get(&name.to_ascii_lowercase()) {
            return number;
        }
        let is_full = self.unregistered.len() > MOST_UNREGISTERED;
        let name = if is_full && !self.unregistered.contains_key(name) { OVERFLOW } else { name };
        if let Some(&number) = self.unregistered.get(name) {
            return number;
        }
        let number = self.add(name, None);
        self.unregistered.insert(name.to_owned(), number);
        number
    }

    fn add(&mut self, name: &str, wrench: Option<&'a KnownWrench>) -> u32 {
        self.names.push(WrenchName { name: name.to_owned(), wrench });
        u32::try_from(self.names.len() - 1).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_is_too_long_is_known_again_by_what_counts_of_it() {
        let reference = Reference::default();
        let mut names = WrenchNames::new(&reference);
        let long = "ä".repeat(LONGEST_NAME);
        let number = names.number_of(&long);
        assert_eq!([names.number_of(&(long.clone() + "b")), names.number_of(&(long + "c"))], [number; 2]);
        assert_ne!(names.number_of(&"ä".repeat(LONGEST_NAME - 1)), number);
    }

    #[test]
    fn names_that_are_too_many_share_a_number() {
        let reference = Reference::default();
        let mut names = WrenchNames::new(&reference);
        let numbers: Vec<u32> =
            (0..MOST_UNREGISTERED + 2).map(|name| names.number_of(&format!("stray{name}"))).collect();
        let overflow = names.number_of(OVERFLOW);
        assert_eq!(numbers[MOST_UNREGISTERED - 2..].iter().filter(|number| **number == overflow).count(), 2);
        assert_eq!((names.number_of("stray7"), names.number_of("")), (numbers[7], 0));
    }
}
