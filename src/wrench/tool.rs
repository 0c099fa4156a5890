//! A registered torque wrench: what it can be set to, how far it may be off, which way it measures.

use jiff::civil::Date;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

use super::{
    Adapter, AdapterError, Calibration, CalibrationPeriod, History, Interval, Operation, WrenchError,
};
use crate::conformity::{Accuracy, AccuracyBasis, Deviation, Instrument, SettingScale, ToolClass};
use crate::quantity::{Torque, TorqueUnit, in_newton_metres};
use crate::words::words;

/// The share of its capacity below which a wrench is not used unless its maker says otherwise
/// (common practice; the lowest calibration point of ISO 6789:2003).
pub(super) const LOWEST_USABLE_SHARE: f64 = 0.2;

/// Longest name of a wrench, in characters.
const LONGEST_NAME: usize = 40;

words! {
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
    pub enum WrenchKind: text {
        /// Adjustable, clicks at the setting.
        Click = "click",
        /// A bar that bends beside a pointer.
        Beam = "beam",
        Dial = "dial",
        Electronic = "electronic",
        /// One fixed value.
        Preset = "preset",
        Driver = "driver",
    }
}

impl WrenchKind {
    /// The class of ISO 6789-1 that such a tool usually has.
    pub(crate) fn usual_class(self) -> ToolClass {
        match self {
            WrenchKind::Click => ToolClass::IIA,
            WrenchKind::Beam => ToolClass::IA,
            WrenchKind::Dial => ToolClass::IB,
            WrenchKind::Electronic => ToolClass::IC,
            WrenchKind::Preset => ToolClass::IIB,
            WrenchKind::Driver => ToolClass::IID,
        }
    }
}

/// The accuracy as the owner can state it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StatedAccuracy {
    /// Not stated: taken from the class that such a tool usually has.
    Unstated,
    Class(ToolClass),
    /// ± so much of the reading.
    Percent(Deviation),
    /// A certificate's relative expanded uncertainty, with its coverage factor.
    Certificate {
        /// The expanded uncertainty, relative to the reading.
        expanded: Deviation,
        /// The coverage factor k.
        coverage: f64,
    },
}

/// What is stated of a wrench, before it is checked.
#[derive(Debug, Clone, PartialEq)]
pub struct WrenchParts {
    pub(crate) name: String,
    pub(crate) kind: WrenchKind,
    /// The unit of its scale.
    pub unit: TorqueUnit,
    pub(crate) low: Torque,
    /// The upper end of the scale: its capacity.
    pub high: Torque,
    /// What one step of the scale is worth, where known.
    pub step: Option<Torque>,
    /// The usable part of the scale, where its maker states one; else 20–100 % of the capacity.
    pub usable: Option<(Torque, Torque)>,
    pub(crate) accuracy: StatedAccuracy,
    /// Whether it measures anticlockwise as well.
    pub anticlockwise: bool,
    pub(crate) owner: Option<String>,
    /// From the middle of the handle to the centre of the drive, where known.
    pub lever: Option<Length>,
    /// Lengths of the adapters at hand, from the drive to the bolt.
    pub adapters: Vec<Length>,
    pub(crate) calibrations: Vec<Calibration>,
    pub(crate) interval: Interval,
}

impl WrenchParts {
    /// The parts that cannot be left out; the rest unknown, of the usual class, clockwise only, never calibrated.
    pub fn new(name: impl Into<String>, kind: WrenchKind, low: Torque, high: Torque) -> WrenchParts {
        WrenchParts {
            name: name.into(),
            kind,
            unit: TorqueUnit::NewtonMetre,
            low,
            high,
            step: None,
            usable: None,
            accuracy: StatedAccuracy::Unstated,
            anticlockwise: false,
            owner: None,
            lever: None,
            adapters: Vec::new(),
            calibrations: Vec::new(),
            interval: Interval::default(),
        }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wrench {
    parts: WrenchParts,
    accuracy: Accuracy,
    instrument: Instrument,
    settings: SettingScale,
    history: History,
}

impl Wrench {
    /// Checks what is stated of a wrench; `today` bounds its calibrations.
    ///
    /// # Errors
    /// [`WrenchError`] says what cannot be and what would be right.
    pub fn new(parts: WrenchParts, today: Date) -> Result<Wrench, WrenchError> {
        if parts.name.trim().is_empty() {
            return Err(WrenchError::NoName);
        }
        if parts.name.contains(char::is_control) || parts.name.chars().count() > LONGEST_NAME {
            return Err(WrenchError::Name);
        }
        let settings = check_scale(&parts)?;
        check_usable(&parts)?;
        check_lengths(&parts)?;
        let class = match parts.accuracy {
            StatedAccuracy::Class(class) => class,
            _ => parts.kind.usual_class(),
        };
        // What ISO 6789-1 permits the class.
        let of_class = |basis| Accuracy { deviation: class.permitted(parts.high), basis };
        let assumed = of_class(AccuracyBasis::AssumedClass(class));
        let accuracy = match parts.accuracy {
            StatedAccuracy::Unstated => assumed,
            StatedAccuracy::Class(class) => of_class(AccuracyBasis::Class(class)),
            StatedAccuracy::Percent(deviation) => Accuracy::given(deviation),
            // An uncertainty says nothing of the deviation that was found: the class stands in for that.
            StatedAccuracy::Certificate { expanded, coverage } => {
                Accuracy::certificate(expanded, coverage)?.or_worse(assumed)
            }
        };
        let accuracy = if parts.calibrations.is_empty() {
            Accuracy { basis: AccuracyBasis::Uncalibrated(class), ..accuracy.or_worse(assumed) }
        } else {
            accuracy
        };
        let instrument = Instrument::new(accuracy, parts.step, None)
            .map_err(|_| WrenchError::Step(parts.step.map_or(0.0, in_newton_metres)))?;
        let history = History::new(parts.calibrations.clone(), parts.interval, today)?;
        Ok(Wrench { parts, accuracy, instrument, settings, history })
    }

    /// The wrench with its operations counted. `find` gives a period's operation with so many before it, if any.
    pub fn counted<E>(
        mut self,
        find: impl FnMut(CalibrationPeriod, u32) -> Result<Option<Operation>, E>,
    ) -> Result<Wrench, E> {
        self.history.count(find)?;
        Ok(self)
    }

    pub(crate) fn parts(&self) -> &WrenchParts {
        &self.parts
    }

    pub(crate) fn name(&self) -> &str {
        &self.parts.name
    }

    /// The unit of its scale.
    pub(crate) fn unit(&self) -> TorqueUnit {
        self.parts.unit
    }

    pub(crate) fn capacity(&self) -> Torque {
        self.parts.high
    }

    /// The step to which its settings are told: that of its scale, else the round one that its dial can just show.
    pub(crate) fn shown_step(&self) -> Torque {
        self.parts.step.unwrap_or_else(|| round_step(&self.parts))
    }

    pub(crate) fn accuracy(&self) -> Accuracy {
        self.accuracy
    }

    pub(crate) fn history(&self) -> &History {
        &self.history
    }

    /// The part of the scale whose readings are believed: what the maker says, else from 20 % of the
    /// capacity, and never below the lowest mark (ISO 6789-1:2017, 5.1.3).
    pub(crate) fn usable(&self) -> (Torque, Torque) {
        let (low, high) = (self.parts.low, self.parts.high);
        self.parts.usable.unwrap_or((low.max(high * LOWEST_USABLE_SHARE), high))
    }

    /// What the uncertainty of its readings depends on, taken at the bolt.
    pub(crate) fn instrument(&self, adapter: Option<&Adapter>) -> Instrument {
        adapter.map_or(self.instrument, |adapter| self.instrument.scaled(adapter.factor().value))
    }

    /// The usable settings, as torques at the bolt.
    pub fn settings(&self, adapter: Option<&Adapter>) -> SettingScale {
        let (from, to) = self.usable();
        let usable = self.settings.within(from, to);
        adapter.map_or(usable, |adapter| usable.scaled(adapter.factor().value))
    }

    /// An adapter of the given length and angle on this wrench.
    ///
    /// # Errors
    /// [`AdapterError`] when the lever of the wrench is not known, or the geometry makes no sense.
    pub fn adapter(&self, extension: Length, angle: Angle) -> Result<Adapter, AdapterError> {
        Adapter::new(self.parts.lever.ok_or(AdapterError::LeverUnknown)?, extension, angle)
    }
}

fn check_scale(parts: &WrenchParts) -> Result<SettingScale, WrenchError> {
    let (low_nm, high_nm) = (in_newton_metres(parts.low), in_newton_metres(parts.high));
    let upside_down = WrenchError::ScaleUpsideDown { low_nm, high_nm };
    if !(low_nm >= 0.0 && high_nm > 0.0 && high_nm >= low_nm && high_nm.is_finite()) {
        return Err(upside_down);
    }
    let span_nm = high_nm - low_nm;
    if span_nm <= 0.0 && parts.kind != WrenchKind::Preset {
        return Err(WrenchError::ScaleOfOneValue(high_nm));
    }
    if span_nm > 0.0 && parts.kind == WrenchKind::Preset {
        return Err(WrenchError::PresetWithRange);
    }
    if let Some(step_nm) = parts.step.map(in_newton_metres) {
        if !(step_nm > 0.0 && step_nm.is_finite()) {
            return Err(WrenchError::Step(step_nm));
        }
        if step_nm > span_nm && span_nm > 0.0 {
            return Err(WrenchError::StepTooWide { step_nm, span_nm });
        }
    }
    scale_of(parts).ok_or(upside_down)
}

/// The marks of a scale. One whose step is unknown is taken to be set to round figures; a preset key has its one.
fn scale_of(parts: &WrenchParts) -> Option<SettingScale> {
    if parts.step.is_some() || parts.high <= parts.low {
        return SettingScale::new(parts.low, parts.high, parts.step);
    }
    let marks = SettingScale::new(Torque::default(), parts.high, Some(round_step(parts)))?;
    Some(marks.within(parts.low, parts.high).of_round_figures())
}

/// About a tenth of what a dial can show: the largest power of ten in its unit that is at most a 200th of the capacity.
fn round_step(parts: &WrenchParts) -> Torque {
    let fine = parts.unit.value_of(parts.high) / 200.0;
    parts.unit.of(10f64.powf(fine.log10().floor()))
}

fn check_usable(parts: &WrenchParts) -> Result<(), WrenchError> {
    let on_scale = |(from, to): (Torque, Torque)| from >= parts.low && to <= parts.high && from <= to;
    if parts.usable.is_none_or(on_scale) { Ok(()) } else { Err(WrenchError::Usable) }
}

fn check_lengths(parts: &WrenchParts) -> Result<(), WrenchError> {
    if let Some(lever_mm) = parts.lever.map(|lever| lever.get::<millimeter>())
        && !(lever_mm > 0.0 && lever_mm.is_finite())
    {
        return Err(WrenchError::Lever(lever_mm));
    }
    for length in &parts.adapters {
        let length_mm = length.get::<millimeter>();
        if !(length_mm >= 0.0 && length_mm.is_finite()) {
            return Err(WrenchError::AdapterLength(length_mm));
        }
    }
    Ok(())
}

#[cfg(test)]
#[path = "tool_tests.rs"]
mod tests;
