//! Clamp force against torque as a picture: the band between low and high friction, and the limits that it must not pass.
//! Black and grey on white; lines differ in their dashes, so that a copy on paper can be read. Lengths are in pixels.

use plotters::coord::types::RangedCoordf64;
use plotters::element::DashedPathElement;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use super::bolt::{BoltReport, kilonewtons};
use super::chart::{
    ChartError, EDGE, Ground, LINE, Lines, TEXT, WIDTH, decimals_of, draw_text, drawn, split,
};
use crate::joint::{in_newtons, limit_curve};
use crate::quantity::Torque;
use crate::quantity::tolerance::TOLERANCE;

/// Height of the field with its axes, and the room beside and below it.
const FIELD: i32 = 440;
const LEFT: i32 = 76;
const RIGHT: i32 = 40;
const BELOW: i32 = 36;
/// The field reaches this much above the load that tears the bolt.
const HEADROOM: f64 = 1.1;
/// Length of the sample of a line in the legend.
const SAMPLE: i32 = 56;
/// Half of the widest text above a line.
const MARK: i32 = 90;

/// How a line is drawn: dash, gap, width; without a gap it is whole.
type Dashes = (u32, u32, u32);

const YIELD: Dashes = (12, 6, 4);
const PROOF: Dashes = (3, 5, 3);
const ULTIMATE: Dashes = (26, 8, 3);
const GIVEN: Dashes = (1, 0, 3);

type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// The largest of 1, 2 and 5 times a power of ten that cuts `length` into at least `parts` parts.
pub fn nice_step(length: f64, parts: f64) -> f64 {
    let most = length / parts;
    let power = 10f64.powf(most.log10().floor());
    let factor =
        [5.0, 2.0].into_iter().find(|factor| factor * power <= most * (1.0 + TOLERANCE)).unwrap_or(1.0);
    factor * power
}

/// The picture of a sweep up to a torque, as SVG.
pub fn sweep_plot(report: &BoltReport, up_to: Torque) -> Result<String, ChartError> {
    let title = format!("Clamp force of {}", report.bolt_text());
    let head = Lines::new(&title, &[report.friction_text()]);
    let legend = legend(report);
    let texts: Vec<Lines> = legend.iter().map(|(_, text)| Lines::beside(text)).collect();
    // Two lines of marks above the field, the name of its axis below.
    let (top, marks) = (EDGE + head.height(), 3 * LINE);
    let rows: i32 = texts.iter().map(Lines::height).sum();
    let height = top + marks + FIELD + LINE + EDGE + rows + EDGE;
    drawn(height, &format!("{title}, {}", report.friction_text()), |ground| {
        head.draw(ground, (EDGE, EDGE))?;
        let field = split(ground, top).1;
        draw_text(&field, "Clamp force, kN", (EDGE, LINE / 2), false)?;
        let axis = format!("Torque, {}", report.shown);
        draw_text(&field, &axis, (i32::try_from(WIDTH).unwrap_or(0) / 2 - MARK / 2, marks + FIELD), false)?;
        draw_field(&field, report, up_to, marks)?;
        let mut y = top + marks + FIELD + LINE + EDGE;
        for ((dashes, _), text) in legend.iter().zip(&texts) {
            draw_sample(ground, *dashes, y)?;
            text.draw(ground, (EDGE + SAMPLE + 12, y))?;
            y += text.height();
        }
        Ok(())
    })
}

/// What is drawn and how it is said; the band has no line of its own.
fn legend(report: &BoltReport) -> Vec<(Option<Dashes>, String)> {
    let (bolt, band) = (&report.bolt, report.friction.band);
    let (low, high) = (band.low(), band.high());
    vec![
        (None, format!("clamp force, from friction {low} (upper edge) to {high} (lower edge)")),
        (Some(YIELD), "90 % of yield; tighten no further than where it meets low friction".to_owned()),
        (Some(PROOF), format!("proof load, {} kN", kilonewtons(bolt.proof_load()))),
        (Some(ULTIMATE), format!("the bolt tears, {} kN", kilonewtons(bolt.ultimate_load()))),
    ]
}

fn draw_sample(ground: &Ground<'_>, dashes: Option<Dashes>, y: i32) -> Result<(), ChartError> {
    let (from, to, middle) = (EDGE, EDGE + SAMPLE, y + TEXT / 2);
    let Some((dash, gap, width)) = dashes else {
        let corners = [(from, middle - 8), (to, middle + 8)];
        ground.draw(&Rectangle::new(corners, BLACK.mix(0.14).filled()))?;
        ground.draw(&Rectangle::new(corners, BLACK.stroke_width(2)))?;
        return Ok(());
    };
    let line = [(from, middle), (to, middle)];
    ground.draw(&DashedPathElement::new(line, dash, gap, BLACK.stroke_width(width)))?;
    Ok(())
}

fn draw_field(ground: &Ground<'_>, report: &BoltReport, up_to: Torque, marks: i32) -> Result<(), ChartError> {
    let shown = |torque: Torque| report.shown.value_of(torque);
    let (right, top) = (shown(up_to), in_newtons(report.bolt.ultimate_load()) / 1000.0 * HEADROOM);
    let field = split(&split(ground, marks).1, FIELD).0;
    let mut chart = ChartBuilder::on(&field)
        .margin_right(RIGHT)
        .y_label_area_size(LEFT)
        .x_label_area_size(BELOW)
        .build_cartesian_2d(0.0..right, 0.0..top)?;
    draw_band(&mut chart, report, (up_to, right, top))?;
    draw_limits(&mut chart, report, (right, top))?;
    let decimals = (decimals_of(right), decimals_of(top));
    chart
        .configure_mesh()
        .disable_mesh()
        .axis_style(BLACK.stroke_width(2))
        .label_style(("sans-serif", TEXT).into_font())
        .x_labels(8)
        .y_labels(8)
        .x_label_formatter(&|torque| format!("{torque:.*}", decimals.0))
        .y_label_formatter(&|force| format!("{force:.*}", decimals.1))
        .draw()?;
    let limit = report.torque_limit().low;
    let at_limit = format!("limit {} {}", report.limit_text(limit), report.shown);
    let given = report.at_torque.as_ref().map(|(torque, _)| (*torque, report.given_text(*torque)));
    let said = [(limit, at_limit, 1)].into_iter().chain(given.map(|(torque, text)| (torque, text, 2)));
    for (torque, text, line) in said {
        let x = chart.backend_coord(&(shown(torque), 0.0)).0;
        draw_mark(ground, &text, (x, marks - line * LINE))?;
    }
    Ok(())
}

/// The band from low to high friction, cut off where the field ends; both edges are straight lines from no torque on.
fn draw_band(
    chart: &mut Chart<'_, '_>,
    report: &BoltReport,
    (up_to, right, top): (Torque, f64, f64),
) -> Result<(), ChartError> {
    let (bolt, band) = (&report.bolt, report.friction.band);
    let [steep, flat] =
        [band.low(), band.high()].map(|friction| in_newtons(bolt.clamp_load(up_to, friction)) / 1000.0);
    let end = |force: f64| if force > top { (right * top / force, top) } else { (right, force) };
    let (upper, lower) = (end(steep), end(flat));
    let mut corners = vec![(0.0, 0.0), upper];
    if steep > top && flat <= top {
        corners.push((right, top));
    }
    corners.extend([lower, (0.0, 0.0)]);
    chart.draw_series([Polygon::new(corners.clone(), BLACK.mix(0.14))])?;
    for edge in [upper, lower] {
        chart.draw_series([PathElement::new(vec![(0.0, 0.0), edge], BLACK.stroke_width(2))])?;
    }
    Ok(())
}

fn draw_limits(
    chart: &mut Chart<'_, '_>,
    report: &BoltReport,
    (right, top): (f64, f64),
) -> Result<(), ChartError> {
    let kilo = |force| in_newtons(force) / 1000.0;
    let shown = |torque: Torque| report.shown.value_of(torque);
    let bolt = &report.bolt;
    let across = |force: f64| vec![(0.0, force), (right, force)];
    let up = |torque: Torque| vec![(shown(torque), 0.0), (shown(torque), top)];
    let curve = limit_curve(bolt, report.friction.band);
    let curve = curve.into_iter().map(|(torque, force)| (shown(torque), kilo(force))).collect();
    let mut lines = vec![
        (across(kilo(bolt.proof_load())), PROOF),
        (across(kilo(bolt.ultimate_load())), ULTIMATE),
        (curve, YIELD),
        (up(report.torque_limit().low), YIELD),
    ];
    lines.extend(report.at_torque.as_ref().map(|(torque, _)| (up(*torque), GIVEN)));
    for (line, (dash, gap, width)) in lines {
        chart.draw_series(DashedLineSeries::new(line, dash, gap, BLACK.stroke_width(width)))?;
    }
    Ok(())
}

/// What a vertical line is, above it and kept inside the picture.
fn draw_mark(ground: &Ground<'_>, text: &str, (x, y): (i32, i32)) -> Result<(), ChartError> {
    let x = x.clamp(MARK, i32::try_from(WIDTH).unwrap_or(i32::MAX) - MARK);
    let font = ("sans-serif", TEXT, FontStyle::Bold).into_font().color(&BLACK);
    let style = font.pos(Pos::new(HPos::Center, VPos::Top));
    Ok(ground.draw(&Text::new(text.to_owned(), (x, y), style))?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_cut_into_enough_parts() {
        for (length, parts, step) in [
            (8.0, 8.0, 1.0),
            (7.9, 8.0, 0.5),
            (44.0, 8.0, 5.0),
            (230.0, 10.0, 20.0),
            (40.0, 8.0, 5.0),
            (1.6, 8.0, 0.2),
        ] {
            assert!(
                (nice_step(length, parts) - step).abs() < 1e-9 * step,
                "{length}: {}",
                nice_step(length, parts)
            );
        }
    }
}
