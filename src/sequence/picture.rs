//! The picture of one pass as SVG: bolts where they are, and the path of the wrench over them.
//!
//! Black on white, without colour or grey, so that a copy on paper can be read at arm's length. Bolts
//! are circles with their numbers; beside each stands when it is turned. Text keeps a contrast of
//! 21:1, more than the 7:1 of WCAG 2.2, success criterion 1.4.6.

use super::drawing::{Arrow, Drawing, DrawnLabel, Frame, MANY_BOLTS, RADIUS};
use super::svg::{self, escaped};
use super::{BoltNumber, Layout, Point};

const NUMBER_SIZE: f64 = 22.0;
/// Widths of the arrows' lines, for few and for many bolts.
const LINE_WIDTHS: [f64; 2] = [2.5, 1.5];

/// What the picture of a pass says besides the layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PictureText<'a> {
    /// The joint and the pass, such as `Face plate: pass 2 of 5`.
    pub title: &'a str,
    /// The set value, such as `Set 3.0 N·m`; rounded by whoever knows the wrench.
    pub setting: &'a str,
}

/// The picture of a pass over the bolts of `layout` in `order`, as an SVG document.
///
/// Bolts of `order` that the layout does not have are left out.
///
/// ```
/// use evenclamp::sequence::{Layout, PictureText, order, picture};
/// let plate = Layout::ring(4).unwrap();
/// let text = PictureText { title: "Face plate: pass 1 of 4", setting: "Set 1.5 N·m" };
/// let svg = picture(&plate, &order(&plate), text);
/// assert!(svg.starts_with("<svg") && svg.contains("Set 1.5 N·m") && svg.contains("4th"));
/// ```
#[must_use]
pub fn picture(layout: &Layout, order: &[BoltNumber], text: PictureText) -> String {
    let (sequence, numbering) = (sequence(order), format!("Bolts are numbered {}.", layout.numbering()));
    let above = [(text.title, 24.0, true), (text.setting, 24.0, true)];
    let below = [(sequence.as_str(), 20.0, true), (numbering.as_str(), 18.0, false)];
    // One bolt needs neither an order nor a numbering.
    let below = if layout.bolts() > 1 { &below[..] } else { &[] };
    let drawing = Drawing::new(layout, order, &above, below);
    let size = (drawing.width.ceil(), drawing.height.ceil());
    let line = LINE_WIDTHS[usize::from(drawing.bolts.len() >= MANY_BOLTS)];
    let title = format!("{}, {}", text.title, text.setting);
    let mut svg = svg::opened(size, "text-anchor=\"middle\"", &title);
    svg += "<defs><marker id=\"head\" viewBox=\"0 0 10 10\" refX=\"9\" refY=\"5\" markerUnits=\"userSpaceOnUse\" \
            markerWidth=\"14\" markerHeight=\"14\" orient=\"auto\"><path d=\"M0 0 L10 5 L0 10 z\"/></marker></defs>\n";
    svg += &format!("<g fill=\"none\" stroke=\"#000000\" stroke-width=\"{line}\">\n");
    svg.extend(drawing.arrows.iter().map(arrow_svg));
    svg += "</g>\n";
    svg.extend(drawing.ordinals.iter().map(backing_svg));
    svg.extend(drawing.bolts.iter().enumerate().map(|(k, middle)| bolt_svg(BoltNumber::at(k), *middle)));
    svg.extend(drawing.ordinals.iter().chain(&drawing.lines).map(label_svg));
    svg + "</svg>\n"
}

fn sequence(order: &[BoltNumber]) -> String {
    let numbers: Vec<String> = order.iter().map(ToString::to_string).collect();
    format!("Order of bolts: {}", numbers.join(", "))
}

fn bolt_svg(number: BoltNumber, Point { x, y }: Point) -> String {
    let baseline = y + 0.35 * NUMBER_SIZE;
    format!(
        "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{RADIUS}\" fill=\"#ffffff\" stroke=\"#000000\" \
         stroke-width=\"3\"/><text x=\"{x:.1}\" y=\"{baseline:.1}\" font-size=\"{NUMBER_SIZE}\" \
         font-weight=\"bold\">{number}</text>\n"
    )
}

fn arrow_svg(Arrow { from, control, to }: &Arrow) -> String {
    format!(
        "<path d=\"M{:.1} {:.1} Q{:.1} {:.1} {:.1} {:.1}\" marker-end=\"url(#head)\"/>\n",
        from.x, from.y, control.x, control.y, to.x, to.y
    )
}

/// White behind a label, so that an arrow that passes under it does not cross its text.
fn backing_svg(label: &DrawnLabel) -> String {
    let Frame { left, top, width, height } = label.frame;
    format!(
        "<rect x=\"{left:.1}\" y=\"{top:.1}\" width=\"{width:.1}\" height=\"{height:.1}\" fill=\"#ffffff\"/>\n"
    )
}

fn label_svg(label: &DrawnLabel) -> String {
    let (Point { x, y }, size) = (label.frame.middle(), label.size);
    let (baseline, text) = (y + 0.35 * size, escaped(&label.text));
    let weight = if label.bold { " font-weight=\"bold\"" } else { "" };
    format!("<text x=\"{x:.1}\" y=\"{baseline:.1}\" font-size=\"{size}\"{weight}>{text}</text>\n")
}

#[cfg(test)]
#[path = "picture_tests.rs"]
mod tests;
