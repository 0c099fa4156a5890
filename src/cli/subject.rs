//! What a torque is checked against: a literal value, range or limit, an entry of the book, or a joint
//! of a bicycle.

use super::target::{Target, page, target};
use super::{Context, Failure, FailureKind};
use crate::book::{Check, Claim, Hand, Orientation, Page, consensus, word_of_band};
use crate::conformity::{Aim, Instrument, Limits, NoAim, SettingScale, aim_on_bolt, is_far_above};
use crate::joint::BoltWords;
use crate::quantity::{QuantityError, Resolution, Spec, Stated, Torque, TorqueUnit, UnitError, parse_spec};
use crate::report::{HeldBack, orientation_to_act, resolution_of, spec_text, turning_warning};
use crate::store::Store;
use crate::workshop::{FigureBasis, Hardware, Joint, governing};

/// What is specified, on whose word, and with how many digits.
#[derive(Debug, Clone)]
pub struct Subject {
    /// What is specified; none where the sources of an entry do not agree or there are none.
    pub spec: Option<Spec>,
    /// The unit and digits it came with.
    pub unit: TorqueUnit,
    /// The step of the last digit it came with.
    pub resolution: Resolution,
    pub basis: String,
    /// The best-backed stretch inside the band of an entry, where it is narrower than the band.
    pub core: Option<Spec>,
    /// The entry it came from, or that the literal is for.
    pub page: Option<Page>,
    /// What else must be known of its figure: others that contradict it.
    pub notes: Vec<String>,
    /// Whether it is the figure of the book's sources, so that what they state of it counts.
    pub is_of_band: bool,
    /// Whether it is the figure of two parts that leave no torque to tighten to.
    pub parts_apart: bool,
    /// Whether its figure was typed in with the command.
    pub is_typed: bool,
    /// What is known of its bolt.
    pub bolt: BoltWords,
    /// What is commonly given where nothing is specified: told, never judged or set by.
    pub orientation: Option<Orientation>,
    /// The torque that its bolt bears, where that is known: nothing is set above it.
    pub bears: Option<Torque>,
    /// Limits of a joint whose ceiling or floor has a known other side.
    whole: Option<Limits>,
    /// The turning direction that the entry or the bicycle says.
    hand: Option<Hand>,
}

impl Subject {
    /// Reads a literal such as `12-14 N·m`, the key of an entry, or a joint as BIKE/JOINT.
    pub fn read(text: &str, context: &Context) -> Result<Subject, Failure> {
        match parse_spec(text) {
            Ok(stated) => Ok(Subject::literal(&stated, context)),
            // `44 in/lb` has a slash like BIKE/JOINT, and is a torque in a unit that may be several.
            Err(
                error
                @ (QuantityError::Unit(UnitError::Unclear { .. }) | QuantityError::UnitsDisagree { .. }),
            ) => Err(error.into()),
            Err(_) if names_joint(text) => {
                let store = context.store_with_book()?;
                let joint = torque_joint(&store, text, context)?.joint.joint;
                Subject::joint(&joint, &store)
            }
            Err(error) if looks_literal(text) => Err(error.into()),
            Err(_) => {
                let page = page(context.book()?, text)?;
                if !page.entry.entry.eq_ignore_ascii_case(text.trim()) {
                    context.say(format!("`{text}` is {}", page.entry.entry));
                }
                Subject::to_tighten(page)
            }
        }
    }

    /// A value, range or limit that the user states.
    pub fn literal(stated: &Stated, context: &Context) -> Subject {
        if !stated.unit_given {
            context.say("no unit given: read as N·m");
        }
        let basis = "as given".to_owned();
        Subject { is_typed: true, ..Subject::new(Some(stated.spec), stated.unit, stated.resolution, basis) }
    }

    fn new(spec: Option<Spec>, unit: TorqueUnit, resolution: Resolution, basis: String) -> Subject {
        Subject {
            spec,
            unit,
            resolution,
            basis,
            core: None,
            page: None,
            notes: Vec::new(),
            is_of_band: false,
            parts_apart: false,
            is_typed: false,
            bolt: BoltWords::default(),
            orientation: None,
            bears: None,
            whole: None,
            hand: None,
        }
    }

    /// The same page with a figure that the user states for it.
    pub fn with_figure(self, stated: &Stated, context: &Context) -> Subject {
        Subject { page: self.page, bolt: self.bolt, ..Subject::literal(stated, context) }
    }

    /// The same without its figure, for the reason given.
    pub fn without_figure(self, why: &str) -> Subject {
        Subject { spec: None, whole: None, core: None, basis: why.to_owned(), ..self }
    }

    /// An entry of which a torque is asked; refused where no torque is for it, whatever figure is given.
    pub fn to_tighten(page: Page) -> Result<Subject, Failure> {
        if page.has_no_torque() {
            let hint = format!("`evenclamp show {}` says what to do", page.entry.entry);
            let message = format!("{} has no torque: {}", page.entry.entry, page.entry.hardware);
            return Err(Failure::new(FailureKind::NoBand, message, hint));
        }
        Ok(Subject::entry(page))
    }

    pub fn entry(page: Page) -> Subject {
        let of_band = Subject::of_band(&page.entry.entry, page.entry.hand, &page.evidence);
        let (thread, metal) = (page.entry.thread.clone(), page.bolt_material());
        let bolt = BoltWords { thread, metal, ..BoltWords::default() };
        Subject { page: Some(page), bolt, ..of_band }
    }

    /// The band that comes of the claims about an entry.
    pub fn of_band(entry: &str, hand: Hand, claims: &[impl AsRef<Claim>]) -> Subject {
        let consensus = consensus(claims);
        let (unit, resolution) = (TorqueUnit::NewtonMetre, resolution_of(&consensus));
        let basis = word_of_band(entry, claims, &consensus);
        let core = consensus.backed_core();
        Subject {
            core,
            hand: Some(hand),
            is_of_band: true,
            orientation: consensus.orientation,
            ..Subject::new(consensus.spec, unit, resolution, basis)
        }
    }

    /// What keeps from tightening to it: parts that do not belong together, or somebody who prints less than the band.
    pub fn held_back(&self) -> Option<HeldBack> {
        let less = || self.page.as_ref().is_some_and(|page| page.consensus().others_print_less());
        if self.parts_apart {
            return Some(HeldBack::PartsApart);
        }
        (self.is_of_band && less()).then_some(HeldBack::OthersPrintLess)
    }

    /// The figure that counts for a joint of a bicycle, with its basis.
    pub fn joint(joint: &Joint, store: &Store) -> Result<Subject, Failure> {
        Ok(Subject::joint_of(joint, store.page(&joint.entry)?))
    }

    /// The figure that counts for a joint whose entry has `page`.
    pub fn joint_of(joint: &Joint, page: Option<Page>) -> Subject {
        let hardware = page.as_ref().map(Hardware::of);
        let governing = governing(joint, hardware.as_ref());
        let bolt = joint.bolt_words(hardware.as_ref());
        let spec = governing.limits.as_ref().map(Limits::spec);
        let stated = Subject::new(spec, governing.unit, governing.resolution, governing.word);
        let notes = governing.notes;
        Subject {
            core: governing.core,
            page,
            notes,
            is_of_band: governing.basis == FigureBasis::Band,
            parts_apart: governing.parts_apart,
            orientation: governing.orientation,
            bolt,
            whole: governing.limits,
            hand: joint.hand,
            ..stated
        }
    }

    /// What to know of the turning direction, where it may not be the usual one.
    pub fn side_note(&self) -> Option<&'static str> {
        match self.hand()? {
            Hand::Either => Some(
                "one side has a left-hand thread: for that side say --left-hand, and use a wrench that measures both \
                 ways",
            ),
            hand => turning_warning(hand),
        }
    }

    /// The hand of the joint, else of its entry.
    fn hand(&self) -> Option<Hand> {
        self.hand.or_else(|| self.page.as_ref().map(|page| page.entry.hand))
    }

    /// What to know of a torque inside the band that most issuers do not go to.
    pub fn core_note(&self, torque: Torque, unit: TorqueUnit) -> Option<String> {
        let limits = self.limits()?;
        let core = Limits::new(self.core?);
        (limits.contain(torque) && !core.contain(torque))
            .then(|| format!("most issuers keep to {}", spec_text(core.spec(), self.resolution, unit)))
    }

    /// What to know of a literal that lies far from what the book has for the entry it is for.
    pub(super) fn far_from_band(&self, unit: TorqueUnit) -> Option<String> {
        let (given, page) = (self.spec?, self.page.as_ref()?);
        let band = Subject::entry(page.clone());
        is_far_above(given, band.spec?).then(|| {
            format!(
                "the book has {} for this: is {} the figure on the part, and in the right unit?",
                band.text(unit).unwrap_or_default(),
                self.text(unit).unwrap_or_default()
            )
        })
    }

    /// Whether the thread is left-hand for certain.
    pub fn is_left_hand(&self) -> bool {
        self.hand() == Some(Hand::Left)
    }

    /// The limits as far as the bolt bears them; none where it does not bear the least that is asked for.
    pub fn limits_on_bolt(&self) -> Option<Limits> {
        let limits = self.limits()?;
        self.bears.map_or(Some(limits), |bears| limits.up_to(bears))
    }

    pub fn limits(&self) -> Option<Limits> {
        self.whole.or_else(|| self.spec.map(Limits::new))
    }

    /// The setting to aim at on `scale`: within the stretch that most issuers back, where there is
    /// one, else within the limits; the chance given is that of landing within the limits. None where no
    /// limits are known.
    pub fn aim(&self, instrument: &Instrument, scale: &SettingScale) -> Option<Result<Aim, NoAim>> {
        let limits = self.limits()?;
        Some(aim_on_bolt(self.core, &limits, self.bears, instrument, scale))
    }

    pub fn text(&self, unit: TorqueUnit) -> Option<String> {
        self.spec.map(|spec| spec_text(spec, self.resolution, unit))
    }

    /// What is specified, or the failure of a command that cannot do without; what is commonly given is no more than
    /// a part of its hint.
    pub fn needed(&self, unit: TorqueUnit) -> Result<Spec, Failure> {
        self.spec.ok_or_else(|| {
            let hint = "read the marking on the part or ask its maker, then give that figure with --torque";
            Failure::new(FailureKind::NoBand, self.basis.clone(), self.with_orientation(hint, unit))
        })
    }

    /// An advice, with what is commonly given behind it.
    pub fn with_orientation(&self, advice: &str, unit: TorqueUnit) -> String {
        match &self.orientation {
            Some(given) => format!("{advice}; {}", orientation_to_act(given, unit)),
            None => advice.to_owned(),
        }
    }
}

/// A joint; where it is called by a short name, what it is called in full is said.
pub(super) fn named_joint(store: &Store, text: &str, context: &Context) -> Result<Target, Failure> {
    let found = target(store, text)?;
    let path = found.path();
    if !path.eq_ignore_ascii_case(text.trim()) {
        context.say(format!("`{text}` is {path}"));
    }
    Ok(found)
}

/// A joint that is checked by torque.
pub(super) fn torque_joint(store: &Store, text: &str, context: &Context) -> Result<Target, Failure> {
    let found = named_joint(store, text, context)?;
    let path = found.path();
    let joint = &found.joint.joint;
    if joint.check != Check::Torque {
        let hint = format!("`evenclamp record {path}` takes what is found or measured");
        let message = format!("{} is not checked by torque", joint.name);
        return Err(Failure::new(FailureKind::Joint, message, hint));
    }
    Ok(found)
}

/// Whether a text has the form BIKE/JOINT.
pub(super) fn names_joint(text: &str) -> bool {
    text.split_once('/').is_some_and(|(_, joint)| joint.trim_start().starts_with(char::is_alphabetic))
}

/// Whether a text is meant as a value rather than as a name.
fn looks_literal(text: &str) -> bool {
    let text = text.trim().to_lowercase();
    text.starts_with(|c: char| c.is_ascii_digit() || "<>=≤≥.,-−±".contains(c))
        || ["max", "min"].iter().any(|word| {
            text.strip_prefix(word).is_some_and(|rest| {
                rest.trim_start_matches(['.', ' ']).starts_with(|c: char| c.is_ascii_digit())
            })
        })
}
