//! Values over time: a field for each bolt, one above the other over one axis of days. What is allowed is a grey band
//! between dashed lines, the uncertainty of a value a bar, and how a value came about a shape, so that it can be read on
//! paper and by those who see no colours.

use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;

use super::{ChartError, EDGE, Ground, LINE, Lines, TEXT, WIDTH, decimals_of, draw_text, drawn, split};
use crate::words::words;

/// Height of the field of one bolt, where there is one, and where there are several.
const ALONE: i32 = 320;
const STACKED: i32 = 190;
/// Room for the figures on the left, and for the limits on the right.
const LEFT: i32 = 84;
const RIGHT: i32 = 136;
/// Room for the days below, and above the first field for the unit.
const DAYS: i32 = 36;
const UNIT: i32 = 30;
/// Half of a sign, and of the ends of a bar.
const SIGN: i32 = 7;
const CAP: i32 = 5;
/// Days beside the only moment there is.
const BESIDE: f64 = 0.5;

words! {
    /// How a value came about, as it is drawn.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Sign: word {
        /// A dot.
        Read = "tightened or measured",
        /// A triangle.
        Held = "held",
        /// A ring.
        ReChecked = "other re-check",
        /// A cross.
        TakenBack = "corrected or struck",
    }
}

/// One value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlottedValue {
    /// When, in days from any moment.
    pub at: f64,
    pub value: f64,
    /// Half of the bar.
    pub uncertainty: f64,
    pub sign: Sign,
}

/// The values of one bolt, with its name where there are several.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltField {
    pub name: String,
    pub points: Vec<PlottedValue>,
}

/// What is drawn.
pub struct TimeChart<'a> {
    pub title: String,
    /// What is specified, in words.
    pub specified: String,
    pub unit: String,
    pub fields: Vec<BoltField>,
    /// What is allowed, each source apart: low and high.
    pub bands: Vec<(Option<f64>, Option<f64>)>,
    /// Every limit with its figure, the highest first.
    pub limits: Vec<(f64, String)>,
    /// What a moment is called on an axis of so many days.
    pub day_text: &'a dyn Fn(f64, f64) -> String,
}

type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

impl TimeChart<'_> {
    /// The picture as an SVG document; [`ChartError::Empty`] where no field has a value.
    pub fn svg(&self) -> Result<String, ChartError> {
        let signs: Vec<Sign> = Sign::ALL.into_iter().filter(|sign| self.has(*sign)).collect();
        if signs.is_empty() {
            return Err(ChartError::Empty(format!("{} has no value", self.title)));
        }
        let head = Lines::new(&self.title, std::slice::from_ref(&self.specified));
        let field = if self.fields.len() > 1 { STACKED } else { ALONE };
        let count = |many: usize| i32::try_from(many).unwrap_or(i32::MAX);
        let (top, body) = (EDGE + head.height(), UNIT + field * count(self.fields.len()) + DAYS);
        let foot = 2 * EDGE + LINE * count(signs.len() + 1);
        drawn(top + body + foot, &format!("{}: {}", self.title, self.specified), |ground| {
            head.draw(ground, (EDGE, EDGE))?;
            let (fields, legend) = split(&split(ground, top).1, body);
            draw_text(&fields, &self.unit, (EDGE, UNIT / 2 - TEXT / 2), false)?;
            let mut rest = split(&fields, UNIT).1;
            for (index, of_bolt) in self.fields.iter().enumerate() {
                let days = if index + 1 == self.fields.len() { DAYS } else { 0 };
                let (mine, below) = split(&rest, field + days);
                self.draw_field(&mine, of_bolt, days)?;
                rest = below;
            }
            self.draw_legend(&legend, &signs)
        })
    }

    fn has(&self, sign: Sign) -> bool {
        self.fields.iter().flat_map(|field| &field.points).any(|point| point.sign == sign)
    }

    fn draw_field(&self, ground: &Ground<'_>, field: &BoltField, days: i32) -> Result<(), ChartError> {
        let ((from, to), (low, high)) = (self.days(), self.extent());
        let mut chart = ChartBuilder::on(ground)
            .margin_top(10)
            .margin_right(RIGHT)
            .y_label_area_size(LEFT)
            .x_label_area_size(days)
            .build_cartesian_2d(from..to, low..high)?;
        self.draw_bands(&mut chart)?;
        let decimals = decimals_of(high - low);
        chart
            .configure_mesh()
            .disable_x_mesh()
            .light_line_style(TRANSPARENT)
            .bold_line_style(BLACK.mix(0.15))
            .axis_style(BLACK.stroke_width(2))
            .label_style(("sans-serif", TEXT).into_font())
            .x_labels(4)
            .y_labels(if self.fields.len() > 1 { 4 } else { 6 })
            .x_label_formatter(&|day| (self.day_text)(*day, to - from))
            .y_label_formatter(&|value| format!("{value:.decimals$}"))
            .draw()?;
        for point in &field.points {
            let [low, at, high] = [-1.0, 0.0, 1.0]
                .map(|side| chart.backend_coord(&(point.at, point.value + side * point.uncertainty)));
            let area = chart.plotting_area().strip_coord_spec();
            let base = area.get_base_pixel();
            let [low, at, high] = [low, at, high].map(|place| (place.0 - base.0, place.1 - base.1));
            draw_bar(&area, low, high)?;
            draw_sign(&area, at, point.sign)?;
        }
        draw_text(ground, &field.name, (LEFT + 12, 14), true)?;
        self.draw_limits(ground, &chart)
    }

    fn draw_bands(&self, chart: &mut Chart<'_, '_>) -> Result<(), ChartError> {
        let ((from, to), (bottom, top)) = (self.days(), self.extent());
        let grey = BLACK.mix(0.14).filled();
        chart.draw_series(self.bands.iter().map(|(low, high)| {
            Rectangle::new([(from, low.unwrap_or(bottom)), (to, high.unwrap_or(top))], grey)
        }))?;
        for (limit, _) in &self.limits {
            let line = [(from, *limit), (to, *limit)];
            chart.draw_series(DashedLineSeries::new(line, 10, 6, BLACK.stroke_width(2)))?;
        }
        Ok(())
    }

    /// The figures of the limits beside their lines, kept apart from each other.
    fn draw_limits(&self, ground: &Ground<'_>, chart: &Chart<'_, '_>) -> Result<(), ChartError> {
        let (left, above) = (self.days().0, ground.get_base_pixel().1);
        let mut free = i32::MIN;
        for (limit, figure) in &self.limits {
            let line = chart.backend_coord(&(left, *limit)).1 - above;
            let y = (line - TEXT / 2).max(free);
            draw_text(ground, figure, (px(WIDTH) - RIGHT + 8, y), false)?;
            free = y + TEXT + 2;
        }
        Ok(())
    }

    fn draw_legend(&self, ground: &Ground<'_>, signs: &[Sign]) -> Result<(), ChartError> {
        let mut y = EDGE;
        for sign in signs {
            draw_sign(ground, (EDGE + SIGN, y + TEXT / 2), *sign)?;
            draw_text(ground, sign.word(), (EDGE + 4 * SIGN, y), false)?;
            y += LINE;
        }
        let allowed = if self.bands.is_empty() { "" } else { "; grey: allowed" };
        draw_text(ground, &format!("bar: uncertainty at k = 2{allowed}"), (EDGE, y), false)
    }

    fn days(&self) -> (f64, f64) {
        let (from, to) = ends(self.points().map(|point| point.at));
        let room = if to > from { (to - from) * 0.04 } else { BESIDE };
        (from - room, to + room)
    }

    /// The values, with their bars and limits and a little room; all fields show the same.
    fn extent(&self) -> (f64, f64) {
        let bars =
            self.points().flat_map(|point| [-1.0, 1.0].map(|side| point.value + side * point.uncertainty));
        let (low, high) = ends(bars.chain(self.limits.iter().map(|(limit, _)| *limit)));
        let room = if high > low { (high - low) * 0.1 } else { high.abs().max(1.0) * 0.1 };
        (low - room, high + room)
    }

    fn points(&self) -> impl Iterator<Item = &PlottedValue> {
        self.fields.iter().flat_map(|field| &field.points)
    }
}

/// The lowest and the highest.
fn ends(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}

fn px(length: u32) -> i32 {
    i32::try_from(length).unwrap_or(i32::MAX)
}

fn draw_bar(ground: &Ground<'_>, low: (i32, i32), high: (i32, i32)) -> Result<(), ChartError> {
    let cap = |(x, y): (i32, i32)| [(x - CAP, y), (x + CAP, y)];
    for line in [[low, high], cap(low), cap(high)] {
        ground.draw(&PathElement::new(line, BLACK.stroke_width(2)))?;
    }
    Ok(())
}

fn draw_sign(ground: &Ground<'_>, at: (i32, i32), sign: Sign) -> Result<(), ChartError> {
    let line = BLACK.stroke_width(2);
    match sign {
        Sign::Read => ground.draw(&Circle::new(at, SIGN, BLACK.filled()))?,
        Sign::Held => {
            let foot = at.1 + SIGN;
            let corners =
                [(at.0 - SIGN, foot), (at.0, at.1 - SIGN), (at.0 + SIGN, foot), (at.0 - SIGN, foot)];
            ground.draw(&Polygon::new(corners, WHITE))?;
            ground.draw(&PathElement::new(corners, line))?;
        }
        Sign::ReChecked => {
            ground.draw(&Circle::new(at, SIGN, WHITE.filled()))?;
            ground.draw(&Circle::new(at, SIGN, line))?;
        }
        Sign::TakenBack => ground.draw(&Cross::new(at, SIGN, line))?,
    }
    Ok(())
}

#[cfg(test)]
#[path = "time_tests.rs"]
mod tests;
