//! The look of text on a terminal: width, weight and colour. Colour is never the only sign.

use anstyle::{AnsiColor, Color, Effects};
use textwrap::WordSplitter;

use crate::conformity::Decision;
use crate::quantity::TorqueUnit;

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
        filled(text, options)
            + "
"
    }

    /// Pieces, parted by two blanks, none of them broken.
    pub fn pieces(self, text: &str) -> String {
        let whole = text.split("  ").map(|piece| piece.replace(' ', &BINDING.to_string()));
        self.wrapped("", &whole.collect::<Vec<_>>().join("  "))
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

/// How lines are broken: at blanks only, so that a date or a name with hyphens stays whole, but for a word that is longer
/// than a line.
pub(super) fn wrapping(width: usize) -> textwrap::Options<'static> {
    textwrap::Options::new(width).word_splitter(WordSplitter::NoHyphenation)
}

/// `text` broken into lines, no number parted from its unit.
pub(super) fn filled<'a>(text: &str, options: impl Into<textwrap::Options<'a>>) -> String {
    textwrap::fill(&bound(text), options).replace(BINDING, " ")
}

/// The width of the longest piece of a text that is not to be broken.
pub(super) fn widest_word(text: &str) -> usize {
    bound(text).split(' ').map(textwrap::core::display_width).max().unwrap_or(0)
}

/// A blank at which no line is broken, as wide as a common one, and one that nobody types.
pub(super) const BINDING: char = '\u{2007}';
/// Units beside those of torque.
const UNITS: [&str; 12] = ["%", "mm", "mm²", "cm", "km", "h", "N", "kN", "MPa", "kg", "bar", "psi"];

/// `text` with its numbers bound to the units behind them.
fn bound(text: &str) -> String {
    let mut bound = String::with_capacity(text.len());
    let mut number_before = false;
    for (index, word) in text.split(' ').enumerate() {
        if index > 0 {
            bound.push(if number_before && is_unit(word) { BINDING } else { ' ' });
        }
        bound += word;
        number_before = word.ends_with(|last: char| last.is_ascii_digit());
    }
    bound
}

/// Whether a word is a unit, perhaps with what ends a clause behind it.
fn is_unit(word: &str) -> bool {
    let word = word.trim_end_matches([',', ';', '.', ':', ')', '?']);
    UNITS.contains(&word) || TorqueUnit::ALL.iter().any(|unit| unit.symbol() == word)
}

fn colour(colour: AnsiColor) -> anstyle::Style {
    anstyle::Style::new().fg_color(Some(Color::Ansi(colour))).effects(Effects::BOLD)
}

#[cfg(test)]
#[path = "style_tests.rs"]
mod tests;
