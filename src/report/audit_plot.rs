//! A picture of an audit: how the readings of each entry are spread against its band.
//!
//! A field for each entry, on its own scale from 0 to twice the largest torque that its limits name. What is allowed is a
//! grey band between dashed lines, the readings are black bars.

use plotters::prelude::*;

use super::audit_row::end_texts;
use super::chart::{ChartError, EDGE, Ground, LINE, Lines, TEXT, decimals_of, draw_text, drawn, split};
use crate::audit::{EntrySummary, Histogram, Summary};
use crate::quantity::{TorqueUnit, newton_metres};

/// Height of the bars of an entry, and of the torques below them.
const FIELD: i32 = 100;
const TORQUES: i32 = 34;
const STRIP: i32 = 2 * LINE + FIELD + TORQUES + EDGE;
/// The least height of a bar, as a share of the tallest: one reading among millions is still seen.
const LEAST: f64 = 0.02;

/// The picture as an SVG document; entries without known limits or without readings are left out.
/// [`ChartError::Empty`] where none is left.
pub fn audit_plot(summary: &Summary, unit: TorqueUnit) -> Result<String, ChartError> {
    let strips: Vec<(&String, &EntrySummary, &Histogram)> = summary
        .entries
        .iter()
        .filter_map(|(entry, found)| Some((entry, found, found.histogram.as_ref()?)))
        .filter(|(_, _, histogram)| histogram.bins.iter().any(|count| *count > 0))
        .collect();
    if strips.is_empty() {
        return Err(ChartError::Empty("no tightening is of an entry with limits".to_owned()));
    }
    let title = "Readings against their bands";
    let about = format!(
        "Bars: tightenings by torque in {unit}; the last one holds all beyond. Grey: what the entry allows."
    );
    let head = Lines::new(title, &[about]);
    let top = EDGE + head.height() + EDGE;
    let height = top + STRIP * i32::try_from(strips.len()).unwrap_or(i32::MAX / STRIP - 100);
    drawn(height, title, |ground| {
        head.draw(ground, (EDGE, EDGE))?;
        let mut rest = split(ground, top).1;
        for (entry, found, histogram) in strips {
            let (mine, below) = split(&rest, STRIP);
            draw_strip(&mine, entry, (found, histogram), unit)?;
            rest = below;
        }
        Ok(())
    })
}

fn draw_strip(
    ground: &Ground<'_>,
    entry: &str,
    (found, histogram): (&EntrySummary, &Histogram),
    unit: TorqueUnit,
) -> Result<(), ChartError> {
    let counts = found.counts();
    let limits = (found.low_nm.map(newton_metres), found.high_nm.map(newton_metres));
    let allowed = match end_texts(limits, unit) {
        (low, high) if low.is_empty() => format!("at most {high}"),
        (low, high) if high.is_empty() => format!("at least {low}"),
        (low, high) => format!("{low}–{high}"),
    };
    let outside = counts.low + counts.high;
    let said = format!("{allowed} {unit}; {} rows, {} inside, {outside} outside", counts.rows, counts.inside);
    draw_text(ground, entry, (EDGE, 0), true)?;
    draw_text(ground, &said, (EDGE, LINE), false)?;
    draw_bars(&split(ground, 2 * LINE).1, (found, histogram), unit)
}

fn draw_bars(
    ground: &Ground<'_>,
    (found, histogram): (&EntrySummary, &Histogram),
    unit: TorqueUnit,
) -> Result<(), ChartError> {
    #[expect(clippy::cast_precision_loss, reason = "a bar is drawn to a pixel")]
    let sizes: Vec<f64> = histogram.bins.iter().map(|count| *count as f64).collect();
    let tallest = sizes.iter().copied().fold(1.0, f64::max);
    let shown = |nm: f64| unit.value_of(newton_metres(nm));
    #[expect(clippy::cast_precision_loss, reason = "some eighty bins")]
    let width = shown(histogram.reach_nm) / (sizes.len().max(2) - 1) as f64;
    let end = shown(histogram.reach_nm) + width;
    let mut chart = ChartBuilder::on(ground)
        .margin_left(EDGE)
        .margin_right(2 * EDGE)
        .margin_top(4)
        .margin_bottom(EDGE)
        .x_label_area_size(TORQUES)
        .build_cartesian_2d(0.0..end, 0.0..tallest)?;
    let (low, high) = (found.low_nm.map(shown), found.high_nm.map(shown));
    let band = [(low.unwrap_or(0.0), 0.0), (high.unwrap_or(end).min(end), tallest)];
    chart.draw_series([Rectangle::new(band, BLACK.mix(0.14).filled())])?;
    for limit in [low, high].into_iter().flatten() {
        let line = [(limit, 0.0), (limit, tallest)];
        chart.draw_series(DashedLineSeries::new(line, 8, 5, BLACK.stroke_width(2)))?;
    }
    let mut left = 0.0;
    let bars = sizes.iter().map(|size| {
        let place = left;
        left += width;
        (place, if *size > 0.0 { size.max(tallest * LEAST) } else { 0.0 })
    });
    let bars = bars.filter(|(_, height)| *height > 0.0);
    // A gap between bars, so that they can be counted.
    chart.draw_series(bars.map(|(at, height)| {
        Rectangle::new([(at + 0.1 * width, 0.0), (at + 0.9 * width, height)], BLACK.filled())
    }))?;
    let decimals = decimals_of(end);
    chart
        .configure_mesh()
        .disable_mesh()
        .disable_y_axis()
        .axis_style(BLACK.stroke_width(2))
        .label_style(("sans-serif", TEXT).into_font())
        .x_labels(6)
        .x_label_formatter(&|torque| format!("{torque:.decimals$}"))
        .draw()?;
    Ok(())
}
