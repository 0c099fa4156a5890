//! What a bolt stands, for programs: keys end in their unit.

use serde::Serialize;

use super::bolt::BoltReport;
use super::condition::ConditionReport;
use super::figure::torque_text;
use super::sweep::{Ends, SweepKeys, sweep_keys};
use crate::joint::{
    Condition, ExplainStep, StrippedSide, UnitSlip, in_millimetres, in_newtons, in_ratio,
    in_square_millimetres,
};
use crate::quantity::{Resolution, in_newton_metres};

#[derive(Debug, Serialize)]
struct BoltKeys<'a> {
    thread: &'a str,
    grade: &'a str,
    head: &'static str,
    torque_nm: Option<f64>,
    plausibility: Option<&'static str>,
    friction: FrictionKeys<'a>,
    stress_area_mm2: f64,
    head_friction_diameter_mm: f64,
    clamp_load_n: Option<Ends>,
    utilisation: Option<Ends>,
    torque_limit_nm: Ends,
    proof_load_n: f64,
    ultimate_load_n: f64,
    stripping: Option<StrippingKeys>,
    unit_slips: Vec<SlipKeys>,
    condition: Option<&'a ConditionReport>,
    estimates: Vec<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    steps: Vec<StepKeys<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    sweep: Vec<SweepKeys>,
}

#[derive(Debug, Serialize)]
struct FrictionKeys<'a> {
    low: f64,
    high: f64,
    condition: Option<&'static str>,
    source: Option<&'a str>,
    source_grade: Option<&'static str>,
    note: &'a str,
}

#[derive(Debug, Serialize)]
pub(super) struct SlipKeys {
    unit: &'static str,
    torque_nm: f64,
    utilisation: f64,
    pub(super) text: String,
}

#[derive(Debug, Serialize)]
pub(super) struct StrippingKeys {
    pub(super) engagement_mm: f64,
    pub(super) into: String,
    pub(super) load_n: f64,
    internal_load_n: f64,
    external_load_n: f64,
    pub(super) weaker_side: &'static str,
    pub(super) margin: f64,
    bolt_breaks_first: bool,
}

#[derive(Debug, Serialize)]
struct StepKeys<'a> {
    meaning: &'a str,
    symbol: &'a str,
    formula: &'a str,
    value: f64,
    unit: &'a str,
    source: &'a str,
}

impl BoltReport {
    pub(super) fn slip_keys(&self) -> Vec<SlipKeys> {
        let keys = |slip: &UnitSlip| {
            let would_be =
                torque_text(slip.torque, Resolution::significant(slip.torque, self.shown, 3), self.shown);
            SlipKeys {
                unit: slip.unit.symbol(),
                torque_nm: in_newton_metres(slip.torque),
                utilisation: in_ratio(slip.utilisation),
                text: format!("{} {} would be {would_be}", self.number, slip.unit),
            }
        };
        self.slips.iter().map(keys).collect()
    }

    pub(super) fn stripping_keys(&self) -> Option<StrippingKeys> {
        let (_, analysis) = self.at_torque.as_ref()?;
        let (engagement, found) = (self.engagement.as_ref()?, analysis.stripping.as_ref()?);
        Some(StrippingKeys {
            engagement_mm: in_millimetres(engagement.length()),
            into: engagement.material.name.clone(),
            load_n: in_newtons(found.stripping.load()),
            internal_load_n: in_newtons(found.stripping.internal_load),
            external_load_n: in_newtons(found.stripping.external_load),
            weaker_side: match found.stripping.side() {
                StrippedSide::Internal => "tapped hole",
                StrippedSide::External => "bolt thread",
            },
            margin: in_ratio(found.margin),
            bolt_breaks_first: found.bolt_breaks_first,
        })
    }

    fn keys(&self) -> BoltKeys<'_> {
        let analysis = self.at_torque.as_ref().map(|(_, analysis)| analysis);
        let (bolt, limit, band) = (&self.bolt, self.torque_limit(), self.friction.band);
        let provenance = self.friction.provenance.as_ref();
        BoltKeys {
            thread: bolt.thread().designation(),
            grade: &bolt.class().name,
            head: bolt.head().kind.name(),
            torque_nm: self.at_torque.as_ref().map(|(torque, _)| in_newton_metres(*torque)),
            plausibility: self.plausibility_key(),
            friction: FrictionKeys {
                low: band.low().get(),
                high: band.high().get(),
                condition: self.friction.condition.map(Condition::name),
                source: provenance.map(|row| row.source.as_str()),
                source_grade: provenance.map(|row| row.grade.name()),
                note: &self.friction.note,
            },
            stress_area_mm2: in_square_millimetres(bolt.thread().profile().stress_area()),
            head_friction_diameter_mm: in_millimetres(bolt.head().diameter),
            clamp_load_n: analysis.map(|found| Ends::of(found.clamp_load, in_newtons)),
            utilisation: analysis.map(|found| Ends::of(found.utilisation, in_ratio)),
            torque_limit_nm: Ends::of(limit, in_newton_metres),
            proof_load_n: in_newtons(bolt.proof_load()),
            ultimate_load_n: in_newtons(bolt.ultimate_load()),
            stripping: self.stripping_keys(),
            unit_slips: self.slip_keys(),
            condition: self.condition.as_ref(),
            estimates: self.estimates(),
            steps: self.steps.iter().map(StepKeys::of).collect(),
            sweep: sweep_keys(&self.sweep),
        }
    }
}

impl<'a> StepKeys<'a> {
    fn of(step: &'a ExplainStep) -> StepKeys<'a> {
        StepKeys {
            meaning: &step.meaning,
            symbol: step.symbol,
            formula: step.formula,
            value: step.value,
            unit: step.unit,
            source: &step.source,
        }
    }
}

impl Serialize for BoltReport {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.keys().serialize(serializer)
    }
}
