//! A text as words that can be compared: plural and singular one, and one word for what is said in two ways.

use super::lists::{FILLERS, NUMBERS, OFTEN_FILLERS, PLACES, SAME};

/// The words of a text, lower case and singular, in its order.
pub(super) fn plain_words(text: &str) -> Vec<String> {
    let text: String = text.chars().filter(|c| !"'’".contains(*c)).flat_map(char::to_lowercase).collect();
    let parts = text.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty());
    parts.flat_map(sizes).map(|word| plain(&word)).collect()
}

/// A word without its unit, and the two measures of a thread; a torque that is asked for names no part.
fn sizes(word: &str) -> Vec<String> {
    let is_number = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    if word.strip_suffix("nm").is_some_and(is_number) {
        return Vec::new();
    }
    match (word.split_once('x'), word.strip_suffix("mm")) {
        (Some((diameter, pitch)), _) if is_number(diameter.trim_start_matches('m')) && !pitch.is_empty() => {
            vec![diameter.to_owned(), pitch.to_owned()]
        }
        (_, Some(number)) if is_number(number) => vec![number.to_owned()],
        _ => vec![word.to_owned()],
    }
}

fn plain(word: &str) -> String {
    if let Some((_, number)) = NUMBERS.iter().find(|(text, _)| *text == word) {
        return (*number).to_owned();
    }
    let is_plural =
        word.len() > 3 && word.ends_with('s') && !["ss", "us", "is"].iter().any(|end| word.ends_with(end));
    match word.strip_suffix("ies") {
        Some(stem) if stem.len() > 2 => format!("{stem}y"),
        _ if is_plural => word[..word.len() - 1].to_owned(),
        _ => word.to_owned(),
    }
}

/// Words with one word for what is said in two ways.
pub(super) fn same_words(words: &[String]) -> Vec<String> {
    let read = |text: &str| SAME.iter().find(|(said, _)| *said == text).map(|(_, read)| *read);
    let mut same = Vec::new();
    let mut rest = words;
    while let [first, behind @ ..] = rest {
        let pair = behind.first().and_then(|second| read(&format!("{first} {second}")));
        rest = if pair.is_some() { &behind[1..] } else { behind };
        let one = pair.or_else(|| read(first)).unwrap_or(first);
        same.extend(one.split(' ').map(str::to_owned));
    }
    same
}

/// Whether a word of its own is one of those that are said in two ways.
pub(super) fn is_said_in_two_ways(word: &str) -> bool {
    SAME.iter().any(|(said, read)| said.split(' ').chain(read.split(' ')).any(|part| part == word))
}

pub(super) fn says_nothing(word: &str) -> bool {
    FILLERS.contains(&word)
}

/// Whether a word names no part where nothing is found with it.
pub(super) fn often_says_nothing(word: &str) -> bool {
    OFTEN_FILLERS.contains(&word)
}

pub(super) fn is_place(word: &str) -> bool {
    PLACES.contains(&word)
}

/// The words of a text that name a part, and those that say where it is.
pub(super) fn parted(words: &[String]) -> (Vec<String>, Vec<String>) {
    let mut named: Vec<String> = Vec::new();
    let mut places = Vec::new();
    for word in same_words(words).into_iter().filter(|word| !says_nothing(word)) {
        if is_place(&word) {
            places.push(word);
        } else if !named.contains(&word) {
            named.push(word);
        }
    }
    (named, places)
}
