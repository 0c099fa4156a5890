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
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct BoltWords<'a> {
    /// Designation of its thread; nothing is known without one.
    pub thread: &'a str,
    /// Its property class, where it was read off the head.
    pub grade: Option<&'a str>,
    /// The material as stated; counts only where it names the metal of the bolt.
    pub material: &'a str,
    /// The condition of the thread as stated.
    pub condition: &'a str,
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
    ///
    /// # Errors
    /// As [`Catalogue::bolt`].
    pub fn known_bolt(&self, words: BoltWords<'_>) -> Result<Option<KnownBolt>, JointError> {
        if words.thread.trim().is_empty() {
            return Ok(None);
        }
        let thread = self.thread(words.thread)?;
        if thread.section == Section::Hollow {
            return Ok(None);
        }
        let class = match words.grade {
            Some(grade) => self.grade(grade, thread)?,
            None => self.assumed_class(thread, words.material)?,
        };
        let condition = Condition::stated_in(words.condition).unwrap_or(Condition::Unknown);
        let friction = self.friction_of(condition, class.family, None)?.band;
        let head = self.head(HeadKind::Socket, thread);
        let bolt = Bolt::new(thread.clone(), class.clone(), head)?;
        Ok(Some(KnownBolt { bolt, class_assumed: words.grade.is_none(), friction }))
    }

    /// The class taken for a bolt whose class is not stated: the strongest of its metal, and of steel
    /// (12.9) where the metal is not stated either. Books rarely know the class; with the strongest
    /// one, only what no ordinary bolt of that thread can stand is called impossible.
    fn assumed_class(&self, thread: &Thread, material: &str) -> Result<&PropertyClass, JointError> {
        let family = MaterialFamily::of_bolt(material).unwrap_or(MaterialFamily::Steel);
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
    pub fn doubt(&self, number: f64, unit: TorqueUnit) -> Result<Option<Doubt<'_>>, JointError> {
        let plausibility = plausibility(&self.bolt, unit.of(number), self.friction)?;
        if plausibility == Plausibility::Plausible {
            return Ok(None);
        }
        let slip = unit_slips(&self.bolt, number, unit, self.friction)?.into_iter().next();
        Ok(Some(Doubt { known: self, number, unit, plausibility, slip }))
    }

    /// What speaks against the largest torque of `spec`, told in `unit`.
    ///
    /// # Errors
    /// As [`KnownBolt::doubt`].
    pub fn doubt_of(&self, spec: Spec, unit: TorqueUnit) -> Result<Option<Doubt<'_>>, JointError> {
        // The last bits of a conversion must not show in the text.
        let number = (unit.value_of(spec.largest()) * 1e6).round() / 1e6;
        self.doubt(number, unit)
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

/// What speaks against a torque on a known bolt.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt<'a> {
    known: &'a KnownBolt,
    number: f64,
    unit: TorqueUnit,
    /// [`Plausibility::PastYield`] or [`Plausibility::PastUltimate`].
    pub plausibility: Plausibility,
    /// The unit that would explain the number.
    pub slip: Option<UnitSlip>,
}

impl Doubt<'_> {
    /// True when the bolt would tear; false for a warning.
    pub(crate) fn is_impossible(&self) -> bool {
        matches!(self.plausibility, Plausibility::PastUltimate { .. })
    }

    /// The doubt in words, torques in `shown` to three significant digits, limits rounded down.
    pub fn text(&self, shown: TorqueUnit) -> String {
        let text = |torque: Torque, rounding| {
            let text = Resolution::significant(torque, shown, 3).text(torque, shown, rounding);
            format!("{text} {shown}")
        };
        let (value, bolt) = (format!("{} {}", self.number, self.unit), self.known.text());
        let mut said = match self.plausibility {
            Plausibility::PastUltimate { clamp_load, ultimate_load } => format!(
                "{value} would tear {bolt}: even at high friction ({}) it pulls with {:.1} kN, and the bolt \
                 holds {:.1} kN",
                self.known.friction.high(),
                in_newtons(clamp_load) / 1000.0,
                in_newtons(ultimate_load) / 1000.0
            ),
            Plausibility::PastYield { utilisation, torque_limit } => format!(
                "{value} takes {bolt} to {:.0} % of yield at low friction ({}), where the limit is 90 %, \
                 reached at {}",
                (in_ratio(utilisation) * 100.0).ceil(),
                self.known.friction.low(),
                text(torque_limit, Rounding::Down)
            ),
            Plausibility::Plausible => String::new(),
        };
        if let Some(slip) = self.slip {
            let would_be = text(slip.torque, Rounding::Nearest);
            said += &format!("; {} {} would be {would_be}", self.number, slip.unit);
        }
        said
    }
}

#[cfg(test)]
#[path = "known_bolt_tests.rs"]
mod tests;
