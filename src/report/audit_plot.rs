//! A picture of an audit: how the readings of each entry are spread against its band.
//!
//! One strip per entry, each on its own scale from 0 to twice the largest torque that its limits name.
//! Black on white: the limits are lines, the allowed torques a hatched ground, the readings bars.

use super::audit_row::end_texts;
use super::figure::significant_text;
use crate::audit::{EntrySummary, Histogram, Summary};
use crate::quantity::{TorqueUnit, newton_metres};
use crate::sequence::svg::escaped;

const WIDTH: f64 = 900.0;
/// Room for names on the left.
const LEFT: f64 = 330.0;
const RIGHT: f64 = 30.0;
const TOP: f64 = 70.0;
const STRIP: f64 = 64.0;
/// Height of the tallest bar.
const BAR: f64 = 40.0;

/// Width of a band whose two figures would run into each other.
const NARROW: f64 = 40.0;

/// The picture as an SVG document; entries without known limits or without readings are left out.
pub fn audit_plot(summary: &Summary, unit: TorqueUnit) -> String {
    let strips: Vec<(&String, &EntrySummary, &Histogram)> = summary
        .entries
        .iter()
        .filter_map(|(entry, found)| Some((entry, found, found.histogram.as_ref()?)))
        .filter(|(_, _, histogram)| histogram.bins.iter().any(|count| *count > 0))
        .collect();
    let height = strips.iter().fold(TOP, |height, _| height + STRIP) + 20.0;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height}\" width=\"{WIDTH}\" \
         height=\"{height}\" font-family=\"sans-serif\" role=\"img\">\n\
         <title>Readings against their bands</title>\n\
         <defs><pattern id=\"band\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
         <path d=\"M0 6 L6 0\" stroke=\"black\" stroke-width=\"0.5\"/></pattern></defs>\n\
         <rect width=\"{WIDTH}\" height=\"{height}\" fill=\"white\"/>\n\
         <text x=\"20\" y=\"32\" font-size=\"20\" font-weight=\"bold\">Readings against their bands</text>\n\
         <text x=\"20\" y=\"54\" font-size=\"14\">Bars: tightenings by torque in {unit}; the last one holds all \
         beyond. Hatched: what the entry allows.</text>\n"
    );
    let mut top = TOP;
    for (entry, found, histogram) in strips {
        svg += &strip_svg(top, entry, found, histogram, unit);
        top += STRIP;
    }
    svg + "</svg>\n"
}

fn strip_svg(top: f64, entry: &str, found: &EntrySummary, histogram: &Histogram, unit: TorqueUnit) -> String {
    let (foot, right) = (top + BAR + 4.0, WIDTH - RIGHT);
    let at = |nm: f64| LEFT + (nm / histogram.reach_nm).clamp(0.0, 1.0) * (right - LEFT);
    let (from, to) = (at(found.low_nm.unwrap_or(0.0)), at(found.high_nm.unwrap_or(histogram.reach_nm)));
    let (counts, width) = (found.counts(), to - from);
    let mut svg = format!(
        "<text x=\"20\" y=\"{:.1}\" font-size=\"14\">{}</text>\n\
         <text x=\"20\" y=\"{foot:.1}\" font-size=\"12\">{} rows, {} inside, {} outside</text>\n\
         <rect x=\"{from:.1}\" y=\"{top:.1}\" width=\"{width:.1}\" height=\"{:.1}\" fill=\"url(#band)\"/>\n",
        foot - 18.0,
        escaped(entry),
        counts.rows,
        counts.inside,
        counts.low + counts.high,
        foot - top
    );
    svg += &bars_svg(foot, right - LEFT, histogram);
    svg += &format!(
        "<path d=\"M{LEFT} {foot:.1} H{right:.1}\" stroke=\"black\" stroke-width=\"1\" fill=\"none\"/>\n"
    );
    let ends = (found.low_nm.map(newton_metres), found.high_nm.map(newton_metres));
    let (low, high) = end_texts(ends, unit);
    // The figures of a narrow band stand apart from each other.
    let anchors = if width < NARROW { ["end", "start"] } else { ["middle"; 2] };
    let (below, under) = (foot + 3.0, foot + 14.0);
    for (x, shown, anchor) in [(from, low, anchors[0]), (to, high, anchors[1])] {
        if !shown.is_empty() {
            svg += &format!(
                "<path d=\"M{x:.1} {top:.1} V{below:.1}\" stroke=\"black\" stroke-width=\"1.5\" fill=\"none\"/>\
                 <text x=\"{x:.1}\" y=\"{under:.1}\" font-size=\"11\" text-anchor=\"{anchor}\">{shown}</text>\n"
            );
        }
    }
    let reach = significant_text(newton_metres(histogram.reach_nm), unit, 3);
    for (x, shown) in [(LEFT, "0"), (right, reach.as_str())] {
        svg += &format!(
            "<text x=\"{x:.1}\" y=\"{under:.1}\" font-size=\"11\" text-anchor=\"middle\">{shown}</text>\n"
        );
    }
    svg
}

/// The bars; the tallest bin fills the strip, and the last one holds all beyond the scale.
fn bars_svg(foot: f64, room: f64, histogram: &Histogram) -> String {
    #[expect(clippy::cast_precision_loss, reason = "a bar is drawn to a tenth of a pixel")]
    let sizes: Vec<f64> = histogram.bins.iter().map(|count| *count as f64).collect();
    let tallest = sizes.iter().copied().fold(1.0, f64::max);
    #[expect(clippy::cast_precision_loss, reason = "some eighty bins")]
    let width = room / (sizes.len().max(2) - 1) as f64;
    let (mut svg, mut x) = (String::new(), LEFT);
    for size in sizes {
        if size > 0.0 {
            // One reading among millions is still seen.
            let height = (size / tallest * BAR).max(1.0);
            let (y, width) = (foot - height, (width - 1.0).max(1.0));
            svg += &format!(
                "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"{height:.1}\" fill=\"black\"/>\n"
            );
        }
        x += width;
    }
    svg
}
