//! Rounds: the part of a bicycle's items that one check covers (`specs/rules.md`, "Rounds").

use crate::sheet::kept_as_text;
use crate::words::words;

words! {
    /// One way round a bicycle.
    #[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
    pub enum Round: text {
        /// What moves or gives way, before a ride.
        Before = "before",
        /// What a hard ride loosens or breaks.
        After = "after",
        /// Every item.
        #[default]
        Full = "full",
        /// What has no good evidence now.
        Open = "open",
    }
}

/// The rounds before and after a ride that an item belongs to; every item belongs to the full one.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Rounds {
    pub(crate) before: bool,
    pub(crate) after: bool,
}

impl Rounds {
    /// Every one.
    pub(crate) const ALL: Rounds = Rounds { before: true, after: true };

    /// Words that stand for them: `before`, `after`, both in either order, or `none`.
    pub(crate) fn parse(text: &str) -> Option<Rounds> {
        let mut rounds = Rounds::default();
        let words = text.split([' ', ',', ';']).filter(|word| !word.is_empty());
        let words: Vec<String> = words.map(str::to_lowercase).collect();
        if words.is_empty() {
            return None;
        }
        for word in &words {
            match word.as_str() {
                "before" => rounds.before = true,
                "after" => rounds.after = true,
                "none" if words.len() == 1 => {}
                _ => return None,
            }
        }
        Some(rounds)
    }

    /// The words that [`Rounds::parse`] reads.
    pub(crate) fn text(self) -> &'static str {
        match (self.before, self.after) {
            (true, true) => "before after",
            (true, false) => "before",
            (false, true) => "after",
            (false, false) => "none",
        }
    }

    /// Whether an item that belongs to these is asked in a round; `is_open` says whether it lacks good evidence.
    pub(crate) fn are_asked_in(self, round: Round, is_open: bool) -> bool {
        match round {
            Round::Before => self.before,
            Round::After => self.after,
            Round::Full => true,
            Round::Open => is_open,
        }
    }
}

kept_as_text!(Round, "a round", |round| round.text().to_owned(), Round::parse);
kept_as_text!(Rounds, "rounds", |rounds| rounds.text().to_owned(), Rounds::parse);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_rounds_are_read_as_they_are_written() {
        for rounds in [Rounds::ALL, Rounds::default(), Rounds { before: true, after: false }] {
            assert_eq!(Rounds::parse(rounds.text()), Some(rounds));
        }
        assert_eq!(Rounds::parse("After, before"), Some(Rounds::ALL));
        for wrong in ["", "none before", "during", "full"] {
            assert_eq!(Rounds::parse(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn an_item_is_asked_in_the_rounds_that_it_belongs_to() {
        let before = Rounds { before: true, after: false };
        let asked = |round, is_open| before.are_asked_in(round, is_open);
        assert!(asked(Round::Before, false) && !asked(Round::After, true) && asked(Round::Full, false));
        assert!(asked(Round::Open, true) && !asked(Round::Open, false));
        assert!(Rounds::default().are_asked_in(Round::Full, false));
    }
}
