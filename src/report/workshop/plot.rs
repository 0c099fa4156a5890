//! The history of a joint as SVG: black on white, limits as lines, one sign for each kind of reading.

use super::history::HistoryReport;
use crate::conformity::Kind;
use crate::quantity::{Resolution, Rounding, TorqueUnit, newton_metres};
use crate::sequence::svg::escaped;

const WIDTH: f64 = 900.0;
const HEIGHT: f64 = 420.0;
const LEFT: f64 = 80.0;
const RIGHT: f64 = 30.0;
const TOP: f64 = 70.0;
const BOTTOM: f64 = 70.0;

/// The picture of a history; readings stand side by side in the order of time.
pub fn history_svg(history: &HistoryReport<'_>) -> String {
    let (low, high) = history.extent().unwrap_or((0.0, 1.0));
    let y = |nm: f64| HEIGHT - BOTTOM - (nm - low) / (high - low) * (HEIGHT - TOP - BOTTOM);
    let drawn: Vec<_> = history.drawn().collect();
    #[expect(clippy::cast_precision_loss, reason = "a count of readings is far below 2^52")]
    let x = |index: usize| LEFT + (WIDTH - LEFT - RIGHT) * (index as f64 + 0.5) / drawn.len().max(1) as f64;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH}\" height=\"{HEIGHT}\" viewBox=\"0 0 {WIDTH} \
         {HEIGHT}\" role=\"img\" font-family=\"Arial, Helvetica, sans-serif\" font-size=\"16\">\n\
         <rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#ffffff\"/>\n"
    );
    let title = format!("{}/{}: {}", history.bike, history.joint.name, history.specified());
    svg += &format!(
        "<text x=\"{LEFT}\" y=\"32\" font-size=\"22\" font-weight=\"bold\">{}</text>\n",
        escaped(&title)
    );
    svg += &format!(
        "<text x=\"{LEFT}\" y=\"54\">N·m; limits dashed; ● tightened, ○ re-check, × corrected</text>\n"
    );
    svg += &limit_lines(history, &y);
    for (index, (row, nm)) in drawn.iter().enumerate() {
        let (x, y) = (x(index), y(*nm));
        svg += &match (row.corrected_by, row.reading.kind) {
            (Some(_), _) => {
                format!("<text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">×</text>\n", y + 5.0)
            }
            (None, Kind::Tightened) => {
                format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"#000000\"/>\n")
            }
            (None, _) => format!(
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"#ffffff\" stroke=\"#000000\" stroke-width=\"2\"/>\n"
            ),
        };
    }
    for (index, row) in [drawn.first(), drawn.last()].into_iter().enumerate() {
        let anchor = if index == 0 { ("start", LEFT) } else { ("end", WIDTH - RIGHT) };
        let day = row.map(|(row, _)| row.reading.at.date().to_string()).unwrap_or_default();
        svg += &format!(
            "<text x=\"{}\" y=\"{}\" text-anchor=\"{}\">{day}</text>\n",
            anchor.1,
            HEIGHT - 24.0,
            anchor.0
        );
    }
    svg += "</svg>\n";
    svg
}

fn limit_lines(history: &HistoryReport<'_>, y: &dyn Fn(f64) -> f64) -> String {
    let mut svg = String::new();
    let right = WIDTH - RIGHT;
    let limits = history
        .limits()
        .map(|band| [("low", Rounding::Up, band.low_nm), ("high", Rounding::Down, band.high_nm)]);
    for (word, inward, nm) in limits.into_iter().flatten() {
        let Some(nm) = nm else { continue };
        let figure = Resolution(newton_metres(0.1)).text(newton_metres(nm), TorqueUnit::NewtonMetre, inward);
        svg += &format!(
            "<line x1=\"{LEFT}\" y1=\"{0:.1}\" x2=\"{right}\" y2=\"{0:.1}\" stroke=\"#000000\" stroke-width=\"2\" \
             stroke-dasharray=\"10 6\"/>\n<text x=\"6\" y=\"{1:.1}\">{word} {figure}</text>\n",
            y(nm),
            y(nm) + 5.0
        );
    }
    svg
}
