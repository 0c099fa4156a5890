//! `specs/templates.csv`: the joints of each kind of bicycle, in the order in which one walks round it.

use super::sheet::field::YES_NO;
use super::sheet::{Fields, kept_as_text, sheet};
use super::{Grade, Hand, Rounds};
use crate::sequence::MAX_BOLTS;
use crate::words::{is_one_of, words};

sheet! {
    /// `specs/templates.csv`.
    pub static TEMPLATES: TemplateCells = "templates" {
        kind, position, joint, place, checked_by, entry, bolts, hand, critical, source, grade, rounds,
    } later ["rounds"]
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

const ROUNDS: &[(&str, Option<Rounds>)] = &[
    ("", None),
    ("none", Some(Rounds { before: false, after: false })),
    ("before", Some(Rounds { before: true, after: false })),
    ("after", Some(Rounds { before: false, after: true })),
    ("before after", Some(Rounds::ALL)),
];

/// What riders call a kind of bicycle, and the template it is taken in by. A bicycle that may have rear suspension is
/// taken for one that has, and a road bicycle for one with discs: a joint too many is seen at once, a missing one is not.
const KIND_WORDS: [(&str, &str); 47] = [
    ("mtb", "trail"),
    ("mountain bike", "trail"),
    ("mountain", "trail"),
    ("full suspension", "trail"),
    ("fully", "trail"),
    ("all mountain", "trail"),
    ("freeride", "enduro"),
    ("dh", "downhill"),
    ("xc", "cross-country"),
    ("cross country", "cross-country"),
    ("cx", "gravel"),
    ("cyclocross", "gravel"),
    ("gravel bike", "gravel"),
    ("road", "road-disc"),
    ("racer", "road-disc"),
    ("racing bike", "road-disc"),
    ("road bike", "road-disc"),
    ("road with discs", "road-disc"),
    ("road disc", "road-disc"),
    ("road with rim brakes", "road-rim"),
    ("rim brake road bike", "road-rim"),
    ("road rim", "road-rim"),
    ("city bike", "city"),
    ("commuter", "city"),
    ("dutch bike", "city"),
    ("tourer", "touring"),
    ("touring bike", "touring"),
    ("trekking", "touring"),
    ("trekking bike", "touring"),
    ("ebike", "e-bike-city"),
    ("electric bike", "e-bike-city"),
    ("pedelec", "e-bike-city"),
    ("city e-bike", "e-bike-city"),
    ("e-bike city", "e-bike-city"),
    ("emtb", "e-bike-trail"),
    ("trail e-bike", "e-bike-trail"),
    ("e-bike trail", "e-bike-trail"),
    ("electric mountain bike", "e-bike-trail"),
    ("cargo bike", "cargo"),
    ("box bike", "cargo"),
    ("longtail", "cargo"),
    ("folder", "folding"),
    ("folding bike", "folding"),
    ("children's", "children"),
    ("kids", "children"),
    ("kids bike", "children"),
    ("child", "children"),
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
    /// The rounds it is asked in; none where the sheet does not say.
    pub(crate) rounds: Option<Rounds>,
}

impl TemplateJoint {
    pub(crate) fn from_cells(cells: &TemplateCells<'_>, fields: &mut Fields<'_>) -> Option<TemplateJoint> {
        let most_bolts = u16::try_from(MAX_BOLTS).unwrap_or(u16::MAX);
        let (order, bolts) = (fields.count(cells.position, u16::MAX), fields.count(cells.bolts, most_bolts));
        let (check, hand) = (fields.choice(cells.checked_by, Check::WORDS), fields.choice(cells.hand, HANDS));
        let critical = fields.choice(cells.critical, YES_NO);
        let rounds = fields.choice(cells.rounds, ROUNDS);
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
            rounds: rounds?,
        })
    }
}
