//! A registered wrench as database and files keep it: torques in N·m, lengths in mm.

use jiff::civil::Date;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::{
    Calibration, CalibrationResult, Interval, StatedAccuracy, Wrench, WrenchError, WrenchKind, WrenchParts,
};
use crate::conformity::{Deviation, ToolClass};
use crate::quantity::{Torque, TorqueUnit, in_newton_metres, newton_metres};
use crate::sheet::{Column, Kept, KeptRecord, KeptValue, NotA, kept_as_text, kept_field};

/// A wrench as registered in the workshop.
#[derive(Debug, Clone, PartialEq)]
pub struct RegisteredWrench {
    /// The checked wrench.
    pub wrench: Wrench,
    pub(crate) added_on: Date,
    /// The day it was taken out of use.
    pub retired_on: Option<Date>,
}

/// A registered wrench column by column, not yet checked.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WrenchRecord {
    /// What is stated, but for its accuracy and usable part, which have columns of their own.
    pub(crate) parts: WrenchParts,
    usable_low: Option<Torque>,
    usable_high: Option<Torque>,
    class: Option<ToolClass>,
    percent: Option<Deviation>,
    coverage: Option<f64>,
    pub(crate) added_on: Date,
    pub(crate) retired_on: Option<Date>,
}

impl KeptRecord for WrenchRecord {
    const WHAT: &'static str = "wrench";

    const COLUMNS: &'static [Column<WrenchRecord>] = &[
        kept_field!(parts.name, "name", "wrench"),
        kept_field!(parts.kind, "kind"),
        kept_field!(parts.unit, "unit"),
        kept_field!(parts.low, "low_nm"),
        kept_field!(parts.high, "high_nm"),
        kept_field!(parts.step, "step_nm", may_be_missing),
        kept_field!(usable_low, "usable_low_nm", may_be_missing),
        kept_field!(usable_high, "usable_high_nm", may_be_missing),
        kept_field!(class, "class"),
        kept_field!(percent, "percent", may_be_missing),
        kept_field!(coverage, "coverage", may_be_missing),
        kept_field!(parts.anticlockwise, "anticlockwise"),
        kept_field!(parts.owner, "owner", may_be_missing),
        kept_field!(parts.lever, "lever_mm", may_be_missing),
        Column { stored: None, ..kept_field!(parts.adapters, "adapters_mm") },
        kept_field!(parts.interval.months, "interval_months"),
        kept_field!(parts.interval.cycles, "interval_cycles"),
        Column { stored: None, ..kept_field!(parts.calibrations, "calibrations") },
        kept_field!(added_on, "added_on"),
        kept_field!(retired_on, "retired_on", may_be_missing),
    ];

    fn blank() -> WrenchRecord {
        let nothing = newton_metres(0.0);
        let parts = WrenchParts::new("", WrenchKind::Click, nothing, nothing);
        WrenchRecord::of_parts(parts, Date::MIN, None)
    }
}

impl WrenchRecord {
    pub(crate) fn of(registered: &RegisteredWrench) -> WrenchRecord {
        WrenchRecord::of_parts(registered.wrench.parts().clone(), registered.added_on, registered.retired_on)
    }

    fn of_parts(parts: WrenchParts, added_on: Date, retired_on: Option<Date>) -> WrenchRecord {
        let (class, percent, coverage) = match parts.accuracy {
            StatedAccuracy::Unstated => (None, None, None),
            StatedAccuracy::Class(class) => (Some(class), None, None),
            StatedAccuracy::Percent(deviation) => (None, Some(deviation), None),
            StatedAccuracy::Certificate { expanded, coverage } => (None, Some(expanded), Some(coverage)),
        };
        WrenchRecord {
            usable_low: parts.usable.map(|(low, _)| low),
            usable_high: parts.usable.map(|(_, high)| high),
            class,
            percent,
            coverage,
            parts: WrenchParts { name: parts.name.trim().to_owned(), ..parts },
            added_on,
            retired_on,
        }
    }

    /// The wrench, checked again. What was registered was checked against the day it was registered on; no later
    /// day can make it wrong.
    pub(crate) fn registered(self) -> Result<RegisteredWrench, WrenchError> {
        let accuracy = match (self.class, self.percent, self.coverage) {
            (Some(class), _, _) => StatedAccuracy::Class(class),
            (None, Some(percent), None) => StatedAccuracy::Percent(percent),
            (None, Some(expanded), Some(coverage)) => StatedAccuracy::Certificate { expanded, coverage },
            (None, None, _) => StatedAccuracy::Unstated,
        };
        let Interval { months, cycles } = self.parts.interval;
        let parts = WrenchParts {
            usable: self.usable_low.zip(self.usable_high),
            accuracy,
            interval: Interval::new(months, cycles)?,
            ..self.parts
        };
        let wrench = Wrench::new(parts, Date::MAX)?;
        Ok(RegisteredWrench { wrench, added_on: self.added_on, retired_on: self.retired_on })
    }
}

kept_as_text!(WrenchKind, "a type of wrench", |kind| kind.text().to_owned(), WrenchKind::parse);
kept_as_text!(ToolClass, "a class", |class| class.text().to_owned(), |text| text.parse().ok());
kept_as_text!(TorqueUnit, "a unit of torque", |unit| unit.symbol().to_owned(), |text| {
    TorqueUnit::parse(text).ok()
});
kept_as_text!(Date, "a day", ToString::to_string, |text| text.parse().ok());
kept_as_text!(CalibrationResult, "a result of a calibration", |result| result.word().to_owned(), |text| {
    CalibrationResult::ALL.into_iter().find(|known| known.word() == text)
});
kept_as_text!(Calibration, "a calibration", |done| format!("{} {}", done.on, done.result.word()), |text| {
    let (day, result) = text.split_once(' ')?;
    let result = CalibrationResult::of_kept(KeptValue::Text(result.to_owned())).ok()?;
    Some(Calibration { on: day.parse().ok()?, result })
});

macro_rules! kept_as_number {
    ($Type:ty, $what:literal, $number:expr, $of:expr) => {
        impl Kept for $Type {
            fn kept(&self) -> KeptValue {
                let number: fn(&$Type) -> f64 = $number;
                KeptValue::Number(number(self))
            }

            fn of_kept(value: KeptValue) -> Result<$Type, NotA> {
                let of: fn(f64) -> Option<$Type> = $of;
                let wrong = value.is_not($what);
                of(f64::of_kept(value)?).ok_or(wrong)
            }
        }
    };
}
kept_as_number!(Torque, "a torque", |torque| in_newton_metres(*torque), |number| Some(newton_metres(number)));
kept_as_number!(Deviation, "an accuracy", |share| to_nine_decimals(share.in_percent()), |number| {
    Deviation::percent(number).ok()
});
kept_as_number!(Length, "a length", |length| in_millimetres(*length), |number| {
    Some(Length::new::<millimeter>(number))
});

/// A length as it is kept.
pub(crate) fn in_millimetres(length: Length) -> f64 {
    to_nine_decimals(length.get::<millimeter>())
}

/// What was converted there and back is the same again.
fn to_nine_decimals(number: f64) -> f64 {
    (number * 1e9).round() / 1e9
}

/// Lists are parted by semicolons.
impl Kept for Vec<Length> {
    fn kept(&self) -> KeptValue {
        let lengths: Vec<String> = self.iter().map(|length| in_millimetres(*length).to_string()).collect();
        KeptValue::Text(lengths.join(";"))
    }

    fn of_kept(value: KeptValue) -> Result<Vec<Length>, NotA> {
        listed(&value)
    }
}

impl Kept for Vec<Calibration> {
    fn kept(&self) -> KeptValue {
        let done: Vec<String> = self.iter().map(|calibration| calibration.kept().field()).collect();
        KeptValue::Text(done.join(";"))
    }

    fn of_kept(value: KeptValue) -> Result<Vec<Calibration>, NotA> {
        listed(&value)
    }
}

fn listed<T: Kept>(list: &KeptValue) -> Result<Vec<T>, NotA> {
    let pieces = list.field();
    let pieces = pieces.split(';').filter(|piece| !piece.is_empty());
    pieces.map(|piece| T::of_kept(KeptValue::Text(piece.to_owned()))).collect()
}
