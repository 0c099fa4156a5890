//! The load of every bolt after every action, as the loss model has it.

use serde::Serialize;

use super::{OrderReport, fraction};
use crate::report::{Style, columns, records};
use crate::sequence::{AtLosses, Plan, StepAction};

/// One turn of the wrench and the loads after it, by bolt number, as fractions of the target.
#[derive(Debug, Serialize)]
pub(super) struct ActionLine {
    pub(super) pass: usize,
    pub(super) step: usize,
    bolt: usize,
    /// Whether the bolt moves at the nominal loss.
    moved: bool,
    loads_low: Vec<f64>,
    loads_nominal: Vec<f64>,
    loads_high: Vec<f64>,
}

pub(super) fn action_lines(plan: &Plan) -> Vec<ActionLine> {
    let AtLosses { low, nominal, high } = plan.actions();
    let loads = |action: &StepAction| action.loads.iter().copied().map(fraction).collect();
    let mut step = 0;
    let mut pass = 0;
    let lines = nominal.iter().zip(low.iter().zip(&high)).map(|(nominal, (low, high))| {
        step = if nominal.pass + 1 == pass { step + 1 } else { 1 };
        pass = nominal.pass + 1;
        ActionLine {
            pass,
            step,
            bolt: nominal.bolt.number(),
            moved: nominal.moved,
            loads_low: loads(low),
            loads_nominal: loads(nominal),
            loads_high: loads(high),
        }
    });
    lines.collect()
}

/// The loads at the nominal loss as a table.
pub(super) fn text(report: &OrderReport, style: &Style) -> String {
    let mut header = vec!["step".to_owned(), "turned".to_owned()];
    header.extend((1..=report.bolts()).map(|bolt| format!("({bolt})")));
    let rows = report.explain.iter().map(|line| {
        let turned = if line.moved { format!("bolt {}", line.bolt) } else { format!("{} holds", line.bolt) };
        let mut row = vec![format!("{}.{}", line.pass, line.step), turned];
        row.extend(line.loads_nominal.iter().map(|load| format!("{:.1}", load * 100.0)));
        row
    });
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let said = format!(
        "Load of every bolt after every action, in % of the target, at a loss of {:.0} %:",
        fraction(report.joint.bolts.kind.parameters.losses.likely().nominal) * 100.0
    );
    style.wrapped("", &said) + &columns(&records(&header, rows), style)
}
