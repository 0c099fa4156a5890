//! Figures that the workshop has brought in itself: read off a part, or in a paper of its own. They are kept as they
//! were typed, in a layer that no change of the book touches, and read anew each time.

use std::sync::Arc;

use super::voice::Voices;
use super::{Claim, Evidence, Grade, Source};
use crate::quantity::{Stated, parse_spec};
use crate::sheet::{Column, KeptRecord, Refused, kept_field};

/// One figure, as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct OwnFigure {
    /// The entry it speaks of.
    pub entry: String,
    /// The value with its unit, as it stands on the part or in the paper.
    pub value: String,
    /// Who stands behind it: the maker of the part.
    pub issuer: String,
    /// The paper it was read in, or the part it was read off.
    pub source: String,
    /// Where in the paper, or where on the part.
    pub locator: String,
    /// A word of [`Grade`].
    pub grade: String,
    /// Year of the paper or part, or empty.
    pub year: String,
    /// The hardware, or empty.
    pub variant: String,
    /// Condition of the thread, as stated, or empty.
    pub condition: String,
    /// Material, as stated, or empty.
    pub material: String,
    /// The day on which it was brought in.
    pub added_on: String,
}

/// A figure with the number by which it is called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnRow {
    /// Its number, never used again.
    pub number: i64,
    /// The figure.
    pub figure: OwnFigure,
}

/// A figure of one's own that counts for nothing because it cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnFault {
    /// The number of the figure.
    pub number: i64,
    /// The entry it speaks of.
    pub entry: String,
    /// The column at fault.
    pub column: &'static str,
    /// What is wrong with it.
    pub why: String,
}

impl std::fmt::Display for OwnFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let OwnFault { number, entry, column, why } = self;
        write!(f, "own figure {number} of `{entry}` cannot be read and counts for nothing ({column}: {why})")
    }
}

impl OwnRow {
    /// The figure as evidence, its issuer one of those who speak already where it is the same.
    ///
    /// # Errors
    /// Why it cannot be read.
    pub(crate) fn evidence(&self, voices: &mut Voices) -> Result<Evidence, OwnFault> {
        self.figure.evidence(self.number, voices).map_err(|Refused { column, why, .. }| OwnFault {
            number: self.number,
            entry: self.figure.entry.clone(),
            column,
            why,
        })
    }
}

/// How a figure of one's own may have been come by: a regulation is the book's to bring, and what does not count has
/// no place here.
pub(crate) const OWN_GRADES: &[(&str, Grade)] =
    &[("marking", Grade::Marking), ("published", Grade::Published), ("secondhand", Grade::Secondhand)];

impl OwnFigure {
    /// Its columns with their texts.
    fn texts(&self) -> impl Iterator<Item = (&'static str, String)> {
        OwnFigure::COLUMNS.iter().map(|column| (column.file, (column.get)(self).field()))
    }

    /// The torque and how it was come by.
    ///
    /// # Errors
    /// The column that cannot be read, why, and what would be right.
    pub(crate) fn read(&self) -> Result<(Stated, Grade), Refused> {
        let refuse = |column, why: String, fix: &str| Err(Refused { column, why, fix: fix.to_owned() });
        if let Some((column, text)) = self.texts().find(|(_, text)| text.contains(char::is_control)) {
            return refuse(
                column,
                format!("{text:?} holds a control character or a line break"),
                "take it out",
            );
        }
        let needed = ["entry", "issuer", "source", "locator"];
        let is_missing = |(column, text): &(&str, String)| needed.contains(column) && text.trim().is_empty();
        if let Some((column, _)) = self.texts().find(is_missing) {
            let fix = "say of what the figure is, who stands behind it, and where it was read";
            return refuse(column, format!("`{column}` is empty"), fix);
        }
        if self.issuer.eq_ignore_ascii_case("none") {
            let fix = "name the maker of the part, or say `maker not stated`";
            return refuse("issuer", format!("`{}` is no issuer", self.issuer), fix);
        }
        let Some(grade) = crate::words::meant(OWN_GRADES, &self.grade) else {
            let fix = format!("use one of {}", crate::words::listed(OWN_GRADES));
            return refuse("grade", format!("`{}` is no grade of a figure of one's own", self.grade), &fix);
        };
        match parse_spec(&self.value) {
            Ok(stated) if stated.unit_given => Ok((stated, grade)),
            Ok(_) => {
                refuse("value", format!("the figure `{}` has no unit", self.value), "such as \"max 5 N·m\"")
            }
            Err(error) => refuse("value", error.to_string(), &error.hint()),
        }
    }

    /// The figure as evidence beside that of the book, its issuer one of those who speak already where it is the same.
    ///
    /// # Errors
    /// As [`OwnFigure::read`].
    pub(crate) fn evidence(&self, number: i64, voices: &mut Voices) -> Result<Evidence, Refused> {
        let (stated, grade) = self.read()?;
        let (printed_value, printed_unit) = printed(&self.value);
        let source = Source {
            source: format!("own-{number}"),
            title: self.source.clone(),
            issuer: voices.voice(self.issuer.trim()),
            year: self.year.clone(),
            ..Source::default()
        };
        Ok(Evidence {
            entry: self.entry.clone(),
            claim: Claim {
                speaker: Arc::new(source.speaker()),
                variant: self.variant.clone(),
                stated,
                grade,
                counted: grade.counts(),
                own: true,
                orients: false,
            },
            printed_value,
            printed_unit,
            condition: self.condition.clone(),
            material: self.material.clone(),
            source: Arc::new(source),
            locator: self.locator.clone(),
            not_counted: String::new(),
            own: Some(number),
        })
    }

    /// Whether another figure says the same, whenever it was brought in.
    pub(crate) fn says_same(&self, other: &OwnFigure) -> bool {
        let dateless = |figure: &OwnFigure| OwnFigure { added_on: String::new(), ..figure.clone() };
        dateless(self) == dateless(other)
    }
}

/// A value as typed, parted into number and unit as far as the unit stands last.
fn printed(value: &str) -> (String, String) {
    let unit = value.rfind(|c: char| c.is_ascii_digit() || c == '%').map_or(0, |last| last + 1);
    let (number, unit) = value.split_at(unit);
    (number.trim().to_owned(), unit.trim().to_owned())
}

impl KeptRecord for OwnFigure {
    const WHAT: &'static str = "own figure";

    const COLUMNS: &'static [Column<OwnFigure>] = &[
        kept_field!(entry, "entry"),
        kept_field!(value, "value"),
        kept_field!(issuer, "issuer"),
        kept_field!(source, "source"),
        kept_field!(locator, "locator"),
        kept_field!(grade, "grade"),
        kept_field!(year, "year", may_be_missing),
        kept_field!(variant, "variant", may_be_missing),
        kept_field!(condition, "condition", may_be_missing),
        kept_field!(material, "material", may_be_missing),
        kept_field!(added_on, "added_on", may_be_missing),
    ];

    fn blank() -> OwnFigure {
        OwnFigure::default()
    }

    fn refused(&self) -> Option<Refused> {
        self.read().err()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(value: &str) -> OwnFigure {
        let text = str::to_owned;
        OwnFigure {
            entry: text("clamp"),
            value: text(value),
            issuer: text("Nordwind"),
            source: text("stem"),
            locator: text("under the clamp"),
            grade: text("marking"),
            ..OwnFigure::default()
        }
    }

    #[test]
    fn a_figure_is_read_as_it_stands_and_shown_so() {
        for (value, number, unit) in [
            ("max 5 N·m", "max 5", "N·m"),
            ("4-6 Nm", "4-6", "Nm"),
            ("5 N·m ±10%", "5 N·m ±10%", ""),
            ("106 lbf·in", "106", "lbf·in"),
        ] {
            let evidence = figure(value).evidence(7, &mut Voices::default()).unwrap();
            assert_eq!((evidence.printed_value.as_str(), evidence.printed_unit.as_str()), (number, unit));
            assert_eq!(evidence.claim.stated.spec, parse_spec(value).unwrap().spec);
            assert_eq!((evidence.source.source.as_str(), evidence.own), ("own-7", Some(7)));
        }
    }

    /// The day on which it is brought in again makes no other figure of it, and a space no other issuer.
    #[test]
    fn a_figure_says_the_same_whenever_it_was_brought_in() {
        let figure = figure("5 N·m");
        let later = OwnFigure { added_on: "2026-06-02".to_owned(), ..figure.clone() };
        assert!(figure.says_same(&later));
        assert!(!figure.says_same(&OwnFigure { locator: "on the lever".to_owned(), ..later }));
        let spaced = OwnFigure { issuer: " Nordwind ".to_owned(), ..figure };
        assert_eq!(spaced.evidence(7, &mut Voices::default()).unwrap().source.issuer, "Nordwind");
    }

    #[test]
    fn what_cannot_be_read_names_its_column() {
        let sound = || figure("5 N·m");
        for (column, faulty) in [
            ("value", figure("5")),
            ("value", figure("five N·m")),
            ("value", figure("")),
            ("value", figure("0 N·m")),
            ("grade", OwnFigure { grade: "memory".to_owned(), ..sound() }),
            ("grade", OwnFigure { grade: "regulation".to_owned(), ..sound() }),
            ("issuer", OwnFigure { issuer: "None".to_owned(), ..sound() }),
            ("issuer", OwnFigure { issuer: " ".to_owned(), ..sound() }),
            ("entry", OwnFigure { entry: String::new(), ..sound() }),
            ("source", OwnFigure { source: String::new(), ..sound() }),
            ("locator", OwnFigure { locator: String::new(), ..sound() }),
            ("source", OwnFigure { source: "a\nb".to_owned(), ..sound() }),
        ] {
            assert_eq!(faulty.read().unwrap_err().column, column, "{faulty:?}");
        }
        assert!(sound().read().is_ok());
    }
}
