//! Clamp force against torque as an SVG plot: the band between low and high friction, and the limits
//! that it must not pass. Black on white; lines differ in their dashes, so that a copy on paper can be
//! read. Lengths are in pixels.

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
    let (title, subtitle) = (format!("Clamp force of {}", report.bolt_text()), report.friction_text());
    let size = format!("font-size=\"{TEXT}\"");
    let mut svg = svg::opened((WIDTH, HEIGHT), &size, &format!("{title}, {subtitle}"));
    svg += &format!(
        "<defs><pattern id=\"band\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate(45)\"><rect width=\"7\" height=\"7\" fill=\"#ffffff\"/><path d=\"M0 0 V7\" \
         stroke=\"#000000\" stroke-width=\"1\"/></pattern><clipPath id=\"field\"><rect x=\"{LEFT}\" \
         y=\"{TOP}\" width=\"{}\" height=\"{}\"/></clipPath></defs>\n",
        RIGHT - LEFT,
        BOTTOM - TOP
    );
    svg += &text((LEFT, 32.0), "start", &format!("font-size=\"{TITLE}\" font-weight=\"bold\""), &title);
    svg += &text((LEFT, 58.0), "start", "", &subtitle);
    svg + &plot.axes() + &plot.band() + &plot.limits() + &plot.legend() + "</svg>\n"
}

struct Plot<'a> {
    report: &'a BoltReport,
    /// Right end of the torque axis.
    up_to: Torque,
    /// Upper end of the force axis, in kN.
    top: f64,
}

impl Plot<'_> {
    fn x(&self, torque: Torque) -> f64 {
        LEFT + (RIGHT - LEFT) * (torque / self.up_to).value
    }

    fn y(&self, kilonewtons: f64) -> f64 {
        BOTTOM - (BOTTOM - TOP) * kilonewtons / self.top
    }

    fn place(&self, torque: Torque, force: Force) -> String {
        format!("{:.1},{:.1}", self.x(torque), self.y(in_newtons(force) / 1000.0))
    }

    fn axes(&self) -> String {
        let unit = self.report.shown;
        let across =
            marks(unit.value_of(self.up_to)).into_iter().map(|(end, shown)| (self.x(unit.of(end)), shown));
        let along = marks(self.top).into_iter().map(|(end, shown)| (self.y(end), shown));
        let mut svg = "<g stroke=\"#000000\" stroke-width=\"2\">\n".to_owned();
        svg += &line((LEFT, BOTTOM), (RIGHT, BOTTOM), "");
        svg += &line((LEFT, TOP), (LEFT, BOTTOM), "");
        svg.extend(across.clone().map(|(x, _)| line((x, BOTTOM), (x, BOTTOM + 7.0), "")));
        svg.extend(along.clone().map(|(y, _)| line((LEFT - 7.0, y), (LEFT, y), "")));
        svg += "</g>\n";
        svg.extend(across.map(|(x, shown)| text((x, BOTTOM + 26.0), "middle", "", &shown)));
        svg.extend(along.map(|(y, shown)| text((LEFT - 12.0, y + 0.35 * TEXT), "end", "", &shown)));
        let (across, along) = (f64::midpoint(LEFT, RIGHT), f64::midpoint(TOP, BOTTOM));
        svg += &text((across, BOTTOM + 52.0), "middle", "", &format!("Torque, {unit}"));
        let turned = format!("transform=\"rotate(-90 28 {along:.1})\"");
        svg + &text((28.0, along), "middle", &turned, "Clamp force, kN")
    }

    /// The band from low to high friction; both edges are straight lines from no torque on.
    fn band(&self) -> String {
        let (bolt, band) = (&self.report.bolt, self.report.friction.band);
        let [steep, flat] =
            [band.low(), band.high()].map(|mu| self.place(self.up_to, bolt.clamp_load(self.up_to, mu)));
        format!(
            "<polygon clip-path=\"url(#field)\" points=\"{LEFT:.1},{BOTTOM:.1} {steep} {flat}\" \
             fill=\"url(#band)\" stroke=\"#000000\" stroke-width=\"2\"/>\n"
        )
    }

    fn limits(&self) -> String {
        let (bolt, limit) = (&self.report.bolt, self.report.torque_limit().low);
        let across = |load: Force, dashes| {
            let y = self.y(in_newtons(load) / 1000.0);
            line((LEFT, y), (RIGHT, y), dashes)
        };
        let up = |torque, dashes| line((self.x(torque), TOP), (self.x(torque), BOTTOM), dashes);
        let mut svg = "<g clip-path=\"url(#field)\" fill=\"none\" stroke=\"#000000\" stroke-width=\"2.5\">\n"
            .to_owned();
        svg += &across(bolt.proof_load(), PROOF);
        svg += &across(bolt.ultimate_load(), ULTIMATE);
        let curve = limit_curve(bolt, self.report.friction.band);
        let points: Vec<String> = curve.iter().map(|&(torque, force)| self.place(torque, force)).collect();
        let points = points.join(" ");
        svg += &format!("<polyline points=\"{points}\" stroke-width=\"5\" stroke-dasharray=\"{YIELD}\"/>\n");
        svg += &up(limit, YIELD);
        let given = self.report.at_torque.as_ref().map(|(torque, _)| *torque);
        svg.extend(given.map(|torque| up(torque, GIVEN)));
        let at_limit = format!("limit {} {}", self.report.limit_text(limit), self.report.shown);
        svg += "</g>\n";
        svg += &mark(self.x(limit), TOP - 8.0, &at_limit);
        svg.extend(given.map(|torque| mark(self.x(torque), TOP - 28.0, &self.report.given_text(torque))));
        svg
    }

    fn legend(&self) -> String {
        let (bolt, band) = (&self.report.bolt, self.report.friction.band);
        let (low, high) = (band.low(), band.high());
        let rows = [
            (None, format!("clamp force, from friction {low} (upper edge) to {high} (lower edge)")),
            (
                Some((YIELD, 4.0)),
                "90 % of yield; tighten no further than where it meets low friction".to_owned(),
            ),
            (Some((PROOF, 2.5)), format!("proof load, {} kN", kilonewtons(bolt.proof_load()))),
            (Some((ULTIMATE, 2.5)), format!("the bolt tears, {} kN", kilonewtons(bolt.ultimate_load()))),
        ];
        let lines = (0u32..).zip(&rows).map(|(index, (sign, said))| {
            let y = BOTTOM + 84.0 + 24.0 * f64::from(index);
            let sign = match sign {
                None => format!(
                    "<rect x=\"{LEFT}\" y=\"{:.1}\" width=\"60\" height=\"14\" fill=\"url(#band)\" \
                     stroke=\"#000000\" stroke-width=\"2\"/>\n",
                    y - 12.0
                ),
                Some((dashes, width)) => {
                    let line = line((LEFT, y - 5.0), (LEFT + 60.0, y - 5.0), dashes);
                    format!("<g stroke=\"#000000\" stroke-width=\"{width}\">\n{line}</g>\n")
                }
            };
            sign + &text((LEFT + 74.0, y), "start", "", said)
        });
        lines.collect()
    }
}

/// A label above a vertical line, kept inside the picture.
fn mark(x: f64, y: f64, said: &str) -> String {
    let anchor = if x > WIDTH - 130.0 { "end" } else { "middle" };
    text((x, y), anchor, "font-weight=\"bold\"", said)
}

fn line((x1, y1): (f64, f64), (x2, y2): (f64, f64), dashes: &str) -> String {
    let dashes = if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{dashes}\"") };
    format!("<line x1=\"{x1:.1}\" y1=\"{y1:.1}\" x2=\"{x2:.1}\" y2=\"{y2:.1}\"{dashes}/>\n")
}

/// A line of text at its baseline; `more` are further attributes.
fn text((x, y): (f64, f64), anchor: &str, more: &str, said: &str) -> String {
    let (more, said) = (if more.is_empty() { String::new() } else { format!(" {more}") }, escaped(said));
    format!("<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\"{more}>{said}</text>\n")
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
