//! What the bicycles of the workshop carry on parts of this kind.

use serde_json::{Value, json};

use crate::quantity::TorqueUnit;
use crate::report::{Band, spec_text};
use crate::workshop::{Marked, MarkedFigure};

fn figure_text(figure: &MarkedFigure, unit: Option<TorqueUnit>) -> String {
    let stated = figure.stated;
    spec_text(stated.spec, stated.resolution, unit.unwrap_or(stated.unit))
}

/// How many bicycles of the workshop carry which figure; none where no bicycle has the part.
pub(super) fn marked_text(marked: &Marked, unit: Option<TorqueUnit>) -> Option<String> {
    let of = match marked.bicycles {
        0 => return None,
        1 => "1 bicycle here".to_owned(),
        n => format!("{n} bicycles here"),
    };
    let mut said: Vec<(usize, String)> =
        marked.figures.iter().map(|figure| (figure.bicycles.len(), figure_text(figure, unit))).collect();
    if !marked.unreadable.is_empty() {
        said.push((marked.unreadable.len(), "a figure that cannot be read".to_owned()));
    }
    let mut said = said.into_iter();
    let Some((count, figure)) = said.next() else {
        return Some(format!("no marking is written down for {of} (`evenclamp bike joint edit`)"));
    };
    let mut text = format!("on {count} of {of} {figure} is marked");
    for (count, figure) in said {
        text += &format!(", on {count} {figure}");
    }
    match marked.without.len() {
        0 => {}
        n => text += &format!("; of {n} nothing is written down"),
    }
    Some(text)
}

pub(super) fn marked_json(marked: &Marked, unit: Option<TorqueUnit>) -> Value {
    let figure = |figure: &MarkedFigure| {
        let spec = figure.stated.spec;
        let Band { low_nm, high_nm, value_nm } = Band::of(spec);
        json!({
            "figure": figure_text(figure, unit),
            "form": spec.form(),
            "low_nm": low_nm,
            "high_nm": high_nm,
            "value_nm": value_nm,
            "bikes": figure.bicycles,
        })
    };
    json!({
        "text": marked_text(marked, unit),
        "bikes": marked.bicycles,
        "marked": marked.figures.iter().map(figure).collect::<Vec<_>>(),
        "unreadable": marked.unreadable,
        "without": marked.without,
    })
}
