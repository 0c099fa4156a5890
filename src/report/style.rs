//! The look of text on a terminal: width, weight and colour. Colour is never the only sign.

use anstyle::{AnsiColor, Color, Effects};
use textwrap::WordSplitter;

use crate::conformity::Decision;

/// How text is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Columns that a line may have.
    pub width: usize,
    /// Whether weight and colour may be used.
    pub colour: bool,
}

impl Style {
    /// Text that should be seen first.
    pub fn strong(self, text: &str) -> String {
        self.paint(text, anstyle::Style::new().effects(Effects::BOLD))
    }

    /// Text that matters less.
    pub fn faint(self, text: &str) -> String {
        self.paint(text, anstyle::Style::new().effects(Effects::DIMMED))
    }

    /// The word for a decision, in its colour; the word says it all without.
    pub fn decided(self, decision: Decision, word: &str) -> String {
        match decision {
            Decision::Good => self.good(word),
            Decision::Bad => self.bad(word),
            Decision::Undecided => self.open(word),
        }
    }

    /// A word that says all is well.
    pub fn good(self, text: &str) -> String {
        self.paint(text, colour(AnsiColor::Green))
    }

    /// A word that says that something must be done.
    pub fn bad(self, text: &str) -> String {
        self.paint(text, colour(AnsiColor::Red))
    }

    /// A word that says that nothing is decided.
    pub fn open(self, text: &str) -> String {
        self.paint(text, colour(AnsiColor::Yellow))
    }

    fn paint(self, text: &str, style: anstyle::Style) -> String {
        if self.colour { format!("{style}{text}{style:#}") } else { text.to_owned() }
    }

    /// `text` wrapped to the width, the first line after `first`, the others after blanks as wide.
    pub fn wrapped(self, first: &str, text: &str) -> String {
        let indent = " ".repeat(textwrap::core::display_width(first));
        self.wrapped_within(first, &indent, text)
    }

    /// `text` wrapped to the width, the first line after `first`, the others after `next`.
    pub fn wrapped_within(self, first: &str, next: &str, text: &str) -> String {
        let options = wrapping(self.width.clamp(40, 100)).initial_indent(first).subsequent_indent(next);
        textwrap::fill(text, options) + "\n"
    }

    /// A labelled list: the label before the first item, a dash before each of several.
    pub fn listed(self, label: &str, items: &[impl AsRef<str>]) -> String {
        let mut text = String::new();
        for (index, item) in items.iter().enumerate() {
            let label = if index == 0 { label } else { "" };
            let dash = if items.len() > 1 { "- " } else { "" };
            text += &self.wrapped(&format!("{label:<9} {dash}"), item.as_ref());
        }
        text
    }
}

/// How lines are broken: at blanks only, so that a date or a name with hyphens stays whole.
pub(super) fn wrapping(width: usize) -> textwrap::Options<'static> {
    textwrap::Options::new(width).word_splitter(WordSplitter::NoHyphenation).break_words(false)
}

fn colour(colour: AnsiColor) -> anstyle::Style {
    anstyle::Style::new().fg_color(Some(Color::Ansi(colour))).effects(Effects::BOLD)
}

#[cfg(test)]
#[path = "style_tests.rs"]
mod tests;
