//! Which number counts for a joint: the marking on the part, the maker of the part, the maker of the
//! bicycle, the shop's own book, the band (`specs/rules.md`, "Which number counts").
//!
//! Where two parts share a joint the lower ceiling governs (common practice; the same rule is
//! written for tyre and rim pressure in ISO 4210-1:2014, 2.27 note 1).

use super::figure::FigureError;
use super::{Figure, Hardware, Joint, Marking};
use crate::book::Orientation;
use crate::conformity::{Limits, NoAim, aim_on_bolt, leaves_room};
use crate::joint::{FigureOnBolt, KnownBolt};
use crate::quantity::{Resolution, Spec, Stated, Torque, TorqueUnit};
use crate::wrench::{ScaleAim, Wrench};

/// The figures known for one joint, besides the band.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Figures {
    /// What stands on the part, or on the two parts of a clamp.
    pub markings: Vec<Marking>,
    pub part_maker: Option<Figure>,
    pub bicycle_maker: Option<Figure>,
    pub shop: Option<Figure>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FigureBasis {
    Marking,
    PartMaker,
    BicycleMaker,
    Shop,
    Band,
    Nobody,
    /// One of the figures cannot be read.
    Unreadable,
}

/// The figure that counts, with its basis.
#[derive(Debug, Clone, PartialEq)]
pub struct Governing {
    /// What a reading is judged against; none where nobody gives a figure to act on.
    pub limits: Option<Limits>,
    /// Where one aims inside them; none where anywhere is as good.
    pub core: Option<Spec>,
    pub basis: FigureBasis,
    /// The same in words, with the part that set it.
    pub word: String,
    pub unit: TorqueUnit,
    /// The step of its last digit.
    pub resolution: Resolution,
    /// Whether it is of two parts whose markings leave no torque that a wrench could hold: nobody is told to tighten.
    pub parts_apart: bool,
    /// What else must be known: other figures that contradict it.
    pub notes: Vec<String>,
    /// What has to be known of it, where it is the band of an entry: on whose word it stands, or who prints otherwise.
    pub caveat: Option<String>,
    /// Whether it is such a band, and somebody prints less: nobody is told to tighten on before the part was read.
    pub others_print_less: bool,
    /// What is commonly given where there is no figure: told, never judged or set by.
    pub orientation: Option<Orientation>,
    /// What it would do to the bolt, as far as that is known.
    pub(crate) on_bolt: FigureOnBolt,
}

impl Governing {
    /// Holds the figure against the bolt of its joint. Only a torque that is not above 0 cannot be held against one.
    pub(crate) fn hold_against(&mut self, bolt: &KnownBolt) {
        let Some(limits) = &self.limits else { return };
        let held = bolt.figure(limits.least(), limits.spec().largest(), self.unit);
        self.on_bolt = held.unwrap_or_default();
        // The loader of the book has held its figures against what is usual.
        let is_asked = self.basis != FigureBasis::Band || self.on_bolt.bears.is_some();
        let remark = self.on_bolt.remark.as_ref().filter(|_| is_asked);
        self.notes.extend(remark.map(|remark| remark.text(self.unit)));
    }

    /// The setting of a wrench for it, never above what the bolt bears; none where there is no figure.
    pub(crate) fn setting_on(&self, wrench: &Wrench) -> Option<Result<ScaleAim, NoAim>> {
        let (instrument, marks) = (wrench.instrument(None), wrench.settings(None));
        let found = aim_on_bolt(self.core, &self.limits?, self.on_bolt.bears, &instrument, &marks);
        Some(found.map(|aim| ScaleAim { aim, on_scale: aim.setting }))
    }
}

impl Figures {
    /// The figures stated by others than the part itself, in the order of their authority: whose, column and
    /// words, figure.
    fn stated(&self) -> impl Iterator<Item = (FigureBasis, [&'static str; 2], &Figure)> {
        let figures = [
            (FigureBasis::PartMaker, ["part_maker", "maker of the part"], &self.part_maker),
            (FigureBasis::BicycleMaker, ["bicycle_maker", "maker of the bicycle"], &self.bicycle_maker),
            (FigureBasis::Shop, ["shop", "the shop's own book"], &self.shop),
        ];
        figures.into_iter().filter_map(|(basis, words, figure)| Some((basis, words, figure.as_ref()?)))
    }

    /// Every figure with its column in a file and the words for where it stands.
    pub fn all(&self) -> impl Iterator<Item = (&'static str, String, &Figure)> {
        let marked = ["marking", "second_marking"].into_iter().zip(&self.markings);
        let marked = marked.map(|(column, marking)| (column, word_of(marking), &marking.figure));
        marked.chain(self.stated().map(|(_, [column, word], figure)| (column, word.to_owned(), figure)))
    }

    /// The figure of a column in a file.
    pub(crate) fn of_column(&self, column: &str) -> Option<&Figure> {
        self.all().find(|(known, ..)| *known == column).map(|(.., figure)| figure)
    }

    /// Notes what was read off a part, in the place of what was noted of that part before. Where others are marked and it
    /// is not clear whose this one is, nothing changes, and they are given.
    pub(crate) fn mark(&mut self, marking: Marking) -> Result<(), Vec<String>> {
        if let Some(known) = self.markings.iter_mut().find(|known| known.is_of(&marking.part)) {
            *known = marking;
        } else if self.markings.len() < 2 && (self.markings.is_empty() || !marking.part.is_empty()) {
            self.markings.push(marking);
        } else {
            return Err(self.markings.iter().map(word_of).collect());
        }
        Ok(())
    }
}

/// A figure of a joint that nothing can be judged by.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DamagedFigure<'a> {
    /// Its column in a file.
    pub(crate) column: &'static str,
    word: String,
    text: &'a str,
    pub(crate) fault: &'a FigureError,
}

impl std::fmt::Display for DamagedFigure<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let fault = self.fault.to_string();
        if fault.contains(&format!("`{}`", self.text)) {
            return write!(f, "{}: {fault}", self.word);
        }
        write!(f, "{}: `{}` cannot be read ({fault})", self.word, self.text)
    }
}

impl Joint {
    /// Its figures that nothing can be judged by, checked as it is.
    pub(crate) fn damaged(&self) -> impl Iterator<Item = DamagedFigure<'_>> {
        self.figures.all().filter_map(|(column, word, figure)| {
            Some(DamagedFigure { column, word, text: figure.text(), fault: figure.fault(self.check)? })
        })
    }

    /// What is wrong with its figures; empty where all of them can be read.
    pub(crate) fn damage(&self) -> String {
        self.damaged().map(|figure| figure.to_string()).collect::<Vec<_>>().join("; ")
    }
}

/// The figure that counts for a joint; none where one of its figures cannot be read, for it may be the
/// lowest. `hardware` is none for an entry that the book no longer has.
pub fn governing(joint: &Joint, hardware: Option<&Hardware>) -> Governing {
    let figures = &joint.figures;
    let damage = joint.damage();
    if !damage.is_empty() {
        let word = format!("{damage}; no other figure stands in for it");
        return Governing { basis: FigureBasis::Unreadable, ..of_nobody(word, hardware) };
    }
    let markings: Vec<(&Marking, Stated)> =
        figures.markings.iter().filter_map(|marking| Some((marking, marking.figure.torque()?))).collect();
    let stated =
        figures.stated().next().and_then(|(basis, [_, word], figure)| Some((basis, word, figure.torque()?)));
    let mut found = match (markings.as_slice(), stated) {
        ([], None) => return of_band(hardware),
        ([], Some((basis, word, stated))) => of_stated(basis, word.to_owned(), stated),
        ([(marking, stated)], _) => of_stated(FigureBasis::Marking, word_of(marking), *stated),
        ([first, second, ..], _) => of_two_parts(first, second),
    };
    if let Some((_, word, other)) = stated {
        note_contradiction(&mut found, other.spec, [word, ""]);
    }
    if let Some((known, band)) = hardware.and_then(|known| Some((known, known.spec?))) {
        let caveat = known.caveat.as_ref().map_or_else(String::new, |caveat| format!(", {caveat}"));
        note_contradiction(&mut found, band, ["the band of the entry", &caveat]);
        complete(&mut found, band, &caveat);
    }
    found
}

fn word_of(marking: &Marking) -> String {
    if marking.part.is_empty() {
        "marking on the part".to_owned()
    } else {
        format!("marking on the {}", marking.part)
    }
}

fn of_stated(basis: FigureBasis, word: String, stated: Stated) -> Governing {
    Governing {
        limits: Some(Limits::new(stated.spec)),
        core: None,
        basis,
        word,
        unit: stated.unit,
        resolution: stated.resolution,
        parts_apart: false,
        notes: Vec::new(),
        caveat: None,
        others_print_less: false,
        orientation: None,
        on_bolt: FigureOnBolt::default(),
    }
}

/// Two parts share a joint: no torque may break the limit of either.
fn of_two_parts(first: &(&Marking, Stated), second: &(&Marking, Stated)) -> Governing {
    let ceiling = |(_, stated): &(&Marking, Stated)| stated.spec.limits().1;
    let lower_ceiling_second = match (ceiling(first), ceiling(second)) {
        (Some(a), Some(b)) => b < a,
        (None, Some(_)) => true,
        _ => false,
    };
    let (governs, other) = if lower_ceiling_second { (second, first) } else { (first, second) };
    let word = format!("{}: the lower ceiling of the two parts governs", word_of(governs.0));
    let mut found = of_stated(FigureBasis::Marking, word, governs.1);
    let Some(high) = ceiling(governs) else { return found };
    let (own_low, other_low) = (governs.1.spec.limits().0, other.1.spec.limits().0);
    if other_low.is_some_and(|low| low > high) {
        found.parts_apart = true;
        found.notes.push(format!(
            "{} asks for more than the {} allows: the two parts do not belong together; fit others, or ask their makers",
            word_of(other.0),
            part_of(governs.0)
        ));
    } else if let Some(low) = other_low.filter(|low| own_low.is_none_or(|own| *low > own)) {
        let spec = Spec::Range { low, high };
        found.limits = Some(Limits::new(spec));
        if !leaves_room(low, high) {
            found.parts_apart = true;
            found.notes.push(
                "the two parts leave less room than a wrench can hold: fit parts that belong together, or ask their \
                 makers which figure counts"
                    .to_owned(),
            );
        }
        found.word = format!("{}; its low side is the {}", found.word, word_of(other.0));
    }
    found
}

fn part_of(marking: &Marking) -> &str {
    if marking.part.is_empty() { "other part" } else { &marking.part }
}

fn of_band(hardware: Option<&Hardware>) -> Governing {
    let word = hardware.map_or_else(|| "the book has no such entry".to_owned(), |known| known.word.clone());
    let nobody = of_nobody(word, hardware);
    match hardware.and_then(|known| known.spec) {
        Some(spec) => Governing {
            limits: Some(Limits::new(spec)),
            core: hardware.and_then(|known| known.core),
            basis: FigureBasis::Band,
            caveat: hardware.and_then(|known| known.caveat.clone()),
            others_print_less: hardware.is_some_and(|known| known.others_print_less),
            ..nobody
        },
        None => Governing { orientation: hardware.and_then(|known| known.orientation.clone()), ..nobody },
    }
}

/// No figure counts, for the reason in `word`.
fn of_nobody(word: String, hardware: Option<&Hardware>) -> Governing {
    Governing {
        limits: None,
        core: None,
        basis: FigureBasis::Nobody,
        word,
        unit: TorqueUnit::NewtonMetre,
        resolution: hardware.map_or(Resolution(TorqueUnit::NewtonMetre.of(0.1)), |known| known.resolution),
        parts_apart: false,
        notes: Vec::new(),
        caveat: None,
        others_print_less: false,
        orientation: None,
        on_bolt: FigureOnBolt::default(),
    }
}

/// A contradiction is shown, never silently resolved.
fn note_contradiction(found: &mut Governing, other: Spec, [whose, thin]: [&str; 2]) {
    let Some(limits) = &found.limits else { return };
    let (low, high) = other.limits();
    let apart = |a: Option<Torque>, b: Option<Torque>| a.zip(b).is_some_and(|(low, high)| low > high);
    if apart(limits.low(), high) || apart(low, limits.high()) {
        found.notes.push(format!("{whose} says otherwise, without a value in common{thin}"));
    }
}

/// The side that a ceiling or floor leaves open is judged by the band, where that leaves room; `caveat` says what has
/// to be known of that.
fn complete(found: &mut Governing, band: Spec, caveat: &str) {
    let Some(limits) = &found.limits else { return };
    let (side, other) = match limits.spec() {
        Spec::Ceiling(_) => ("low", band.limits().0),
        Spec::Floor(_) => ("high", band.limits().1),
        Spec::Range { .. } | Spec::Set(_) => return,
    };
    if let Some(completed) = other.and_then(|other| limits.with_other_side(other)) {
        found.word = format!("{}; {side} side from the band{caveat}", found.word);
        found.limits = Some(completed);
    }
}

#[cfg(test)]
#[path = "figures_tests.rs"]
pub(in crate::workshop) mod tests;
