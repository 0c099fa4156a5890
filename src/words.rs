//! Words as people type them: folding, and the nearest known word where there is no such word.
//!
//! A suggestion is read by a person, so it may be loose: Jaro–Winkler likeness, which forgives a missing end.
//! Where a word is not known at all, the nearest by edits with swapped neighbours (Damerau–Levenshtein), as a share of
//! its length, are offered.

mod plain;

use std::fmt::Display;

use std::cmp::Ordering;

pub(crate) use plain::{Outlet, cell, hidden_in, is_hidden, of_cell, shell, visible};

/// An enum of words: each variant with its word, given by a method of the name after the colon and read by `parse`.
macro_rules! words {
    ($(#[$meta:meta])* pub enum $Name:ident: $word:ident {
        $($(#[$of_variant:meta])* $Variant:ident = $text:literal,)+
    }) => {
        $(#[$meta])*
        pub enum $Name {
            $($(#[$of_variant])* $Variant,)+
        }

        #[allow(dead_code, reason = "not every list is asked for everything")]
        impl $Name {
            /// All of them, in their order.
            pub const ALL: [$Name; [$($text),+].len()] = [$($Name::$Variant),+];

            /// All of them, each after its word.
            pub const WORDS: &'static [(&'static str, $Name)] = &[$(($text, $Name::$Variant)),+];

            /// Its word, on screen and in the data.
            #[must_use]
            pub fn $word(self) -> &'static str {
                match self { $($Name::$Variant => $text,)+ }
            }

            /// The one that a word stands for, whatever its case; none for an unknown word.
            #[must_use]
            pub fn parse(text: &str) -> Option<$Name> {
                $crate::words::meant($Name::WORDS, text)
            }
        }

        impl std::fmt::Display for $Name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.$word())
            }
        }
    };
}
pub(crate) use words;

/// The words alone, for help and diagnostics.
pub(crate) fn listed<T>(words: &[(&str, T)]) -> String {
    words.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(", ")
}

/// What a word stands for, whatever its case.
pub(crate) fn meant<T: Copy>(words: &[(&str, T)], text: &str) -> Option<T> {
    words.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim())).map(|(_, value)| *value)
}

/// Likeness from which a name is worth suggesting.
const LIKE: f64 = 0.7;
/// Likeness from which a name is worth naming alone.
const CLOSE: f64 = 0.8;

/// Share of its characters that may be wrong in a short word of which the nearest is named.
const HALF: f64 = 0.5;

/// Lower case, without the blanks and hyphens that people place differently.
fn folded(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && !"-_".contains(*c)).flat_map(char::to_lowercase).collect()
}

/// True when `text` is one of `names`, but for case, blanks and hyphens.
pub(crate) fn is_one_of<'a>(text: &str, mut names: impl Iterator<Item = &'a str>) -> bool {
    let wanted = folded(text);
    names.any(|name| folded(name) == wanted)
}

/// So many of a thing: `1 row`, `2 rows`.
pub(crate) fn counted<N: Copy + Display + PartialEq + From<u8>>(count: N, thing: &str) -> String {
    format!("{count} {thing}{}", if count == N::from(1) { "" } else { "s" })
}

/// So many of a thing before what they do: `1 row is`, `2 rows are`.
pub(crate) fn counted_are<N: Copy + Display + PartialEq + From<u8>>(count: N, thing: &str) -> String {
    let verb = if count == N::from(1) { "is" } else { "are" };
    format!("{} {verb}", counted(count, thing))
}

/// What `text` may be short for, of things with their names: the one of that name, whatever its case; else each that has
/// its parts at the beginning of parts of its own, one behind the other: `bar` or `b-cl` of `bar-clamp`, `3` of `hire-3`.
/// A number is never cut: `hire-1` is not short for `hire-12`.
pub(crate) fn short_for<'a, T>(
    text: &str,
    named: impl IntoIterator<Item = (&'a str, T)>,
) -> Vec<(&'a str, T)> {
    let wanted = text.trim().to_lowercase();
    let parts = parts_of(&wanted);
    let mut found = Vec::new();
    for (name, thing) in named {
        let folded = name.to_lowercase();
        if folded == wanted {
            return vec![(name, thing)];
        }
        let all_begin = |own: &[&str]| own.iter().zip(&parts).all(|(part, begin)| begins(part, begin));
        if !parts.is_empty() && parts_of(&folded).windows(parts.len()).any(all_begin) {
            found.push((name, thing));
        }
    }
    found
}

/// The parts of a name, which hyphens, dots and underscores keep apart.
fn parts_of(name: &str) -> Vec<&str> {
    name.split(['-', '.', '_']).filter(|part| !part.is_empty()).collect()
}

fn begins(part: &str, begin: &str) -> bool {
    let is_digit = |c: char| c.is_ascii_digit();
    part.strip_prefix(begin).is_some_and(|rest| !(begin.ends_with(is_digit) && rest.starts_with(is_digit)))
}

/// Up to `most` of `names` that look like `text`, best first, each once; none where none does.
pub(crate) fn nearest<'a>(text: &str, names: impl IntoIterator<Item = &'a str>, most: usize) -> Vec<&'a str> {
    let scored = by_likeness(text, names, str::to_lowercase);
    scored.into_iter().take_while(|(score, _)| *score > LIKE).map(|(_, name)| name).take(most).collect()
}

/// The one of `names` that `text` was most likely meant to be; none where none is close.
pub(crate) fn closest<'a>(text: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let (score, name) = by_likeness(text, names, str::to_lowercase).into_iter().next()?;
    (score > CLOSE).then_some(name)
}

/// Those of `names` that `text` turns into by few edits, best first, names with as many in their order.
pub(crate) fn nearest_by_edits<'a>(text: &str, names: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let score = |name| (strsim::normalized_damerau_levenshtein(text, name), name);
    let mut scored: Vec<_> = names.into_iter().map(score).filter(|(score, _)| *score >= HALF).collect();
    scored.sort_by(best_first);
    scored.into_iter().map(|(_, name)| name).collect()
}

/// Three of `names`, best first, each once, however little they look like `text`: for short tables, of which
/// some name is always of use. Blanks and hyphens do not count.
pub(crate) fn likest<'a>(text: &str, names: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    by_likeness(text, names, folded).into_iter().take(3).map(|(_, name)| name.to_owned()).collect()
}

/// Names with their likeness to `text`, best first, names of the same likeness in their order, each once.
fn by_likeness<'a>(
    text: &str,
    names: impl IntoIterator<Item = &'a str>,
    fold: fn(&str) -> String,
) -> Vec<(f64, &'a str)> {
    let wanted = fold(text);
    let mut scored: Vec<(f64, &str)> = Vec::new();
    for name in names {
        if scored.iter().all(|(_, known)| *known != name) {
            scored.push((strsim::jaro_winkler(&wanted, &fold(name)), name));
        }
    }
    scored.sort_by(best_first);
    scored
}

fn best_first(a: &(f64, &str), b: &(f64, &str)) -> Ordering {
    b.0.total_cmp(&a.0)
}

/// The words of a text, folded to lower case, without punctuation.
pub(crate) fn words_of(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// Up to five words of `vocabulary` that `word` becomes with the fewest typing errors.
pub(crate) fn nearest_by_slips(word: &str, vocabulary: &[String]) -> Vec<String> {
    by_slips(word, vocabulary).into_iter().take(5).map(|(_, known)| known.to_owned()).collect()
}

/// The words of a vocabulary that are long enough to be mistyped, best first, then by alphabet.
fn by_slips<'a>(word: &str, vocabulary: &'a [String]) -> Vec<(f64, &'a str)> {
    let mut scored: Vec<(f64, &str)> = vocabulary
        .iter()
        .filter(|known| known.chars().count() > 2)
        .map(|known| (strsim::normalized_damerau_levenshtein(word, known), known.as_str()))
        .collect();
    scored.sort_by(|a, b| best_first(a, b).then(a.1.cmp(b.1)));
    scored
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_thing_is_no_plural() {
        assert_eq!([0, 1, 2].map(|count| counted(count, "row")), ["0 rows", "1 row", "2 rows"]);
        assert_eq!([1, 2].map(|count| counted_are(count, "row")), ["1 row is", "2 rows are"]);
    }

    #[test]
    fn words_of_two_letters_are_not_guessed() {
        let words = ["up".to_owned(), "cups".to_owned()];
        assert_eq!(nearest_by_slips("ux", &words), ["cups"]);
    }

    #[test]
    fn a_short_name_stands_for_all_that_have_it_at_the_beginning_of_a_part() {
        let names =
            ["hire-1", "hire-12", "Bar-clamp", "brake-front", "brake-rear", "bar", "crossbar", "m5.2"];
        for (text, meant) in [
            ("HIRE-1", &["hire-1"][..]),
            ("1", &["hire-1"]),
            ("hire-2", &[]),
            ("hire", &["hire-1", "hire-12"]),
            ("bar", &["bar"]),
            ("bar-", &["Bar-clamp", "bar"]),
            ("b_cl", &["Bar-clamp"]),
            ("br", &["brake-front", "brake-rear"]),
            ("rear", &["brake-rear"]),
            ("rear-brake", &[]),
            ("br-r", &["brake-rear"]),
            ("m", &["m5.2"]),
            ("m5", &["m5.2"]),
            ("ross", &[]),
            ("", &[]),
            ("-", &[]),
        ] {
            let found = short_for(text, names.map(|name| (name, ())));
            assert_eq!(found.iter().map(|(name, ())| *name).collect::<Vec<_>>(), meant, "{text}");
        }
    }

    #[test]
    fn a_text_is_cut_into_plain_words() {
        assert_eq!(words_of("  Stem-Faceplate, M5!"), ["stem", "faceplate", "m5"]);
    }

    /// Jaro–Winkler of its authors' example: MARTHA and MARHTA are 0.961 alike, DIXON and DICKSONX 0.813 (Winkler,
    /// Proceedings of the Section on Survey Research Methods, American Statistical Association, 1990).
    #[test]
    fn names_that_look_like_it_come_best_first_and_once() {
        let names = ["DIXON", "MARHTA", "zzz", "MARHTA"];
        assert_eq!(nearest("Martha", names, 5), ["MARHTA"]);
        assert_eq!(nearest("dicksonx", names, 5), ["DIXON"]);
        assert_eq!(nearest("☃", names, 5), Vec::<&str>::new());
        assert_eq!(likest("Mar-hta", ["martha", "marhta"])[0], "marhta");
    }

    /// PEAR and PAIR have three letters of four in common; -1 is two letters of eight, in order.
    #[test]
    fn a_name_that_stands_alone_is_closer_than_those_of_a_list() {
        assert_eq!(closest("pear", ["ring", "pair"]), Some("pair"));
        assert_eq!(nearest("-1", ["cfr-1512"], 1), ["cfr-1512"]);
        assert_eq!(closest("-1", ["cfr-1512"]), None);
    }

    /// WHEEL and HEADSET have three letters in common, in order, within half a word of each other:
    /// (3/5 + 3/7 + 1)/3 = 0.676, below the level of a suggestion.
    #[test]
    fn what_looks_little_like_it_is_not_suggested() {
        assert_eq!(nearest("wheel", ["headset"], 5), Vec::<&str>::new());
    }

    /// ABCDE and ABXYZ share two of five letters: Jaro 0.6, below the level of a suggestion.
    #[test]
    fn a_short_table_always_offers_a_name() {
        assert_eq!(nearest("abcde", ["abxyz"], 3), Vec::<&str>::new());
        assert_eq!(likest("abcde", ["mno", "abxyz", "rst"]), ["abxyz", "mno", "rst"]);
        assert_eq!(likest("", ["b", "a", "c", "d"]), ["b", "a", "c"]);
    }

    #[test]
    fn blanks_hyphens_and_case_do_not_matter() {
        assert!(is_one_of(" Anti Seize", ["anti-seize"].into_iter()));
        assert!(!is_one_of("seize", ["anti-seize"].into_iter()));
    }
}
