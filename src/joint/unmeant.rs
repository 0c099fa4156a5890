//! A figure or reading as typed that cannot be meant: it would tear the strongest bolt of its thread, or it
//! is a small part of what the book or mechanics expect there (`specs/rules.md`, "The bolt decides").

use super::condition::Condition;
use super::friction::FrictionCoefficient;
use super::head::HeadKind;
use super::plausibility::{MARKED_UNITS, unit_slips};
use super::property_class::MaterialFamily;
use super::units::in_newtons;
use super::{Bolt, Catalogue, FrictionBand, JointError, Torque};
use crate::quantity::tolerance::more_than;
use crate::quantity::{Resolution, Rounding, Spec, TorqueUnit};

/// The strongest class that bolts are sold in (ISO 898-1).
const STRONGEST: &str = "12.9";

/// Below this share of what is expected a figure is meant for something else, or in another unit (own choice).
const LEAST_PART: f64 = 0.2;
/// And so it is beyond this many times the greatest that is expected (own choice, the mirror image of the least).
const MOST_TIMES: f64 = 5.0;

/// What the book has for an entry, by which a figure that is typed in for it is measured.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Expected {
    /// What its band specifies, where there is one.
    pub(crate) band: Option<Spec>,
    /// The greatest figure that anybody gives for it, whether it counts or not.
    pub(crate) greatest: Option<Torque>,
}

/// What is typed in and cannot be meant.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Unmeant {
    number: f64,
    unit: TorqueUnit,
    why: String,
    /// The unit in which the number would make sense, where one does.
    slip: Option<TorqueUnit>,
}

impl Unmeant {
    /// Why it cannot be meant, with the likely slip; torques in `shown`.
    pub(crate) fn text(&self, shown: TorqueUnit) -> String {
        let mut said = format!("{} {} {}", self.number, self.unit, self.why);
        if let Some(unit) = self.slip {
            if unit == shown {
                return format!("{said}; perhaps {} {unit} was meant", self.number);
            }
            let meant = unit.of(self.number);
            let text = Resolution::significant(meant, shown, 2).text(meant, shown, Rounding::Nearest);
            said += &format!("; {} {unit} would be {text} {shown}", self.number);
        }
        said
    }
}

impl Catalogue {
    /// Why `number` in `unit` cannot be meant on a bolt of `thread`: it would tear one of class 12.9 even at the
    /// highest friction of the book for steel. None for a thread that is not known or of a hollow part.
    pub(crate) fn tears_any(
        &self,
        thread: &str,
        number: f64,
        unit: TorqueUnit,
    ) -> Result<Option<Unmeant>, JointError> {
        let Some(bolt) = self.strongest(thread)? else { return Ok(None) };
        let friction = self.steel_friction()?;
        if unit.of(number) <= tearing_torque(&bolt, friction) {
            return Ok(None);
        }
        let (pull, holds) = (bolt.clamp_load(unit.of(number), friction.high()), bolt.ultimate_load());
        let (pull, holds) = (in_newtons(pull) / 1000.0, in_newtons(holds) / 1000.0);
        let why = format!(
            "would tear any bolt of {}: even in class {STRONGEST} and at the highest friction ({}) it pulls with \
             {pull:.1} kN, and the bolt holds {holds:.1} kN",
            bolt.thread.designation,
            friction.high()
        );
        let slip = unit_slips(&bolt, number, unit, friction)?.into_iter().map(|slip| slip.unit).next();
        Ok(Some(Unmeant { number, unit, why, slip }))
    }

    /// The torque above which nothing can be meant on a bolt of `thread`, as in [`Catalogue::tears_any`].
    ///
    /// # Errors
    /// As [`Catalogue::bolt`].
    pub(crate) fn tears_above(&self, thread: &str) -> Result<Option<Torque>, JointError> {
        let Some(bolt) = self.strongest(thread)? else { return Ok(None) };
        Ok(Some(tearing_torque(&bolt, self.steel_friction()?)))
    }

    /// Why a figure of `number` in `unit` cannot be meant where the book has `band`, or where a bolt of `thread` is
    /// all that is known: it is less than a fifth of the least that is expected.
    pub(crate) fn too_little(
        &self,
        (number, unit): (f64, TorqueUnit),
        band: Option<Spec>,
        thread: &str,
    ) -> Result<Option<Unmeant>, JointError> {
        let least_of = |band: Spec| match band {
            Spec::Range { low, .. } if low > Torque::default() => low,
            _ => band.largest(),
        };
        let (least, whose) = match band {
            Some(band) => (Some(least_of(band)), "the book has"),
            None => (self.least_limit(thread)?, "even the weakest bolt of that thread bears"),
        };
        let Some(least) = least.filter(|least| more_than(*least * LEAST_PART, unit.of(number))) else {
            return Ok(None);
        };
        let why = format!("is less than a fifth of the {} N·m that {whose} here", rough(least));
        let slip = unit_between(number, least, band.map_or(least, Spec::largest));
        Ok(Some(Unmeant { number, unit, why, slip }))
    }

    /// The bolt of that thread in the strongest class; none where nothing is known of it.
    fn strongest(&self, thread: &str) -> Result<Option<Bolt>, JointError> {
        if thread.trim().is_empty() {
            return Ok(None);
        }
        match self.bolt(thread, STRONGEST, HeadKind::Socket) {
            Ok(bolt) => Ok(Some(bolt)),
            Err(JointError::Hollow { .. } | JointError::GradeSize { .. }) => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// The lowest and the highest friction that the book has for steel in any condition.
    fn steel_friction(&self) -> Result<FrictionBand, JointError> {
        let all = Condition::WORDS
            .iter()
            .map(|(_, condition)| Ok(self.friction_of(*condition, MaterialFamily::Steel, None)?.band));
        let bands = all.collect::<Result<Vec<FrictionBand>, JointError>>()?;
        let hull = bands.into_iter().reduce(FrictionBand::hull);
        hull.ok_or_else(|| JointError::unknown("friction", MaterialFamily::Steel.name(), Vec::new()))
    }

    /// The torque that takes even the weakest bolt of a thread to 90 % of yield at the lowest friction.
    fn least_limit(&self, thread: &str) -> Result<Option<Torque>, JointError> {
        let Some(bolt) = self.strongest(thread)? else { return Ok(None) };
        let low: FrictionCoefficient = self.steel_friction()?.low();
        let fitting = self.classes.iter().filter(|class| class.covers(&bolt.thread));
        let weakest = fitting.reduce(|a, b| if b.yield_stress < a.yield_stress { b } else { a });
        Ok(weakest.map(|class| Bolt { class: class.clone(), ..bolt.clone() }.torque_limit(low)))
    }
}

/// Why a figure of `number` in `unit` cannot be meant where that is `expected`, whatever the thread: it is more than
/// five times the greatest that the band allows or, where no band does, that anybody gives.
pub(crate) fn too_great((number, unit): (f64, TorqueUnit), expected: Expected) -> Option<Unmeant> {
    let (low, high) = expected.band.map_or((None, None), Spec::limits);
    let (most, whose) = match (high, expected.greatest) {
        (Some(high), _) => (high, "that the book has here"),
        (None, greatest) => (greatest?, "that is the greatest figure read for this"),
    };
    if !more_than(unit.of(number), most * MOST_TIMES) {
        return None;
    }
    let why = format!("is more than five times the {} N·m {whose}", rough(most));
    let slip = unit_between(number, low.unwrap_or(most), most);
    Some(Unmeant { number, unit, why, slip })
}

/// The unit, commonest first, in which a number would be about what is expected.
fn unit_between(number: f64, least: Torque, most: Torque) -> Option<TorqueUnit> {
    let fits = |meant: &TorqueUnit| (least * 0.5..=most * 1.5).contains(&meant.of(number));
    MARKED_UNITS.iter().copied().find(fits)
}

/// A torque in N·m to two digits.
fn rough(torque: Torque) -> String {
    let digits = Resolution::significant(torque, TorqueUnit::NewtonMetre, 2);
    digits.text(torque, TorqueUnit::NewtonMetre, Rounding::Nearest)
}

/// The torque that pulls with the ultimate load of a bolt where friction is highest.
fn tearing_torque(bolt: &Bolt, friction: FrictionBand) -> Torque {
    bolt.tightening.torque(bolt.ultimate_load(), friction.high())
}

#[cfg(test)]
#[path = "unmeant_tests.rs"]
mod tests;
