//! `specs/templates.csv`: the joints of each kind of bicycle, in the order in which one walks round it.

use super::evidence::GRADES;
use super::{Diagnostics, Hand, Row, Sheet, field};
use crate::sequence::MAX_BOLTS;

/// `specs/templates.csv`.
pub static TEMPLATES: Sheet = Sheet {
    name: "templates",
    columns: &[
        "kind",
        "position",
        "joint",
        "place",
        "checked_by",
        "entry",
        "bolts",
        "hand",
        "critical",
        "source",
        "grade",
    ],
    sort_key: |row| vec![row.text("kind").to_owned(), format!("{:>5}", row.text("position"))],
};

/// How a joint is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Check {
    /// By torque, against the figure that counts.
    Torque,
    /// By hand, eye and ear: it sits, turns freely, has no play.
    Function,
    /// By a measured value that is no torque, against a row of `limits.csv`.
    Measure,
}

const CHECKS: &[(&str, Check)] =
    &[("torque", Check::Torque), ("function", Check::Function), ("measure", Check::Measure)];
const HANDS: &[(&str, Option<Hand>)] =
    &[("", None), ("right", Some(Hand::Right)), ("left", Some(Hand::Left))];

impl Check {
    /// The word for it.
    #[must_use]
    pub fn text(self) -> &'static str {
        CHECKS.iter().find(|(_, check)| *check == self).map_or("", |(word, _)| word)
    }

    /// The check that a word stands for.
    #[must_use]
    pub fn parse(text: &str) -> Option<Check> {
        CHECKS.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim())).map(|(_, check)| *check)
    }
}

/// One joint of a kind of bicycle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemplateJoint {
    /// Key of the kind, such as `hardtail`.
    pub kind: String,
    /// Its place on the way round the bicycle, from 1.
    pub order: u16,
    /// Name of the joint on the bicycle, such as `stem-steerer`.
    pub joint: String,
    /// Where it is, for people.
    pub place: String,
    /// How it is checked.
    pub check: Check,
    /// Key of the entry, or of the item of `limits.csv`.
    pub entry: String,
    /// How many bolts it has.
    pub bolts: u16,
    /// Turning direction, where the entry leaves it to the side.
    pub hand: Option<Hand>,
    /// Whether it decides safety.
    pub critical: bool,
}

impl TemplateJoint {
    /// A joint from its row; faults go to `diagnostics`.
    pub fn from_row(row: &Row, diagnostics: &mut Diagnostics) -> Option<TemplateJoint> {
        let sound = [
            field::key(row.cell("kind"), diagnostics),
            field::key(row.cell("joint"), diagnostics),
            field::not_empty(row.cell("place"), "place", diagnostics),
        ];
        let check = field::one_of(row.cell("checked_by"), "checked_by", CHECKS, diagnostics);
        let hand = field::one_of(row.cell("hand"), "hand", HANDS, diagnostics);
        let critical = field::one_of(row.cell("critical"), "critical", field::YES_NO, diagnostics);
        field::one_of(row.cell("grade"), "grade", GRADES, diagnostics)?;
        let mut count = |column, most| {
            let cell = row.cell(column);
            let number = cell.text.parse().ok().filter(|number| (1..=most).contains(number));
            if number.is_none() {
                let fix = format!("use a whole number from 1 to {most}");
                diagnostics.error(&cell.at, format!("{column} `{}` is not a count", cell.text), fix);
            }
            number
        };
        let most_bolts = u16::try_from(MAX_BOLTS).unwrap_or(u16::MAX);
        let (order, bolts) = (count("position", u16::MAX), count("bolts", most_bolts));
        if sound.contains(&None) {
            return None;
        }
        let text = |column| row.text(column).to_owned();
        Some(TemplateJoint {
            kind: text("kind"),
            order: order?,
            joint: text("joint"),
            place: text("place"),
            check: check?,
            entry: text("entry"),
            bolts: bolts?,
            hand: hand?,
            critical: critical?,
        })
    }
}
