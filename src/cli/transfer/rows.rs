//! Rows of the exported files. Torques of a wrench are in N·m, lengths in mm; times carry their offset.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::{Deserialize, Serialize};
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::super::{Failure, FailureKind};
use crate::book::{Check, EventKind, Hand};
use crate::conformity::{Deviation, ToolClass};
use crate::quantity::{TorqueUnit, in_newton_metres, newton_metres};
use crate::store::Store;
use crate::workshop::{Bicycle, Event, Figures, Joint, LocalInstant, Marking, Name};
use crate::wrench::{
    Calibration, CalibrationResult, Interval, RegisteredWrench, StatedAccuracy, Wrench, WrenchKind,
    WrenchParts,
};

/// A bicycle.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct BicycleRow {
    pub bike: String,
    kind: String,
    frame: String,
    owner: String,
    note: String,
    added_at: String,
    retired_at: Option<String>,
}

/// A joint of a bicycle.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct JointRow {
    pub bike: String,
    joint: String,
    place: String,
    order: u16,
    check: String,
    entry: String,
    bolts: u16,
    critical: bool,
    hand: String,
    marking_part: String,
    marking: String,
    second_marking_part: String,
    second_marking: String,
    part_maker: String,
    bicycle_maker: String,
    shop: String,
    thread: String,
    condition: String,
    photo: String,
}

/// An event of a bicycle.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct EventRow {
    pub bike: String,
    event: String,
    at: String,
    hours: Option<f64>,
    km: Option<f64>,
    what: String,
    note: String,
}

/// A wrench with its calibrations, each as day and result, parted by semicolons.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct WrenchRow {
    wrench: String,
    kind: String,
    unit: String,
    low_nm: f64,
    high_nm: f64,
    step_nm: Option<f64>,
    usable_low_nm: Option<f64>,
    usable_high_nm: Option<f64>,
    class: String,
    percent: Option<f64>,
    coverage: Option<f64>,
    anticlockwise: bool,
    owner: Option<String>,
    lever_mm: Option<f64>,
    adapters_mm: String,
    interval_months: u16,
    interval_cycles: u32,
    calibrations: String,
    added_on: Date,
    retired_on: Option<Date>,
}

fn wrong(what: &str, text: &str) -> Failure {
    let message = format!("`{text}` is not {what}");
    Failure::new(
        FailureKind::Import,
        message,
        "name a folder that `evenclamp export` has written; nothing was imported",
    )
}

fn instant(text: &str) -> Result<LocalInstant, Failure> {
    LocalInstant::parse(text, &TimeZone::UTC).map_err(|_| wrong("a time", text))
}

impl BicycleRow {
    pub fn of(bicycle: &Bicycle) -> BicycleRow {
        BicycleRow {
            bike: bicycle.name.to_string(),
            kind: bicycle.kind.clone(),
            frame: bicycle.frame.clone(),
            owner: bicycle.owner.clone(),
            note: bicycle.note.clone(),
            added_at: bicycle.added.to_string(),
            retired_at: bicycle.retired.map(|at| at.to_string()),
        }
    }

    pub fn bicycle(&self) -> Result<Bicycle, Failure> {
        Ok(Bicycle {
            name: Name::new(&self.bike)?,
            kind: self.kind.clone(),
            frame: self.frame.clone(),
            owner: self.owner.clone(),
            note: self.note.clone(),
            added: instant(&self.added_at)?,
            retired: self.retired_at.as_deref().map(instant).transpose()?,
        })
    }
}

impl JointRow {
    pub fn of(bike: &str, joint: &Joint) -> JointRow {
        let marking = |index: usize| joint.figures.markings.get(index).cloned();
        let (first, second) = (marking(0), marking(1));
        let part = |marking: &Option<Marking>| marking.as_ref().map(|m| m.part.clone()).unwrap_or_default();
        let figure =
            |marking: &Option<Marking>| marking.as_ref().map(|m| m.figure.clone()).unwrap_or_default();
        JointRow {
            bike: bike.to_owned(),
            joint: joint.name.to_string(),
            place: joint.place.clone(),
            order: joint.order,
            check: joint.check.text().to_owned(),
            entry: joint.entry.clone(),
            bolts: joint.bolts,
            critical: joint.critical,
            hand: match joint.hand {
                Some(Hand::Left) => "left".to_owned(),
                Some(Hand::Right) => "right".to_owned(),
                Some(Hand::Either) | None => String::new(),
            },
            marking_part: part(&first),
            marking: figure(&first),
            second_marking_part: part(&second),
            second_marking: figure(&second),
            part_maker: joint.figures.part_maker.clone(),
            bicycle_maker: joint.figures.bicycle_maker.clone(),
            shop: joint.figures.shop.clone(),
            thread: joint.thread.clone(),
            condition: joint.condition.clone(),
            photo: joint.photo.clone(),
        }
    }

    pub fn joint(&self) -> Result<Joint, Failure> {
        let markings =
            [(&self.marking_part, &self.marking), (&self.second_marking_part, &self.second_marking)];
        Ok(Joint {
            name: Name::new(&self.joint)?,
            place: self.place.clone(),
            order: self.order,
            check: Check::parse(&self.check).ok_or_else(|| wrong("a way to check", &self.check))?,
            entry: self.entry.clone(),
            bolts: self.bolts,
            critical: self.critical,
            hand: match self.hand.as_str() {
                "" => None,
                "left" => Some(Hand::Left),
                "right" => Some(Hand::Right),
                other => return Err(wrong("a turning direction", other)),
            },
            figures: Figures {
                markings: markings
                    .into_iter()
                    .filter(|(_, figure)| !figure.is_empty())
                    .map(|(part, figure)| Marking { part: part.clone(), figure: figure.clone() })
                    .collect(),
                part_maker: self.part_maker.clone(),
                bicycle_maker: self.bicycle_maker.clone(),
                shop: self.shop.clone(),
            },
            thread: self.thread.clone(),
            condition: self.condition.clone(),
            photo: self.photo.clone(),
        })
    }
}

impl EventRow {
    pub fn of(bike: &str, event: &Event) -> EventRow {
        EventRow {
            bike: bike.to_owned(),
            event: event.kind.text().to_owned(),
            at: event.at.to_string(),
            hours: event.hours,
            km: event.km,
            what: event.what.clone(),
            note: event.note.clone(),
        }
    }

    pub fn event(&self) -> Result<Event, Failure> {
        Ok(Event {
            kind: EventKind::parse(&self.event).ok_or_else(|| wrong("an event", &self.event))?,
            at: instant(&self.at)?,
            hours: self.hours,
            km: self.km,
            what: self.what.clone(),
            note: self.note.clone(),
        })
    }
}

impl WrenchRow {
    pub fn of(registered: &RegisteredWrench) -> WrenchRow {
        let parts = registered.wrench.parts();
        let (class, percent, coverage) = match parts.accuracy {
            StatedAccuracy::Unstated => (String::new(), None, None),
            StatedAccuracy::Class(class) => (class.text().to_owned(), None, None),
            StatedAccuracy::Percent(deviation) => (String::new(), Some(deviation.in_percent()), None),
            StatedAccuracy::Certificate { expanded, coverage } => {
                (String::new(), Some(expanded.in_percent()), Some(coverage))
            }
        };
        let adapters = parts.adapters.iter().map(|length| length.get::<millimeter>().to_string());
        let calibrations = parts.calibrations.iter().map(|calibration| {
            let failed = calibration.result == CalibrationResult::Failed;
            format!("{} {}", calibration.on, if failed { "failed" } else { "passed" })
        });
        WrenchRow {
            wrench: parts.name.clone(),
            kind: parts.kind.text().to_owned(),
            unit: registered.unit.symbol().to_owned(),
            low_nm: in_newton_metres(parts.low),
            high_nm: in_newton_metres(parts.high),
            step_nm: parts.step.map(in_newton_metres),
            usable_low_nm: parts.usable.map(|(low, _)| in_newton_metres(low)),
            usable_high_nm: parts.usable.map(|(_, high)| in_newton_metres(high)),
            class,
            percent,
            coverage,
            anticlockwise: parts.anticlockwise,
            owner: parts.owner.clone(),
            lever_mm: parts.lever.map(|lever| lever.get::<millimeter>()),
            adapters_mm: adapters.collect::<Vec<_>>().join(";"),
            interval_months: parts.interval.months(),
            interval_cycles: parts.interval.cycles(),
            calibrations: calibrations.collect::<Vec<_>>().join(";"),
            added_on: registered.added_on,
            retired_on: registered.retired_on,
        }
    }

    pub fn add_to(&self, store: &mut Store) -> Result<(), Failure> {
        let refused = |error: &dyn std::fmt::Display| wrong(&format!("a wrench ({error})"), &self.wrench);
        let wrench = Wrench::new(self.parts()?, Date::MAX).map_err(|error| refused(&error))?;
        let unit = TorqueUnit::parse(&self.unit).map_err(|error| refused(&error))?;
        store.add_wrench(&wrench, unit, self.added_on)?;
        if let Some(on) = self.retired_on {
            store.retire_wrench(&self.wrench, on)?;
        }
        Ok(())
    }

    fn parts(&self) -> Result<WrenchParts, Failure> {
        let kind = WrenchKind::parse(&self.kind).ok_or_else(|| wrong("a type of wrench", &self.kind))?;
        let refused = |what: &str| wrong(what, &self.wrench);
        let accuracy = match (self.class.as_str(), self.percent, self.coverage) {
            ("", None, _) => StatedAccuracy::Unstated,
            ("", Some(percent), coverage) => {
                let deviation =
                    Deviation::percent(percent).map_err(|_| refused("a wrench with an accuracy"))?;
                match coverage {
                    None => StatedAccuracy::Percent(deviation),
                    Some(coverage) => StatedAccuracy::Certificate { expanded: deviation, coverage },
                }
            }
            (class, ..) => {
                StatedAccuracy::Class(class.parse::<ToolClass>().map_err(|_| wrong("a class", class))?)
            }
        };
        let pieces = |text: &str| -> Vec<String> {
            text.split(';').filter(|piece| !piece.is_empty()).map(str::to_owned).collect()
        };
        let adapters = pieces(&self.adapters_mm)
            .iter()
            .map(|text| text.parse().map(Length::new::<millimeter>).map_err(|_| wrong("a length", text)))
            .collect::<Result<Vec<Length>, _>>()?;
        let calibrations =
            pieces(&self.calibrations).iter().map(|text| calibration(text)).collect::<Result<Vec<_>, _>>()?;
        let (low, high) = (newton_metres(self.low_nm), newton_metres(self.high_nm));
        Ok(WrenchParts {
            step: self.step_nm.map(newton_metres),
            usable: self
                .usable_low_nm
                .zip(self.usable_high_nm)
                .map(|(low, high)| (newton_metres(low), newton_metres(high))),
            accuracy,
            anticlockwise: self.anticlockwise,
            owner: self.owner.clone(),
            lever: self.lever_mm.map(Length::new::<millimeter>),
            adapters,
            calibrations,
            interval: Interval::new(self.interval_months, self.interval_cycles)
                .map_err(|_| refused("a wrench with an interval"))?,
            ..WrenchParts::new(self.wrench.clone(), kind, low, high)
        })
    }
}

fn calibration(text: &str) -> Result<Calibration, Failure> {
    let refused = || wrong("a calibration", text);
    let (day, word) = text.split_once(' ').ok_or_else(refused)?;
    let result = match word {
        "passed" => CalibrationResult::Passed,
        "failed" => CalibrationResult::Failed,
        _ => return Err(refused()),
    };
    Ok(Calibration { on: day.parse().map_err(|_| refused())?, result })
}
