//! An order as text: first things first, the passes, and, where asked for, what to expect of them.

use uom::si::f64::Ratio;

use super::parts::ByHand;
use super::{BEFORE, OrderReport, explain, fraction};
use crate::book::{Phase, Way};
use crate::report::{Style, columns, records};
use crate::report::{TOO_MUCH, turning_warning};
use crate::sequence::{ClosedSide, diagram};

/// What comes before, the joint to be set first, then the joint itself.
pub(super) fn text(report: &OrderReport, style: &Style) -> String {
    let rule = "The figure on the part and its maker's instructions come first.";
    let mut out = headline("", report, style) + &style.listed("Rule", &[rule]) + &body(report, style);
    let is_shared = report.bolts() > 1 && report.missing.is_none();
    if !report.explain.is_empty() {
        if is_shared {
            out += "\n";
            out += &expectation(report, style);
        }
        out += "\n";
        out += &explain::text(report, style);
    } else if is_shared {
        out += &style.listed("Note", &report.notes_to_act());
        out +=
            &style.listed("More", &["`--explain` shows the loads that are predicted, and what is assumed."]);
    }
    out
}

fn headline(start: &str, report: &OrderReport, style: &Style) -> String {
    let without = if report.joint.bolts.kind.way == Way::UntilPlayGone { "by feel" } else { "read the part" };
    let specified = report.joint.specified.as_deref().unwrap_or(without);
    let bad = if report.too_much.is_some() { format!("{}: ", style.bad(TOO_MUCH)) } else { String::new() };
    let name = style.strong(report.joint.name());
    style.wrapped(start, &format!("{bad}{name}: {specified} ({})", report.joint.ground))
}

/// What is to be done, from the preparation to the verification.
fn body(report: &OrderReport, style: &Style) -> String {
    let joint = &report.joint;
    let mut out = style.listed("Note", &report.remarks);
    out += &style.listed("Now", report.too_much.as_ref().map(|too_much| too_much.next).as_slice());
    out += &style.listed("Turn", turning_warning(joint.bolts.hand).as_slice());
    out += &style.listed("Before", &joint.phases(BEFORE));
    if let Some(first) = &report.first {
        out += &format!("\n{}{}", headline("FIRST  ", first, style), body(first, style));
        out += &format!("\n{}", headline("THEN   ", report, style));
    }
    out += &style.listed("Next", &joint.phases(&[Phase::Next]));
    out += &style.listed("Watch", &joint.phases(&[Phase::During]));
    out += &style.listed("Caution", &joint.phases(&[Phase::Caution]));
    if let Some(from) = report.from {
        let said = format!("step {}.{} on; what comes before it is taken as done.", from.pass, from.step);
        out += &style.listed("From", &[said]);
    }
    out += &drawn(report, style);
    match &report.missing {
        Some(missing) => out += &style.listed("Set", &[missing]),
        None => out += &passes(report, style),
    }
    out + &style.listed("After", &joint.phases(&[Phase::After]))
}

/// Where the bolts are, and which of them close first.
fn drawn(report: &OrderReport, style: &Style) -> String {
    let mut out = "\n".to_owned();
    if report.bolts() > 1 {
        let drawn = diagram(&report.joint.bolts.layout);
        let mut lines: Vec<&str> = drawn.lines().collect();
        // Lines are high enough without a second empty one.
        lines.dedup_by(|line, before| line.is_empty() && before.is_empty());
        for line in lines {
            out += format!("    {line}").trim_end();
            out += "\n";
        }
        out += &style.wrapped("    ", &format!("numbered {}", report.joint.bolts.layout.numbering()));
    }
    if let Some(closed) = report.closed_side() {
        let (pair, other) = match closed {
            ClosedSide::Top => ("upper", "bottom"),
            ClosedSide::Bottom => ("lower", "top"),
        };
        let said = format!(
            "taken to be the {pair} pair. The maker's marking says which pair it is; for the other one say \
             `--closed-side {other}`."
        );
        out += &style.listed("Closed", &[said]);
    }
    if report.bolts() > 1 {
        out += "\n";
    }
    out
}

/// A line for each pass: what is set, and the bolts as they are turned.
fn passes(report: &OrderReport, style: &Style) -> String {
    let by_hand = |hand: &ByHand| {
        let watch = "crosswise, until every head touches";
        ["0".to_owned(), "by hand".to_owned(), numbered(&hand.sequence), String::new(), watch.to_owned()]
            .to_vec()
    };
    let mut rows: Vec<Vec<String>> = report.by_hand.iter().map(by_hand).collect();
    let mut watched = "";
    for pass in &report.passes {
        let watch = if watched == pass.watch { "" } else { pass.watch };
        watched = pass.watch;
        let bolts: Vec<usize> = pass.steps.iter().map(|step| step.bolt).collect();
        let setting = if report.joint.bolts.kind.way == Way::UntilPlayGone {
            format!("at most {}", pass.setting_text)
        } else {
            pass.setting_text.clone()
        };
        // What is gone on with in the middle of a pass begins at a step of it.
        let begins = pass.steps.first().map_or(1, |step| step.step);
        let number = if begins > 1 { format!("{}.{begins}", pass.pass) } else { pass.pass.to_string() };
        rows.push(vec![
            number,
            setting,
            numbered(&bolts),
            format!("{:.0} %", pass.percent),
            watch.to_owned(),
        ]);
    }
    let mut rows = records(&["pass", "set to", "bolts", "of full", "watch"], rows);
    if report.bolts() == 1 {
        for row in &mut rows {
            drop(row.remove(2));
        }
    }
    columns(&rows, style)
}

fn numbered(bolts: &[usize]) -> String {
    bolts.iter().map(ToString::to_string).collect::<Vec<_>>().join("-")
}

/// The predicted spread of every pass and, apart from it, what it leaves out.
fn expectation(report: &OrderReport, style: &Style) -> String {
    let percent = |part: f64| format!("{:.1} %", part * 100.0);
    let rows = report.passes.iter().map(|pass| {
        vec![
            pass.pass.to_string(),
            pass.setting_text.clone(),
            percent(pass.spread_low),
            percent(pass.spread_nominal),
            percent(pass.spread_high),
        ]
    });
    let mut out = style.wrapped(
        "",
        "Predicted spread of the loads after each pass through the bolts' hold on each other alone \
         (largest less smallest, in % of the target load):",
    );
    out += &columns(&records(&["pass", "set to", "low loss", "likely loss", "high loss"], rows), style);
    if let Some(goal) = report.shared_goal() {
        let unknowns = goal.plan.unknowns;
        let whole_percent = |part: Ratio| format!("{:.0}", fraction(part) * 100.0);
        out += &style.listed(
            "Apart",
            &[
                format!(
                    "Not in these figures: friction that differs from bolt to bolt spreads the loads by \
                     about {} % by itself, however often a pass is repeated.",
                    whole_percent(unknowns.friction_spread)
                ),
                format!(
                    "Not in these figures: a bolt that has lost less than {} to {} % may stick: a click without \
                     movement proves no more than that.",
                    whole_percent(unknowns.break_away_low),
                    whole_percent(unknowns.break_away_high)
                ),
            ],
        );
    }
    out += &style.listed("Note", &report.notes());
    out + &style.listed("Assumed", &[assumed(report)])
}

fn assumed(report: &OrderReport) -> String {
    let kind = &report.joint.bolts.kind;
    let losses = kind.parameters.losses.likely();
    let [low, nominal, high] = [losses.low, losses.nominal, losses.high].map(|loss| fraction(loss) * 100.0);
    let mut said = format!(
        "The first bolt loses {low:.0}, {nominal:.0} or {high:.0} % (low, likely, high) of its load while the \
         others come up. {}: {}. `--loss` takes another figure.",
        match kind.grade.as_str() {
            "assumption" => "Not measured",
            "given" => "Known",
            _ => "Published",
        },
        kind.source
    );
    if low < 0.0 {
        said += " A loss below 0 is a gain.";
    }
    if let Some(goal) = report.shared_goal() {
        let needed = goal.plan.full_passes.needed;
        let passes = [(needed.low, "low"), (needed.nominal, "likely"), (needed.high, "high")];
        let count = |(passes, loss): (Option<usize>, &str)| match passes {
            Some(passes) => format!("{passes} at the {loss} loss"),
            None => format!("never at the {loss} loss"),
        };
        let within = (goal.within * 1e4).round() / 1e2;
        said += &format!(" Full-torque passes that reach {within} %: {}.", passes.map(count).join(", "));
    }
    said
}
