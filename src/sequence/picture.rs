//! The picture of one pass as SVG: bolts where they are, and the path of the wrench over them.
//!
//! Black on white, without colour or grey, so that a copy on paper can be read at arm's length. Bolts
//! are circles with their numbers; beside each stands when it is turned. Text keeps a contrast of
//! 21:1, more than the 7:1 of WCAG 2.2, success criterion 1.4.6.

use std::fmt::{self, Write};

use super::drawing::{Arrow, Drawing, DrawnLabel, MANY_BOLTS, RADIUS};
use super::svg::{self, escaped};
use super::{BoltNumber, Layout};

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
    let mut svg = String::new();
    // Writing to a String does not fail.
    let _ = write_svg(&mut svg, &drawing, text);
    svg
}

fn sequence(order: &[BoltNumber]) -> String {
    let numbers: Vec<String> = order.iter().map(ToString::to_string).collect();
    format!("Order of bolts: {}", numbers.join(", "))
}

fn write_svg(svg: &mut String, drawing: &Drawing, text: PictureText) -> fmt::Result {
    let (width, height) = (drawing.width.ceil(), drawing.height.ceil());
    let line = LINE_WIDTHS[usize::from(drawing.bolts.len() >= MANY_BOLTS)];
    let title = format!("{}, {}", text.title, text.setting);
    svg::open(svg, (width, height), "text-anchor=\"middle\"", &title)?;
    writeln!(
        svg,
        "<defs><marker id=\"head\" viewBox=\"0 0 10 10\" refX=\"9\" refY=\"5\" markerUnits=\"userSpaceOnUse\" \
         markerWidth=\"14\" markerHeight=\"14\" orient=\"auto\"><path d=\"M0 0 L10 5 L0 10 z\"/></marker></defs>"
    )?;
    writeln!(svg, "<g fill=\"none\" stroke=\"#000000\" stroke-width=\"{line}\">")?;
    for arrow in &drawing.arrows {
        write_arrow(svg, arrow)?;
    }
    writeln!(svg, "</g>")?;
    for label in &drawing.ordinals {
        write_backing(svg, label)?;
    }
    for (k, bolt) in drawing.bolts.iter().enumerate() {
        let baseline = bolt.y + 0.35 * NUMBER_SIZE;
        writeln!(
            svg,
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"{RADIUS}\" fill=\"#ffffff\" stroke=\"#000000\" \
             stroke-width=\"3\"/><text x=\"{:.1}\" y=\"{baseline:.1}\" font-size=\"{NUMBER_SIZE}\" \
             font-weight=\"bold\">{}</text>",
            bolt.x,
            bolt.y,
            bolt.x,
            BoltNumber::at(k)
        )?;
    }
    for label in drawing.ordinals.iter().chain(&drawing.lines) {
        write_label(svg, label)?;
    }
    writeln!(svg, "</svg>")
}

fn write_arrow(svg: &mut String, arrow: &Arrow) -> fmt::Result {
    let Arrow { from, control, to } = arrow;
    writeln!(
        svg,
        "<path d=\"M{:.1} {:.1} Q{:.1} {:.1} {:.1} {:.1}\" marker-end=\"url(#head)\"/>",
        from.x, from.y, control.x, control.y, to.x, to.y
    )
}

/// White behind a label, so that an arrow that passes under it does not cross its text.
fn write_backing(svg: &mut String, label: &DrawnLabel) -> fmt::Result {
    let frame = label.frame;
    writeln!(
        svg,
        "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"#ffffff\"/>",
        frame.left, frame.top, frame.width, frame.height
    )
}

fn write_label(svg: &mut String, label: &DrawnLabel) -> fmt::Result {
    let middle = label.frame.middle();
    let weight = if label.bold { " font-weight=\"bold\"" } else { "" };
    writeln!(
        svg,
        "<text x=\"{:.1}\" y=\"{:.1}\" font-size=\"{}\"{weight}>{}</text>",
        middle.x,
        middle.y + 0.35 * label.size,
        label.size,
        escaped(&label.text)
    )
}

#[cfg(test)]
#[path = "picture_tests.rs"]
mod tests;
