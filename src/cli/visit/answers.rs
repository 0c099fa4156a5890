//! What an answer means.

use super::marking;
use crate::book::Check;
use crate::conformity::Kind;
use crate::words::listed;
use crate::workshop::Finding;

/// What a line means.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Entered {
    /// What was set was done.
    AsSet,
    LeaveOut,
    Undo,
    /// Another wrench: the next one that serves, or the one named.
    Wrench(String),
    Quit,
    Help,
    /// What stands on the part.
    Marking(String),
    /// Values of a kind.
    Values(Kind, Vec<String>),
    /// What was found, and what was said of it.
    Found(Finding, String),
    /// What cannot be understood, and what would do.
    Unclear(String),
}

pub(super) const HELP: &str = "Enter       it was done as set, every bolt
5.2         the torque read, or measured; 5.2 5.1: of this bolt and the next
held 4      it did not turn at 4; moved 4: it turned (it is asked for anew)
+           fine, of what is looked at; + and words: with a remark
f cracked   what was found: loose, drags, creaks, seized, cracked, play, worn,
            bent, broken, cut, leaks, rubs; words behind it are kept
-           leave it out        u           take the last answer back
w           another wrench      w NAME      that one
m max 5 N·m the marking on the part; m stem: max 5 N·m: of one of two parts
q           leave; the same command goes on from here";

/// What a line means, of a joint that is checked so.
pub(super) fn said(line: &str, check: Check) -> Entered {
    let line = line.trim();
    let (first, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let rest = rest.trim();
    let command = match (first.to_lowercase().as_str(), rest) {
        ("", _) => Some(Entered::AsSet),
        ("-", "") => Some(Entered::LeaveOut),
        ("u" | "undo", "") => Some(Entered::Undo),
        ("q" | "quit", "") => Some(Entered::Quit),
        ("?" | "h" | "help", "") => Some(Entered::Help),
        ("w" | "wrench", name) => Some(Entered::Wrench(name.to_owned())),
        ("+", words) => Some(found(Finding::Fine, words)),
        ("f", words) => Some(finding(words)),
        _ => None,
    };
    command.unwrap_or_else(|| record(line, (first, rest), check))
}

/// What is to be written down.
fn record(line: &str, (first, rest): (&str, &str), check: Check) -> Entered {
    let words = |text: &str| text.split_whitespace().map(str::to_owned).collect();
    if let Some(kind) = Kind::parse(first) {
        return Entered::Values(kind, words(rest));
    }
    if Finding::parse(first.trim_end_matches([',', ':', ';'])).is_some() {
        return finding(line);
    }
    if let Some(marking) = marking::typed(line, check) {
        return Entered::Marking(marking);
    }
    let number = line.trim_start_matches(['-', '+', '.', ',']);
    if number.starts_with(|c: char| c.is_ascii_digit()) {
        return Entered::Values(Kind::Tightened, words(line));
    }
    Entered::Unclear(format!("`{line}` is no answer; {}", what_would_do(check)))
}

/// What was found: the finding first, then words about it.
fn finding(words: &str) -> Entered {
    let (first, rest) = words.split_once(char::is_whitespace).unwrap_or((words, ""));
    match Finding::parse(first.trim_end_matches([',', ':', ';'])) {
        Some(what) => found(what, rest.trim()),
        None => Entered::Unclear(format!("say first what it is: {}", listed(Finding::WORDS))),
    }
}

/// Words of damage, by their beginnings, and the finding that they are. Whoever says that all is fine and one of these has
/// found something.
const DAMAGE: [(&str, Finding); 16] = [
    ("crack", Finding::Cracked),
    ("hairline", Finding::Cracked),
    ("split", Finding::Cracked),
    ("bent", Finding::Bent),
    ("bend", Finding::Bent),
    ("dent", Finding::Bent),
    ("buckle", Finding::Bent),
    ("broke", Finding::Broken),
    ("missing", Finding::Broken),
    ("cut", Finding::Cut),
    ("bulge", Finding::Cut),
    ("torn", Finding::Cut),
    ("leak", Finding::Leaks),
    ("rub", Finding::Rubs),
    ("slip", Finding::Loose),
    ("wobbl", Finding::Play),
];

/// What a word says was found.
fn meant(word: &str) -> Option<Finding> {
    let word = word.to_lowercase();
    let damage = || DAMAGE.iter().find(|(begins, _)| word.starts_with(begins)).map(|(_, finding)| *finding);
    Finding::parse(&word).or_else(damage)
}

/// A finding, unless the words about it say another one.
fn found(what: Finding, words: &str) -> Entered {
    let mut said = words.split(|c: char| !c.is_alphanumeric()).filter_map(meant);
    match said.find(|other| *other != what && (what == Finding::Fine || *other == Finding::Fine)) {
        Some(other) => Entered::Unclear(format!(
            "it is either {} or {}: `f {} …` keeps what was found",
            what.text(),
            other.text(),
            if other == Finding::Fine { what.text() } else { other.text() }
        )),
        None => Entered::Found(what, words.to_owned()),
    }
}

fn what_would_do(check: Check) -> &'static str {
    match check {
        Check::Torque => "Enter: done as set, a number: the torque read, m and the marking, - leaves it out",
        Check::Function => "+ is fine, f and what was found, - leaves it out",
        Check::Measure => "what was measured with its unit, f and what was found, - leaves it out",
    }
}

/// What Enter alone would need, where nothing was set.
pub(super) fn nothing_set(check: Check) -> String {
    format!("nothing was set; {}", what_would_do(check))
}

/// The values of a line, each with the unit that follows it or the numbers beside it: `5.0 5.1 in-lb` are two in in-lb,
/// `5 N·m 44 in-lb` one in each, and what stands behind the last unit is in that one.
pub(super) fn split_values(words: &[String]) -> Vec<String> {
    let is_number = |word: &String| word.starts_with(|c: char| c.is_ascii_digit());
    let bare = |value: &String| value.chars().all(|c| c.is_ascii_digit() || ".,".contains(c));
    let mut values: Vec<String> = Vec::new();
    // The first value whose unit is still to come, and the newest unit.
    let (mut open, mut unit) = (0, "");
    for word in words {
        if is_number(word) || values.is_empty() {
            values.push(word.clone());
            continue;
        }
        if values.iter().skip(open).any(bare) {
            unit = word;
            let without = values.iter_mut().skip(open).filter(|value| bare(value));
            without.for_each(|value| *value = format!("{value} {unit}"));
        } else if let Some(last) = values.last_mut() {
            // It is no unit, or one of two words: the value is read with it, and refused with it.
            *last = format!("{last} {word}");
        }
        open = values.len();
    }
    values.iter().map(|value| if bare(value) { format!("{value} {unit}") } else { value.clone() }).collect()
}

#[cfg(test)]
#[path = "answers_tests.rs"]
mod tests;
