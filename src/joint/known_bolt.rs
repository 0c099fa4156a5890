//! The bolt of a joint as far as it is known, and what speaks against a torque on it. One place for
//! all who must not take an absurd value for good: the loader of the book, `check`, and the record.

use super::condition::Condition;
use super::friction::FrictionBand;
use super::head::HeadKind;
use super::plausibility::{Plausibility, UnitSlip, plausibility, unit_slips};
use super::property_class::{MaterialFamily, PropertyClass};
use super::thread::{Section, Thread};
use super::units::{in_newtons, in_ratio};
use super::{Bolt, Catalogue, JointError, Torque};
use crate::quantity::{Resolution, Rounding, Spec, TorqueUnit};

/// What is known of the bolt of a joint, in the words of a book or a command line.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BoltWords {
    /// Designation of its thread; nothing is known without one.
    pub thread: String,
    /// Its property class, where it was read off the head; else empty.
    pub grade: String,
    /// Its metal, where that is stated.
    pub metal: Option<MaterialFamily>,
    /// The condition of the thread as stated.
    pub condition: String,
}

/// A bolt whose thread is known, with the friction that its thread may have.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownBolt {
    /// The bolt, with a socket head: the commonest on bicycles; its larger bearing gives the lower clamp load.
    pub bolt: Bolt,
    /// True when its class was not stated and the strongest of its metal stands in.
    pub class_assumed: bool,
    /// The friction of its stated condition, else of any condition.
    pub friction: FrictionBand,
}

impl Catalogue {
    /// The bolt that `words` tell of; none without a thread or for a hollow part, whose section is not known.
    pub(crate) fn known_bolt(&self, words: &BoltWords) -> Result<Option<KnownBolt>, JointError> {
        if words.thread.trim().is_empty() {
            return Ok(None);
        }
        let thread = self.thread(&words.thread)?;
        if thread.section == Section::Hollow {
            return Ok(None);
        }
        let class_assumed = words.grade.is_empty();
        let class = if class_assumed {
            self.assumed_class(thread, words.metal.unwrap_or(MaterialFamily::Steel))?
        } else {
            self.grade(&words.grade, thread)?
        };
        let condition = Condition::stated_in(&words.condition).unwrap_or(Condition::Unknown);
        let friction = self.friction_of(condition, class.family, None)?.band;
        let head = self.head(HeadKind::Socket, thread);
        let bolt = Bolt::new(thread.clone(), class.clone(), head)?;
        Ok(Some(KnownBolt { bolt, class_assumed, friction }))
    }

    /// The class taken for a bolt whose class is not stated: the strongest of its metal, and of steel
    /// (12.9) where the metal is not stated either. Books rarely know the class; with the strongest
    /// one, only what no ordinary bolt of that thread can stand is called impossible.
    fn assumed_class(&self, thread: &Thread, family: MaterialFamily) -> Result<&PropertyClass, JointError> {
        let fitting = self.classes.iter().filter(|class| class.family == family && class.covers(thread));
        fitting.reduce(|a, b| if b.tensile_strength > a.tensile_strength { b } else { a }).ok_or_else(|| {
            JointError::GradeSize { grade: family.name().to_owned(), thread: thread.designation.clone() }
        })
    }
}

impl KnownBolt {
    /// What speaks against `number` in `unit` on this bolt; none when nothing does.
    /// # Errors
    /// [`JointError::NotPositive`] for a number that is not above 0 and finite.
    pub fn doubt(&self, number: f64, unit: TorqueUnit) -> Result<Option<Doubt>, JointError> {
        let plausibility = plausibility(&self.bolt, unit.of(number), self.friction)?;
        if plausibility == Plausibility::Plausible {
            return Ok(None);
        }
        let slip = unit_slips(&self.bolt, number, unit, self.friction)?.into_iter().next();
        let is_impossible = plausibility == Plausibility::PastUltimate;
        Ok(Some(Doubt { bolt: Box::new(self.clone()), number, unit, is_impossible, slip }))
    }

    /// What speaks against the largest torque of `spec`, told in `unit`.
    pub fn doubt_of(&self, spec: Spec, unit: TorqueUnit) -> Result<Option<Doubt>, JointError> {
        self.doubt(plain_number(spec.largest(), unit), unit)
    }

    /// Holds what is specified against this bolt: the `least` torque that it asks for, where it asks for any, and the
    /// `largest` that it names; told in `unit`.
    pub(crate) fn figure(
        &self,
        least: Option<Torque>,
        largest: Torque,
        unit: TorqueUnit,
    ) -> Result<FigureOnBolt, JointError> {
        let held = |torque: Option<Torque>| {
            let torque = torque.filter(|torque| *torque > Torque::default());
            Ok(torque.map(|torque| self.doubt(plain_number(torque, unit), unit)).transpose()?.flatten())
        };
        let too_much = held(least)?.filter(Doubt::is_too_much);
        let largest = held(Some(largest))?;
        Ok(FigureOnBolt { remark: largest.filter(|_| too_much.is_none()), too_much, bears: self.bears() })
    }

    /// What it bears, in words that hold for any torque.
    pub(crate) fn bears_text(&self, shown: TorqueUnit) -> String {
        let (limit, low) = (rounded(self.limit(), shown, Rounding::Down), self.friction.low());
        format!("90 % of yield of {} is reached at {limit} at low friction ({low})", self.text())
    }

    /// The torque of 90 % of yield at low friction, beyond which anything is too much; none where the class is
    /// assumed.
    pub(crate) fn bears(&self) -> Option<Torque> {
        (!self.class_assumed).then(|| self.limit())
    }

    fn limit(&self) -> Torque {
        self.bolt.torque_limit(self.friction.low())
    }

    /// The bolt in words, such as `the M5x0.8 bolt of class 8.8`.
    fn text(&self) -> String {
        let (thread, class) = (&self.bolt.thread.designation, &self.bolt.class);
        if self.class_assumed {
            format!("the {thread} bolt even in class {} (strongest {})", class.name, class.family.name())
        } else {
            format!("the {thread} bolt of class {}", class.name)
        }
    }
}

/// What is specified, held against the bolt that it is for (`specs/rules.md`, "The bolt decides").
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct FigureOnBolt {
    /// Even the least that is asked for is too much for the bolt: nothing may be aimed at.
    pub(crate) too_much: Option<Doubt>,
    /// The largest torque that is allowed is past what the bolt bears, or past what an ordinary one would.
    pub(crate) remark: Option<Doubt>,
    /// The torque that a bolt of a known class bears: nothing may be set above it.
    pub(crate) bears: Option<Torque>,
}

/// A torque as a number in `unit`; the last bits of a conversion must not show in the text.
pub(crate) fn plain_number(torque: Torque, unit: TorqueUnit) -> f64 {
    (unit.value_of(torque) * 1e6).round() / 1e6
}

/// What speaks against a torque on a bolt.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    bolt: Box<KnownBolt>,
    number: f64,
    unit: TorqueUnit,
    /// True when the bolt would tear even at high friction.
    pub is_impossible: bool,
    /// The unit that would explain the number.
    slip: Option<UnitSlip>,
}

impl Doubt {
    /// The torque of 90 % of yield at low friction.
    pub(crate) fn limit(&self) -> Torque {
        self.bolt.limit()
    }

    /// Whether it is a verdict, `too much for the bolt`, or no more than a remark (`specs/rules.md`, "The bolt
    /// decides"): a bolt of a known class past 90 % of yield at low friction, or one of any class torn.
    pub(crate) fn is_too_much(&self) -> bool {
        !self.bolt.class_assumed || self.is_impossible
    }

    /// The doubt in words, torques in `shown` to three significant digits, limits rounded down.
    pub fn text(&self, shown: TorqueUnit) -> String {
        let KnownBolt { bolt, friction, .. } = &*self.bolt;
        let (value, called) = (format!("{} {}", self.number, self.unit), self.bolt.text());
        let (torque, limit) = (self.unit.of(self.number), rounded(self.limit(), shown, Rounding::Down));
        let (low, high) = (friction.low(), friction.high());
        let mut said = if self.is_impossible {
            format!(
                "{value} would tear {called}: even at high friction ({high}) it pulls with {:.1} kN, and the bolt \
                 holds {:.1} kN; 90 % of yield is reached at {limit} at low friction ({low})",
                in_newtons(bolt.clamp_load(torque, high)) / 1000.0,
                in_newtons(bolt.ultimate_load()) / 1000.0
            )
        } else {
            format!(
                "{value} takes {called} to {:.0} % of yield at low friction ({low}), where the limit is 90 %, \
                 reached at {limit}",
                (in_ratio(bolt.utilisation(torque, low)) * 100.0).ceil(),
            )
        };
        if let Some(slip) = self.slip {
            let would_be = rounded(slip.torque, shown, Rounding::Nearest);
            said += &format!("; {} {} would be {would_be}", self.number, slip.unit);
        }
        said
    }
}

/// A torque with its unit to three significant digits.
fn rounded(torque: Torque, shown: TorqueUnit, rounding: Rounding) -> String {
    let text = Resolution::significant(torque, shown, 3).text(torque, shown, rounding);
    format!("{text} {shown}")
}

#[cfg(test)]
#[path = "known_bolt_tests.rs"]
mod tests;
