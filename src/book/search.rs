//! Words of a question, and what was meant by a word that no entry has.

/// The words of a question, folded to lower case, without punctuation.
#[must_use]
pub fn words_of(question: &str) -> Vec<String> {
    question
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// Likeness above which a word counts as a typing error of another.
const TYPING_ERROR: f64 = 0.6;

/// The word of `vocabulary` that `word` was most likely meant to be: itself, the beginning of one,
/// or the nearest by typing errors; none where nothing is near.
#[must_use]
pub fn corrected<'a>(word: &'a str, vocabulary: &'a [String]) -> Option<&'a str> {
    if vocabulary.iter().any(|known| known.starts_with(word)) {
        return Some(word);
    }
    likest(word, vocabulary).first().filter(|(score, _)| *score >= TYPING_ERROR).map(|(_, known)| *known)
}

/// Up to five words of `vocabulary` that look most like `word`.
#[must_use]
pub fn nearest_words<'a>(word: &'a str, vocabulary: &'a [String]) -> Vec<&'a str> {
    likest(word, vocabulary).into_iter().take(5).map(|(_, known)| known).collect()
}

fn likest<'a>(word: &str, vocabulary: &'a [String]) -> Vec<(f64, &'a str)> {
    let mut scored: Vec<(f64, &str)> = vocabulary
        .iter()
        .filter(|known| known.chars().count() > 2)
        .map(|known| (strsim::normalized_damerau_levenshtein(word, known), known.as_str()))
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    scored
}

#[cfg(test)]
mod tests {
    use super::*;

    fn vocabulary() -> Vec<String> {
        ["axle", "crank", "faceplate", "pinch", "rotor", "seatpost", "stem"].map(str::to_owned).to_vec()
    }

    #[test]
    fn a_beginning_stands_for_itself_and_a_slip_for_its_neighbour() {
        let words = vocabulary();
        assert_eq!(corrected("seatp", &words), Some("seatp"));
        assert_eq!(corrected("setpost", &words), Some("seatpost"));
        assert_eq!(corrected("rotro", &words), Some("rotor"));
        assert_eq!(corrected("zzzz", &words), None);
    }

    #[test]
    fn a_question_is_cut_into_plain_words() {
        assert_eq!(words_of("  Stem-Faceplate, M5!"), ["stem", "faceplate", "m5"]);
    }
}
