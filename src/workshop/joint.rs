//! A joint of a bicycle, and what its readings say of it.

use super::bolt::judge_bolt;
use super::due::deciding;
use super::figures::DamagedFigure;
use super::wear::wear;
use super::{
    Figure, FigureBasis, Figures, Governing, Hardware, Judgement, JudgingContext, Marking, Name, Reading,
    State, Wear, Why, WorkshopSnapshot, governing,
};
use crate::book::{Check, Hand, Rounds};
use crate::joint::BoltWords;
use crate::sequence::{Layout, Shape};
use crate::sheet::{Column, Kept, KeptRecord, KeptValue, NotA, Refused, kept_field};

/// One clamp, axle, pivot, or other thing to be checked on a bicycle.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// What it is called on the bicycle, such as `stem-steerer`.
    pub name: Name,
    /// Where it is, for people.
    pub place: String,
    /// Its place on the way round the bicycle.
    pub order: u16,
    pub check: Check,
    /// Key of the entry, or of the measured item; may be empty for a check by hand.
    pub entry: String,
    pub bolts: u16,
    pub critical: bool,
    /// Turning direction, where the entry leaves it to the side.
    pub hand: Option<Hand>,
    pub figures: Figures,
    /// Thread designation, or empty.
    pub thread: String,
    /// Property class of its bolts as read off the head, such as `8.8`, or empty.
    pub grade: String,
    /// Condition of the thread, such as `greased`, or empty.
    pub condition: String,
    /// Where a photo is kept, or empty.
    pub photo: String,
    /// The rounds it is asked in; none where they are those of its kind of bicycle.
    pub rounds: Option<Rounds>,
}

impl Joint {
    /// A joint of that name, of one bolt, of which nothing else is known. It decides safety until somebody says
    /// that it does not.
    pub(crate) fn named(name: Name) -> Joint {
        Joint {
            name,
            place: String::new(),
            order: 0,
            check: Check::Torque,
            entry: String::new(),
            bolts: 1,
            critical: true,
            hand: None,
            figures: Figures::default(),
            thread: String::new(),
            grade: String::new(),
            condition: String::new(),
            photo: String::new(),
            rounds: None,
        }
    }
}

/// A column of a figure that somebody states; an empty text is none.
macro_rules! stated_figure {
    ($field:ident, $name:literal) => {
        Column {
            stored: Some($name),
            file: $name,
            needed: true,
            get: |joint| KeptValue::Text(joint.figures.$field.as_ref().map_or("", Figure::text).to_owned()),
            set: |joint, value| {
                let text = String::of_kept(value)?;
                joint.figures.$field = (!text.is_empty()).then(|| Figure::read(&text));
                Ok(())
            },
        }
    };
}

impl KeptRecord for Joint {
    const COLUMNS: &'static [Column<Joint>] = &[
        kept_field!(name, "name", "joint"),
        kept_field!(place, "place"),
        kept_field!(order, "position", "order"),
        kept_field!(check, "checked_by", "check"),
        kept_field!(entry, "entry"),
        kept_field!(bolts, "bolts"),
        kept_field!(critical, "critical"),
        kept_field!(hand, "hand"),
        of_marking("marking_part", |joint| part(joint, 0), set_part),
        of_marking("marking", |joint| figure(joint, 0), set_figure),
        of_marking("second_marking_part", |joint| part(joint, 1), set_part),
        of_marking("second_marking", |joint| figure(joint, 1), set_figure),
        stated_figure!(part_maker, "part_maker"),
        stated_figure!(bicycle_maker, "bicycle_maker"),
        stated_figure!(shop, "shop"),
        kept_field!(thread, "thread"),
        kept_field!(grade, "grade", may_be_missing),
        kept_field!(condition, "condition"),
        kept_field!(photo, "photo"),
        kept_field!(rounds, "rounds", may_be_missing),
    ];

    fn blank() -> Joint {
        Joint::named(Name::blank())
    }

    /// A figure that cannot be read, or that nothing is judged by, is kept where it is, but never taken in.
    fn refused(&self) -> Option<Refused> {
        if let Some(DamagedFigure { column, fault, .. }) = self.damaged().next() {
            return Some(Refused {
                column,
                why: format!("{}, {column}: {fault}", self.name),
                fix: fault.hint(),
            });
        }
        let (column, refused) = self.refuses_figure()?;
        Some(Refused { column, why: refused.to_string(), fix: refused.hint() })
    }
}

/// A column of a marking; the database keeps them in a table of their own.
const fn of_marking(
    file: &'static str,
    get: fn(&Joint) -> KeptValue,
    set: fn(&mut Joint, KeptValue) -> Result<(), NotA>,
) -> Column<Joint> {
    Column { stored: None, file, needed: true, get, set }
}

fn part(joint: &Joint, index: usize) -> KeptValue {
    joint.figures.markings.get(index).map_or(KeptValue::Null, |marking| marking.part.kept())
}

fn figure(joint: &Joint, index: usize) -> KeptValue {
    let figure = joint.figures.markings.get(index).map(|marking| marking.figure.text());
    figure.map_or(KeptValue::Null, |text| KeptValue::Text(text.to_owned()))
}

/// A part comes before its figure, and counts for nothing without it.
fn set_part(joint: &mut Joint, part: KeptValue) -> Result<(), NotA> {
    let part = String::of_kept(part)?;
    if !part.is_empty() {
        joint.figures.markings.push(Marking { part, figure: Figure::read("") });
    }
    Ok(())
}

fn set_figure(joint: &mut Joint, figure: KeptValue) -> Result<(), NotA> {
    let figure = String::of_kept(figure)?;
    let markings = &mut joint.figures.markings;
    let part = markings.pop_if(|marking| marking.figure.text().is_empty()).map(|marking| marking.part);
    if !figure.is_empty() {
        markings.push(Marking { part: part.unwrap_or_default(), figure: Figure::read(&figure) });
    }
    Ok(())
}

/// What is said of a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct JointVerdict {
    pub worst: Judgement,
    /// Bolts that nothing was read of, where others were.
    pub bolts_without: Vec<u16>,
    pub governing: Governing,
    /// The bolt that reaches its limit first by the trend of what was measured.
    pub(crate) wear: Option<Wear>,
}

impl JointVerdict {
    pub(crate) fn state(&self) -> State {
        self.worst.state
    }
}

impl Joint {
    /// What is known of its bolts: its own thread, else that of its entry, and what was noted of them.
    pub(crate) fn bolt_words(&self, hardware: Option<&Hardware>) -> BoltWords {
        let of_entry = hardware.filter(|_| self.thread.is_empty());
        BoltWords {
            thread: of_entry.map_or(&self.thread, |hardware| &hardware.thread).clone(),
            grade: self.grade.clone(),
            metal: hardware.and_then(|hardware| hardware.metal),
            condition: self.condition.clone(),
        }
    }

    /// How its bolts stand, where it has several that are turned by turns: as in `known`, the layout of its entry, where
    /// the counts agree. Bolts of separate clamps that are listed as one joint have none.
    pub(crate) fn layout(&self, known: &Layout) -> Option<Layout> {
        let bolts = usize::from(self.bolts);
        if self.check != Check::Torque || bolts < 2 {
            return None;
        }
        if known.bolts() == bolts {
            return Some(known.clone());
        }
        // A ring of another count is still a ring; anything else is several clamps.
        matches!(known.shape(), Shape::Ring).then(|| Layout::ring(bolts).ok())?
    }

    /// Which way it tightens: as stated for it, else as the book has it for its entry.
    pub(crate) fn turning(&self, workshop: &WorkshopSnapshot) -> Hand {
        let of_entry = || workshop.hardware.get(&self.entry).map(|hardware| hardware.hand);
        self.hand.or_else(of_entry).unwrap_or(Hand::Right)
    }

    /// Whether anticlockwise is known to tighten; where that is open, it is taken for a right-hand thread.
    pub(crate) fn is_left_handed(&self, judging: &JudgingContext<'_>) -> bool {
        self.turning(judging.workshop) == Hand::Left
    }

    /// The part of the bicycle it belongs to, as intervals name it; empty where the book has none.
    pub(crate) fn family<'a>(&self, judging: &JudgingContext<'a>) -> &'a str {
        judging.workshop.hardware.get(&self.entry).map_or("", |hardware| hardware.family.as_str())
    }
}

/// Judges a joint by its readings, which are grouped by bolt, each bolt's newest first.
///
/// The worst bolt decides. A bolt without evidence keeps the joint from being sound.
pub fn judge_joint(joint: &Joint, readings: &[Reading], judging: &JudgingContext<'_>) -> JointVerdict {
    let mut governing = governing(joint, judging.workshop.hardware.get(&joint.entry));
    let known = judging.workshop.bolt_of(joint);
    if let Some(known) = &known {
        governing.hold_against(known);
    }
    let mut worst: Option<Judgement> = None;
    let mut bolts_without = Vec::new();
    let mut wears: Option<Wear> = None;
    for bolt in 1..=joint.bolts {
        let of_bolt: Vec<&Reading> = readings
            .iter()
            .filter(|reading| reading.bolt == bolt && reading.at <= judging.workshop.now)
            .collect();
        let judgement = with_due(
            judge_bolt(joint, bolt, (&governing, known.as_ref()), &of_bolt, judging),
            joint,
            judging,
        );
        if joint.check == Check::Measure && governing.basis != FigureBasis::Unreadable {
            let other = wear(joint, bolt, &of_bolt, judging);
            wears = wears.into_iter().chain(other).min_by_key(|wear| wear.days);
        }
        if judgement.state == State::NeverChecked {
            bolts_without.push(bolt);
        }
        if worst.as_ref().is_none_or(|worst| judgement.state > worst.state || older(&judgement, worst)) {
            worst = Some(judgement);
        }
    }
    let nothing = Judgement { state: State::NeverChecked, why: Why::Nothing, bolt: 1, at: None };
    JointVerdict { worst: worst.unwrap_or(nothing), bolts_without, governing, wear: wears }
}

/// Of two bolts of one state the one with the older evidence decides when the joint is due next.
fn older(judgement: &Judgement, than: &Judgement) -> bool {
    judgement.state == than.state && judgement.at.zip(than.at).is_some_and(|(this, that)| this < that)
}

/// Sound evidence that an interval or event has overtaken is due.
fn with_due(judgement: Judgement, joint: &Joint, judging: &JudgingContext<'_>) -> Judgement {
    let (State::Sound, Some(at)) = (judgement.state, judgement.at) else { return judgement };
    match deciding(joint, at, judging) {
        Some(why) => Judgement { state: State::Due, why: Why::Due(why), ..judgement },
        None => judgement,
    }
}

#[cfg(test)]
#[path = "joint_tests.rs"]
pub(in crate::workshop) mod tests;
