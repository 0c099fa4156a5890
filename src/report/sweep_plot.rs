//! Clamp force against torque as an SVG plot: the band between low and high friction, and the limits
//! that it must not pass. Black on white; lines differ in their dashes, so that a copy on paper can be
//! read. Lengths are in pixels.

use std::fmt::{self, Write};

use super::bolt::{BoltReport, kilonewtons};
use crate::joint::{Force, in_newtons, limit_curve};
use crate::quantity::Torque;
use crate::quantity::tolerance::TOLERANCE;
use crate::sequence::svg::{self, escaped};

/// The picture, and the field of the axes in it.
const WIDTH: f64 = 840.0;
const HEIGHT: f64 = 690.0;
const LEFT: f64 = 90.0;
const RIGHT: f64 = 810.0;
const TOP: f64 = 110.0;
const BOTTOM: f64 = 510.0;
const TITLE: f64 = 22.0;
const TEXT: f64 = 17.0;
/// About how many marks an axis has.
const MARKS: f64 = 8.0;
/// The field reaches this much above the load that tears the bolt.
const HEADROOM: f64 = 1.1;

/// Dashes of the lines: of 90 % of yield, of the proof load, of the ultimate load, of the torque.
const YIELD: &str = "12 6";
const PROOF: &str = "2 5";
const ULTIMATE: &str = "16 5 3 5";
const GIVEN: &str = "none";

/// The largest of 1, 2 and 5 times a power of ten that cuts `length` into at least `parts` parts.
pub fn nice_step(length: f64, parts: f64) -> f64 {
    let most = length / parts;
    let power = 10f64.powf(most.log10().floor());
    let factor =
        [5.0, 2.0].into_iter().find(|factor| factor * power <= most * (1.0 + TOLERANCE)).unwrap_or(1.0);
    factor * power
}

pub fn sweep_plot(report: &BoltReport, up_to: Torque) -> String {
    let top = in_newtons(report.bolt.ultimate_load()) / 1000.0 * HEADROOM;
    let plot = Plot { report, up_to, top };
    let mut svg = String::new();
    // Writing to a String does not fail.
    let _ = plot.write(&mut svg);
    svg
}

struct Plot<'a> {
    report: &'a BoltReport,
    /// Right end of the torque axis.
    up_to: Torque,
    /// Upper end of the force axis, in kN.
    top: f64,
}

impl Plot<'_> {
    fn write(&self, out: &mut String) -> fmt::Result {
        let title = format!("Clamp force of {}", self.report.bolt_text());
        let subtitle = self.report.friction_text();
        let size = format!("font-size=\"{TEXT}\"");
        svg::open(out, (WIDTH, HEIGHT), &size, &format!("{title}, {subtitle}"))?;
        writeln!(
            out,
            "<defs><pattern id=\"band\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><rect width=\"7\" height=\"7\" fill=\"#ffffff\"/><path d=\"M0 0 V7\" \
             stroke=\"#000000\" stroke-width=\"1\"/></pattern><clipPath id=\"field\"><rect x=\"{LEFT}\" \
             y=\"{TOP}\" width=\"{}\" height=\"{}\"/></clipPath></defs>",
            RIGHT - LEFT,
            BOTTOM - TOP
        )?;
        text(out, (LEFT, 32.0), "start", &format!("font-size=\"{TITLE}\" font-weight=\"bold\""), &title)?;
        text(out, (LEFT, 58.0), "start", "", &subtitle)?;
        self.write_axes(out)?;
        self.write_band(out)?;
        self.write_limits(out)?;
        self.write_legend(out)?;
        writeln!(out, "</svg>")
    }

    fn x(&self, torque: Torque) -> f64 {
        LEFT + (RIGHT - LEFT) * (torque / self.up_to).value
    }

    fn y(&self, kilonewtons: f64) -> f64 {
        BOTTOM - (BOTTOM - TOP) * kilonewtons / self.top
    }

    fn place(&self, torque: Torque, force: Force) -> String {
        format!("{:.1},{:.1}", self.x(torque), self.y(in_newtons(force) / 1000.0))
    }

    fn write_axes(&self, out: &mut String) -> fmt::Result {
        writeln!(out, "<g stroke=\"#000000\" stroke-width=\"2\">")?;
        line(out, (LEFT, BOTTOM), (RIGHT, BOTTOM), "")?;
        line(out, (LEFT, TOP), (LEFT, BOTTOM), "")?;
        let unit = self.report.shown;
        let across =
            marks(unit.value_of(self.up_to)).into_iter().map(|(end, shown)| (self.x(unit.of(end)), shown));
        let along = marks(self.top).into_iter().map(|(end, shown)| (self.y(end), shown));
        for (x, _) in across.clone() {
            line(out, (x, BOTTOM), (x, BOTTOM + 7.0), "")?;
        }
        for (y, _) in along.clone() {
            line(out, (LEFT - 7.0, y), (LEFT, y), "")?;
        }
        writeln!(out, "</g>")?;
        for (x, shown) in across {
            text(out, (x, BOTTOM + 26.0), "middle", "", &shown)?;
        }
        for (y, shown) in along {
            text(out, (LEFT - 12.0, y + 0.35 * TEXT), "end", "", &shown)?;
        }
        let middle = f64::midpoint(LEFT, RIGHT);
        text(out, (middle, BOTTOM + 52.0), "middle", "", &format!("Torque, {}", self.report.shown))?;
        let turned = format!("transform=\"rotate(-90 28 {:.1})\"", f64::midpoint(TOP, BOTTOM));
        text(out, (28.0, f64::midpoint(TOP, BOTTOM)), "middle", &turned, "Clamp force, kN")
    }

    /// The band from low to high friction; both edges are straight lines from no torque on.
    fn write_band(&self, out: &mut String) -> fmt::Result {
        let (bolt, band) = (&self.report.bolt, self.report.friction.band);
        let [steep, flat] = [band.low(), band.high()].map(|mu| bolt.clamp_load(self.up_to, mu));
        let origin = format!("{LEFT:.1},{BOTTOM:.1}");
        writeln!(
            out,
            "<polygon clip-path=\"url(#field)\" points=\"{origin} {} {}\" fill=\"url(#band)\" stroke=\"#000000\" \
             stroke-width=\"2\"/>",
            self.place(self.up_to, steep),
            self.place(self.up_to, flat)
        )
    }

    fn write_limits(&self, out: &mut String) -> fmt::Result {
        let (bolt, limit) = (&self.report.bolt, self.report.torque_limit());
        writeln!(out, "<g clip-path=\"url(#field)\" fill=\"none\" stroke=\"#000000\" stroke-width=\"2.5\">")?;
        let (proof, ultimate) = (bolt.proof_load(), bolt.ultimate_load());
        for (load, dashes) in [(proof, PROOF), (ultimate, ULTIMATE)] {
            let y = self.y(in_newtons(load) / 1000.0);
            line(out, (LEFT, y), (RIGHT, y), dashes)?;
        }
        let curve = limit_curve(bolt, self.report.friction.band);
        let points: Vec<String> = curve.iter().map(|&(torque, force)| self.place(torque, force)).collect();
        writeln!(
            out,
            "<polyline points=\"{}\" stroke-width=\"5\" stroke-dasharray=\"{YIELD}\"/>",
            points.join(" ")
        )?;
        line(out, (self.x(limit.low), TOP), (self.x(limit.low), BOTTOM), YIELD)?;
        if let Some((torque, _)) = self.report.at_torque {
            line(out, (self.x(torque), TOP), (self.x(torque), BOTTOM), GIVEN)?;
        }
        writeln!(out, "</g>")?;
        let at_limit = format!("limit {} {}", self.report.limit_text(limit.low), self.report.shown);
        mark(out, self.x(limit.low), TOP - 8.0, &at_limit)?;
        if let Some((torque, _)) = self.report.at_torque {
            mark(out, self.x(torque), TOP - 28.0, &self.report.given_text(torque))?;
        }
        Ok(())
    }

    fn write_legend(&self, out: &mut String) -> fmt::Result {
        let (bolt, band) = (&self.report.bolt, self.report.friction.band);
        let rows = [
            (
                None,
                format!(
                    "clamp force, from friction {} (upper edge) to {} (lower edge)",
                    band.low(),
                    band.high()
                ),
            ),
            (
                Some((YIELD, 4.0)),
                "90 % of yield; tighten no further than where it meets low friction".to_owned(),
            ),
            (Some((PROOF, 2.5)), format!("proof load, {} kN", kilonewtons(bolt.proof_load()))),
            (Some((ULTIMATE, 2.5)), format!("the bolt tears, {} kN", kilonewtons(bolt.ultimate_load()))),
        ];
        for (index, (dashes, said)) in (0u32..).zip(&rows) {
            let y = BOTTOM + 84.0 + 24.0 * f64::from(index);
            match dashes {
                None => writeln!(
                    out,
                    "<rect x=\"{LEFT}\" y=\"{:.1}\" width=\"60\" height=\"14\" fill=\"url(#band)\" \
                     stroke=\"#000000\" stroke-width=\"2\"/>",
                    y - 12.0
                )?,
                Some((dashes, width)) => {
                    writeln!(out, "<g stroke=\"#000000\" stroke-width=\"{width}\">")?;
                    line(out, (LEFT, y - 5.0), (LEFT + 60.0, y - 5.0), dashes)?;
                    writeln!(out, "</g>")?;
                }
            }
            text(out, (LEFT + 74.0, y), "start", "", said)?;
        }
        Ok(())
    }
}

/// A label above a vertical line, kept inside the picture.
fn mark(out: &mut String, x: f64, y: f64, said: &str) -> fmt::Result {
    let anchor = if x > WIDTH - 130.0 { "end" } else { "middle" };
    text(out, (x, y), anchor, "font-weight=\"bold\"", said)
}

fn line(out: &mut String, from: (f64, f64), to: (f64, f64), dashes: &str) -> fmt::Result {
    let dashes = if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{dashes}\"") };
    writeln!(
        out,
        "<line x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\"{dashes}/>",
        from.0, from.1, to.0, to.1
    )
}

/// A line of text at its baseline; `more` are further attributes.
fn text(out: &mut String, at: (f64, f64), anchor: &str, more: &str, said: &str) -> fmt::Result {
    let more = if more.is_empty() { String::new() } else { format!(" {more}") };
    writeln!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\"{more}>{}</text>",
        at.0,
        at.1,
        escaped(said)
    )
}

/// The marks of an axis from 0 to `end`, with their text.
fn marks(end: f64) -> Vec<(f64, String)> {
    let step = nice_step(end, MARKS / 2.0);
    let step = if end / step < MARKS / 2.0 { step / 2.0 } else { step };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "digits of a step")]
    let decimals = (-step.log10().floor()).clamp(0.0, 9.0) as usize;
    let mut values = Vec::new();
    let mut count = 0u32;
    while f64::from(count) * step <= end * (1.0 + TOLERANCE) {
        let value = f64::from(count) * step;
        values.push((value, format!("{value:.decimals$}")));
        count += 1;
    }
    values
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

    #[test]
    fn an_axis_has_a_handful_of_marks_from_nought() {
        for end in [0.7, 1.0, 5.0, 8.0, 12.5, 44.0, 61.0, 250.0] {
            let marks = marks(end);
            assert!((4..=12).contains(&marks.len()), "{end}: {marks:?}");
            assert!(marks[0].0.abs() < 1e-12);
        }
    }
}
