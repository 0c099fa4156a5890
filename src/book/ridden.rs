//! Who rides a kind of hardware today: what most ride comes first, and what few ride is nothing to give to anybody.

use crate::words::words;

words! {
    /// How much a kind of hardware is ridden.
    #[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
    pub enum Commonness: word {
        /// What most bicycles of today have, and what is not told apart from it.
        Most = "most",
        /// Other hardware of today.
        #[default]
        Today = "today",
        /// Of one make, or of one kind of bicycle that few ride.
        Special = "special",
        /// Of an era that is over.
        Era = "era",
    }
}

impl Commonness {
    /// Whether few ride it.
    #[must_use]
    pub fn is_rare(self) -> bool {
        self >= Commonness::Special
    }

    /// Whether a template of `kind` may give an entry of this `name`: special hardware only to the kind of bicycle
    /// that its name tells of.
    pub(crate) fn suits(self, kind: &str, name: &str) -> bool {
        match self {
            Commonness::Most | Commonness::Today => true,
            Commonness::Special => name.to_lowercase().split(' ').any(|word| word == kind),
            Commonness::Era => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_special_or_of_an_era_is_rare() {
        let rare = [Commonness::Most, Commonness::Today, Commonness::Special, Commonness::Era];
        assert_eq!(rare.map(Commonness::is_rare), [false, false, true, true]);
    }

    #[test]
    fn what_is_special_suits_the_kind_that_its_name_tells_of() {
        let pedal = "Pedal of a folding bicycle";
        assert!(Commonness::Special.suits("folding", pedal) && !Commonness::Special.suits("city", pedal));
        assert!(!Commonness::Special.suits("fold", pedal) && !Commonness::Era.suits("folding", pedal));
        assert!(Commonness::Today.suits("city", pedal) && Commonness::Most.suits("city", pedal));
    }
}
