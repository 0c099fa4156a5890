//! What a bolt stands, for programs: keys end in their unit.

use serde_json::{Value, json};

use super::bolt::BoltReport;
use super::condition::ConditionReport;
use super::sweep::{ends, sweep_keys};
use crate::joint::{Condition, UnitSlip, in_millimetres, in_newtons, in_ratio, in_square_millimetres};
use crate::quantity::in_newton_metres;

impl BoltReport {
    /// The whole report; the chain of formulas and the sweep stand in it where they were asked for.
    pub(super) fn keys(&self) -> Value {
        let (bolt, band) = (&self.bolt, self.friction.band);
        let provenance = self.friction.provenance.as_ref();
        let analysis = self.at_torque.as_ref().map(|(_, analysis)| analysis);
        let mut keys = json!({
            "thread": bolt.thread.designation,
            "grade": bolt.class.name,
            "head": bolt.head.kind.name(),
            "torque_nm": self.at_torque.as_ref().map(|(torque, _)| in_newton_metres(*torque)),
            "ground": self.ground,
            "plausibility": analysis.map(|found| found.plausibility.word()),
            "friction": {
                "low": band.low().get(),
                "high": band.high().get(),
                "condition": self.friction.condition.map(Condition::name),
                "source": provenance.map(|row| &row.source),
                "source_grade": provenance.map(|row| row.grade.name()),
                "note": self.friction.note,
            },
            "stress_area_mm2": in_square_millimetres(bolt.thread.profile.stress_area()),
            "head_friction_diameter_mm": in_millimetres(bolt.head.diameter),
            "clamp_load_n": analysis.map(|found| ends(found.clamp_load, in_newtons)),
            "clamp_load_at_limit_n": ends(self.at_limit, in_newtons),
            "utilisation": analysis.map(|found| ends(found.utilisation, in_ratio)),
            "torque_limit_nm": ends(self.torque_limit(), in_newton_metres),
            "proof_load_n": in_newtons(bolt.proof_load()),
            "ultimate_load_n": in_newtons(bolt.ultimate_load()),
            "stripping": self.stripping_keys(),
            "unit_slips": self.slips.iter().map(|slip| self.slip_keys(slip)).collect::<Vec<_>>(),
            "condition": self.condition.as_ref().map(ConditionReport::json),
            "estimates": self.estimates(),
        });
        if !self.steps.is_empty() {
            keys["steps"] = json!(self.steps);
        }
        if !self.sweep.is_empty() {
            keys["sweep"] = sweep_keys(&self.sweep);
        }
        keys
    }

    fn slip_keys(&self, slip: &UnitSlip) -> Value {
        json!({
            "unit": slip.unit.symbol(),
            "torque_nm": in_newton_metres(slip.torque),
            "utilisation": in_ratio(slip.utilisation),
            "text": self.slip_text(slip),
        })
    }

    fn stripping_keys(&self) -> Option<Value> {
        let (engagement, found) = self.stripping()?;
        Some(json!({
            "engagement_mm": in_millimetres(engagement.length),
            "into": engagement.material.name,
            "load_n": in_newtons(found.stripping.load()),
            "internal_load_n": in_newtons(found.stripping.internal_load),
            "external_load_n": in_newtons(found.stripping.external_load),
            "weaker_side": found.stripping.side().text(),
            "margin": in_ratio(found.margin),
            "bolt_breaks_first": found.bolt_breaks_first,
        }))
    }
}
