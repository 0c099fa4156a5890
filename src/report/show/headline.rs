//! What stands in the box of an entry, and beside it.

use super::super::Style;
use super::super::figure::{band_text, other_unit, resolution_of, stretch_text};
use crate::book::{BandState, Consensus, ONE_VALUE, Page, TorqueInterval, Way, why_none};
use crate::quantity::TorqueUnit;

/// The torque in the box and what stands beside it. A disputed entry or one without a value shows no number.
fn headline(page: &Page, consensus: &Consensus, unit: TorqueUnit) -> (String, Vec<String>) {
    let resolution = resolution_of(consensus);
    let mut beside = Vec::new();
    let torque = match (consensus.state, consensus.band) {
        (BandState::Agreed | BandState::Thin, Some(band)) => {
            beside.push(backing(page, consensus, band));
            beside.extend(own_text(consensus));
            if consensus.is_sliver() {
                beside.push(ONE_VALUE.trim_start_matches("; ").to_owned());
            }
            beside.push(format!("also {}", band_text(consensus, other_unit(unit))));
            if let Some(core) = consensus.core.filter(|core| core.issuers > band.issuers) {
                let aim = stretch_text(core, resolution, unit);
                beside.push(format!("best backed: {aim} by {} issuers", core.issuers));
            }
            band_text(consensus, unit)
        }
        (BandState::Disputed, _) => {
            beside.push("DISPUTED: the published figures do not meet".to_owned());
            beside.extend(own_text(consensus));
            for stretch in &consensus.stretches {
                let text = stretch_text(*stretch, resolution, unit);
                beside.push(format!("{} of {} issuers: {text}", stretch.issuers, consensus.issuers));
            }
            "read the part".to_owned()
        }
        _ => {
            beside.push(format!("NONE: {}", why_none(&page.evidence)));
            if page.kind.way == Way::UntilPlayGone {
                beside.push("until the play has just gone: it adjusts and does not hold".to_owned());
                "by feel".to_owned()
            } else {
                "ask the maker".to_owned()
            }
        }
    };
    (torque, beside)
}

/// How many of the issuers speak by figures of the workshop's own; none where none does.
fn own_text(consensus: &Consensus) -> Option<String> {
    match consensus.own {
        0 => None,
        n => Some(format!("own: {n} of {} issuers by the workshop's own figures", consensus.issuers)),
    }
}

/// Who stands behind a band.
fn backing(page: &Page, consensus: &Consensus, band: TorqueInterval) -> String {
    match consensus.state {
        BandState::Agreed => format!("AGREED: {} of {} issuers allow it", band.issuers, consensus.issuers),
        _ => format!("THIN: on the word of {} alone", page.lone_issuer()),
    }
}

pub(super) fn boxed(page: &Page, consensus: &Consensus, unit: TorqueUnit, style: &Style) -> String {
    let (torque, beside) = headline(page, consensus, unit);
    let width = textwrap::core::display_width(&torque) + 4;
    let mut lines = vec![
        format!("  ┏{}┓", "━".repeat(width)),
        format!("  ┃  {}  ┃", style.strong(&torque)),
        format!("  ┗{}┛", "━".repeat(width)),
    ];
    for (index, beside) in beside.iter().enumerate() {
        match lines.get_mut(index) {
            Some(line) => *line += &format!("  {beside}"),
            None => lines.push(format!("{}{beside}", " ".repeat(width + 6))),
        }
    }
    lines.join("\n") + "\n"
}
