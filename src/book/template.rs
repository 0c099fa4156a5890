//! `specs/templates.csv`: the joints of each kind of bicycle, in the order in which one walks round it.

use super::sheet::field::YES_NO;
use super::sheet::{Fields, kept_as_text, sheet};
use super::{Grade, Hand};
use crate::sequence::MAX_BOLTS;
use crate::words::{is_one_of, words};

sheet! {
    /// `specs/templates.csv`.
    pub static TEMPLATES: TemplateCells = "templates" {
        kind, position, joint, place, checked_by, entry, bolts, hand, critical, source, grade,
    }
    sorted by |cells| vec![cells.kind.owned(), format!("{:>5}", cells.position.text)]
}

words! {
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum Check: text {
        /// By torque, against the figure that counts.
        Torque = "torque",
        /// By hand, eye and ear: it sits, turns freely, has no play.
        Function = "function",
        /// By a measured value that is no torque, against a row of `limits.csv`.
        Measure = "measure",
    }
}

const HANDS: &[(&str, Option<Hand>)] =
    &[("", None), ("right", Some(Hand::Right)), ("left", Some(Hand::Left))];

/// What riders call a kind of bicycle, and the template it is taken in by. A bicycle that may have rear suspension is
/// taken for one that has: a joint too many is seen at once, a missing one is not.
const KIND_WORDS: [(&str, &str); 18] = [
    ("mtb", "trail"),
    ("mountain bike", "trail"),
    ("mountain", "trail"),
    ("full suspension", "trail"),
    ("enduro", "trail"),
    ("downhill", "trail"),
    ("all mountain", "trail"),
    ("xc", "hardtail"),
    ("cross country", "hardtail"),
    ("racer", "road"),
    ("racing bike", "road"),
    ("road bike", "road"),
    ("gravel bike", "gravel"),
    ("city bike", "city"),
    ("commuter", "city"),
    ("trekking", "city"),
    ("ebike", "e-bike"),
    ("pedelec", "e-bike"),
];

/// The key of the template that a rider's word for a kind of bicycle stands for; none for another word.
pub(crate) fn kind_called(word: &str) -> Option<&'static str> {
    KIND_WORDS.iter().find(|(called, _)| is_one_of(word, [*called].into_iter())).map(|(_, kind)| *kind)
}

kept_as_text!(Check, "a way to check", |check| check.text().to_owned(), Check::parse);

#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct TemplateJoint {
    /// Key of the kind, such as `hardtail`.
    pub kind: String,
    /// Its place on the way round the bicycle, from 1.
    pub order: u16,
    /// Name of the joint on the bicycle, such as `stem-steerer`.
    pub joint: String,
    pub(crate) place: String,
    pub(crate) check: Check,
    /// Key of the entry, or of the item of `limits.csv`.
    pub entry: String,
    pub(crate) bolts: u16,
    /// Turning direction, where the entry leaves it to the side.
    pub hand: Option<Hand>,
    pub(crate) critical: bool,
}

impl TemplateJoint {
    pub(crate) fn from_cells(cells: &TemplateCells<'_>, fields: &mut Fields<'_>) -> Option<TemplateJoint> {
        let most_bolts = u16::try_from(MAX_BOLTS).unwrap_or(u16::MAX);
        let (order, bolts) = (fields.count(cells.position, u16::MAX), fields.count(cells.bolts, most_bolts));
        let (check, hand) = (fields.choice(cells.checked_by, Check::WORDS), fields.choice(cells.hand, HANDS));
        let critical = fields.choice(cells.critical, YES_NO);
        fields.choice(cells.grade, Grade::WORDS);
        Some(TemplateJoint {
            kind: fields.key(cells.kind),
            joint: fields.key(cells.joint),
            place: fields.filled(cells.place),
            entry: cells.entry.owned(),
            order: order?,
            check: check?,
            bolts: bolts?,
            hand: hand?,
            critical: critical?,
        })
    }
}
