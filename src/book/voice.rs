//! One issuer, one voice, however its name is written (`specs/rules.md`, "The workshop's own figures").

use crate::words::words_of;

/// Words of a name that say what kind of company it is, or what companies of the trade do.
const COMPANY: [&str; 31] = [
    "ag",
    "bicycle",
    "bicycles",
    "bike",
    "bikes",
    "bv",
    "co",
    "company",
    "components",
    "corp",
    "corporation",
    "cycle",
    "cycles",
    "cycling",
    "gmbh",
    "group",
    "inc",
    "industries",
    "international",
    "kg",
    "limited",
    "llc",
    "ltd",
    "manufacturing",
    "mfg",
    "parts",
    "products",
    "s",
    "sa",
    "spa",
    "srl",
];

/// Stands for a part without a name: never taken for a maker.
const NOT_STATED: &str = "maker not stated";

/// Kinds of source that are a maker's own paper, called after the maker or one of its brands.
const OWN_PAPERS: [&str; 2] = ["owners-manual", "service-manual"];

/// Who speaks already.
#[derive(Debug, Default)]
pub(crate) struct Voices {
    /// Of the book: the issuer, the words of its name.
    issuers: Vec<(String, Vec<String>)>,
    /// Of the book: the words of a maker's paper, its issuer.
    papers: Vec<(Vec<String>, String)>,
    /// Of the workshop's own figures: the issuer, the words of its name.
    own: Vec<(String, Vec<String>)>,
}

impl Voices {
    /// Those of the sources of a book, each as issuer, title and kind.
    pub(crate) fn of<'a>(sources: impl Iterator<Item = [&'a str; 3]>) -> Voices {
        let mut voices = Voices::default();
        for [issuer, title, kind] in sources {
            if voices.issuers.iter().all(|(known, _)| known != issuer) {
                voices.issuers.push((issuer.to_owned(), name_words(issuer)));
            }
            if OWN_PAPERS.contains(&kind) {
                voices.papers.push((folded_words(title), issuer.to_owned()));
            }
        }
        voices
    }

    /// The issuer that a name of an own figure stands for: one of the book, whose name has the same words, or more or
    /// fewer of them, or whose paper begins with the name, as a brand's does; else one that spoke before in an own
    /// figure; else itself.
    pub(crate) fn voice(&mut self, name: &str) -> String {
        let words = name_words(name);
        let is_name = |known: &str| known.to_lowercase() == name.to_lowercase();
        let known = self.issuers.iter().chain(&self.own).find(|(known, _)| is_name(known));
        if let Some((known, _)) = known {
            return known.clone();
        }
        let same = |(known, of): &&(String, Vec<String>)| known != NOT_STATED && *of == words;
        let akin = |(known, of): &&(String, Vec<String>)| {
            known != NOT_STATED && (within(of, &words) || within(&words, of))
        };
        let of_book = self.issuers.iter().find(same).or_else(|| self.issuers.iter().find(akin));
        let of_own = || self.own.iter().find(same).map(|(known, _)| known.clone());
        let begun = folded_words(name);
        let of_paper = || {
            let paper = self.papers.iter().find(|(title, _)| !begun.is_empty() && title.starts_with(&begun));
            paper.map(|(_, issuer)| issuer.clone())
        };
        let found = of_book.map(|(known, _)| known.clone()).or_else(of_paper).or_else(of_own);
        found.unwrap_or_else(|| {
            self.own.push((name.to_owned(), words));
            name.to_owned()
        })
    }
}

/// Whether all words of a name, if it has any, are among those of another.
fn within(words: &[String], others: &[String]) -> bool {
    !words.is_empty() && words.iter().all(|word| others.contains(word))
}

/// The words by which a company is known; all of its name where nothing else would be left.
fn name_words(name: &str) -> Vec<String> {
    let all = folded_words(name);
    let telling: Vec<String> = all.iter().filter(|word| !COMPANY.contains(&word.as_str())).cloned().collect();
    if telling.is_empty() { all } else { telling }
}

/// The words of a text in lower case, letters without their accents.
fn folded_words(text: &str) -> Vec<String> {
    let plain = |letter: char| match letter {
        'à'..='å' => 'a',
        'ç' | 'č' | 'ć' => 'c',
        'è'..='ë' => 'e',
        'ì'..='ï' => 'i',
        'ñ' => 'n',
        'ò'..='ö' | 'ø' => 'o',
        'š' => 's',
        'ù'..='ü' => 'u',
        'ž' => 'z',
        other => other,
    };
    words_of(text).iter().map(|word| word.chars().map(plain).collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Invented makers.
    fn voices() -> Voices {
        Voices::of(
            [
                ["Nordwind Bicycle Corporation", "Nordwind owner's manual", "owners-manual"],
                ["Nordwind Bicycle Corporation", "Halm stem owner's manual", "owners-manual"],
                ["Rad & Söhne GmbH & Co. KG", "Werkstattbuch", "service-manual"],
                ["pedalpost.example", "Quarz cranks in the workshop", "article"],
                ["maker not stated", "Bench notes", "article"],
            ]
            .into_iter(),
        )
    }

    #[test]
    fn an_issuer_is_one_voice_however_it_is_written() {
        let mut voices = voices();
        for (typed, voice) in [
            ("Nordwind Bicycle Corporation", "Nordwind Bicycle Corporation"),
            ("NORDWIND", "Nordwind Bicycle Corporation"),
            ("nordwind bikes, inc.", "Nordwind Bicycle Corporation"),
            ("Nordwind USA", "Nordwind Bicycle Corporation"),
            // A brand, by the paper that is called after it.
            ("Halm", "Nordwind Bicycle Corporation"),
            ("Rad und Sohne", "Rad & Söhne GmbH & Co. KG"),
            ("maker not stated", "maker not stated"),
            // Others: an article speaks of many makers.
            ("Quarz", "Quarz"),
            ("QUARZ Ltd", "Quarz"),
            ("Quarz Two", "Quarz Two"),
            ("Maker", "Maker"),
            ("Bike Co", "Bike Co"),
        ] {
            assert_eq!(voices.voice(typed), voice, "{typed}");
        }
    }
}
