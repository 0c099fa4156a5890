//! What stands in the box of an entry, and beside it.

use super::super::Style;
use super::super::figure::{band_text, other_unit, resolution_of, stretch_text};
use crate::book::{BandState, Consensus, Dissent, ONE_VALUE, Page, TorqueInterval};
use crate::quantity::TorqueUnit;
use crate::report::style::{filled, wrapping};
use crate::report::words::orientation_text;

/// The torque in the box and what stands beside it. Where nothing is agreed by anybody who counts, no number stands in it.
fn headline(page: &Page, consensus: &Consensus, unit: TorqueUnit) -> (String, Vec<String>) {
    let resolution = resolution_of(consensus);
    let mut beside = Vec::new();
    let torque = match (consensus.state, consensus.band) {
        (BandState::Agreed | BandState::Thin, Some(band)) => {
            beside.push(backing(consensus, band));
            beside.extend(consensus.dissent.as_ref().map(Dissent::text));
            beside.extend(own_text(consensus));
            if consensus.is_sliver() {
                beside.push(ONE_VALUE.trim_start_matches("; ").to_owned());
            }
            if !page.is_by_feel() {
                beside.push(format!("also {}", band_text(consensus, other_unit(unit))));
            }
            if let Some(core) = consensus.core.filter(|core| core.issuers > band.issuers) {
                let aim = stretch_text(core, resolution, unit);
                beside.push(format!("best backed: {aim} by {} issuers", core.issuers));
            }
            if page.is_by_feel() {
                beside.push(PLAY_GONE.to_owned());
                beside.push(format!("{} is what it is said to take", band_text(consensus, unit)));
                BY_FEEL.to_owned()
            } else {
                band_text(consensus, unit)
            }
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
        _ => nothing(page, consensus, unit, &mut beside),
    };
    (torque, beside)
}

/// What stands in the box where nothing counts, or no torque is for the part; what there is to say stands beside it.
fn nothing(page: &Page, consensus: &Consensus, unit: TorqueUnit, beside: &mut Vec<String>) -> String {
    if page.has_no_torque() {
        beside.push(format!("NO TORQUE: {}", page.why_none()));
        beside.push("what it is set by stands above and below".to_owned());
        return "no torque".to_owned();
    }
    let state = consensus.state.word().to_uppercase();
    beside.push(format!("{state}: {}", page.why_none()));
    let given = consensus.orientation.as_ref();
    beside.extend(given.map(|given| orientation_text(given, unit)));
    if page.is_by_feel() {
        beside.push(PLAY_GONE.to_owned());
        BY_FEEL.to_owned()
    } else if given.is_some() {
        beside.push("expect about that on the part: nothing is judged or set by it".to_owned());
        "read the part".to_owned()
    } else {
        "ask the maker".to_owned()
    }
}

/// How many of the issuers speak by figures of the workshop's own; none where none does.
fn own_text(consensus: &Consensus) -> Option<String> {
    match consensus.own {
        0 => None,
        n => Some(format!("own: {n} of {} issuers by the workshop's own figures", consensus.issuers)),
    }
}

/// Who stands behind a band; behind a thin one who, when and of which hardware.
fn backing(consensus: &Consensus, band: TorqueInterval) -> String {
    match &consensus.backing {
        None => format!("AGREED: {} of {} issuers allow it", band.issuers, consensus.issuers),
        Some(backing) => format!("THIN: {}", backing.text()),
    }
}

/// What stands in the box where the hand decides.
const BY_FEEL: &str = "by feel";

/// What a figure is worth for a cap that takes the play out of a bearing.
const PLAY_GONE: &str = "until the play has just gone: it adjusts and does not hold";

/// What stands beside the box is wrapped, but never to less than so many columns.
const LEAST_ROOM: usize = 30;

pub(super) fn boxed(page: &Page, consensus: &Consensus, unit: TorqueUnit, style: &Style) -> String {
    let (torque, beside) = headline(page, consensus, unit);
    let width = textwrap::core::display_width(&torque) + 4;
    let mut lines = vec![
        format!("  ┏{}┓", "━".repeat(width)),
        format!("  ┃  {}  ┃", style.strong(&torque)),
        format!("  ┗{}┛", "━".repeat(width)),
    ];
    let room = style.width.saturating_sub(width + 6).clamp(LEAST_ROOM, 72);
    let wrap = |text: &String| filled(text, wrapping(room).subsequent_indent("  "));
    let beside: Vec<String> =
        beside.iter().flat_map(|text| wrap(text).lines().map(str::to_owned).collect::<Vec<_>>()).collect();
    for (index, beside) in beside.iter().enumerate() {
        match lines.get_mut(index) {
            Some(line) => *line += &format!("  {beside}"),
            None => lines.push(format!("{}{beside}", " ".repeat(width + 6))),
        }
    }
    lines.join("\n") + "\n"
}
