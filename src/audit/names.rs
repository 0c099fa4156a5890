//! The names of wrenches in a log, each known by a number.

use super::reference::{KnownWrench, Reference};
use super::summary::{MOST_NAMES, OTHERS, is_counted_apart};

/// Characters of a wrench's name that count; registered ones have fewer.
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
        let name = name.char_indices().nth(LONGEST_NAME).map_or(name, |(end, _)| &name[..end]);
        let known = self.place(name);
        u32::try_from(known.unwrap_or_else(|| self.add(name))).unwrap_or(0)
    }

    /// Adds the names of another thread: their numbers here, by their numbers there.
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
        let name = if full { OTHERS } else { name };
        self.place(name).unwrap_or_else(|| {
            self.known.push(WrenchName { name: name.to_owned(), wrench: None });
            self.known.len() - 1
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(reference: &Reference, numbers: std::ops::Range<usize>) -> Names<'_> {
        let mut names = Names::new(reference);
        for number in numbers {
            names.number_of(&format!("stray{number}"));
        }
        names
    }

    #[test]
    fn names_of_another_thread_keep_to_their_wrenches() {
        let reference = Reference::new();
        let (mut here, there) = (names(&reference, 0..3), names(&reference, 2..5));
        let numbers = here.take_in(&there);
        let texts = numbers.iter().map(|&number| here.get(number).map(|name| name.name.as_str()));
        assert_eq!(texts.collect::<Option<Vec<_>>>().unwrap(), ["", "stray2", "stray3", "stray4"]);
        assert_eq!(here.len(), 6);
    }

    #[test]
    fn there_are_too_many_names_only_where_all_threads_have_them_together() {
        let reference = Reference::new();
        let mut here = names(&reference, 0..600);
        here.take_in(&names(&reference, 400..MOST_NAMES));
        assert!(!here.is_crowded());
        here.take_in(&names(&reference, MOST_NAMES..MOST_NAMES + 1));
        assert!(here.is_crowded());
    }

    #[test]
    fn a_name_that_is_too_long_is_known_again_by_what_counts_of_it() {
        let reference = Reference::new();
        let mut names = names(&reference, 0..MOST_NAMES - 1);
        let long = "ä".repeat(LONGEST_NAME);
        let number = names.number_of(&long);
        assert_eq!([names.number_of(&(long.clone() + "b")), names.number_of(&(long + "c"))], [number; 2]);
        assert!(!names.is_crowded());
    }
}
