//! A figure of one joint: what stands on the part or was typed, and what it was read as.

use crate::book::Check;
use crate::quantity::{MeasureError, MeasureLimit, QuantityError, Stated, parse_spec};

/// A figure as it stands somewhere, with the value it was read as; a text that cannot be read is kept, and
/// says why it cannot.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    text: String,
    torque: Result<Stated, FigureError>,
    limit: Result<MeasureLimit, FigureError>,
}

/// Why a text is no figure.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FigureError {
    #[error(transparent)]
    Torque(#[from] QuantityError),
    #[error("the figure `{0}` has no unit")]
    NoUnit(String),
    #[error(transparent)]
    Limit(#[from] MeasureError),
}

impl FigureError {
    pub(crate) fn hint(&self) -> String {
        match self {
            FigureError::Torque(error) => error.hint(),
            FigureError::NoUnit(_) => "write it as it stands on the part, such as \"max 5 N·m\"".to_owned(),
            FigureError::Limit(_) => "such as \"min 1.5 mm\"".to_owned(),
        }
    }
}

impl Figure {
    /// Reads a figure: a torque as [`parse_spec`] reads it, with its unit, or the limit of a measured value.
    /// What cannot be read stays as it is, and [`Figure::fault`] tells.
    pub fn read(text: &str) -> Figure {
        let text = text.trim();
        let with_unit = |stated: Stated| {
            if stated.unit_given { Ok(stated) } else { Err(FigureError::NoUnit(text.to_owned())) }
        };
        Figure {
            text: text.to_owned(),
            torque: parse_spec(text).map_err(FigureError::from).and_then(with_unit),
            limit: MeasureLimit::parse(text).map_err(FigureError::from),
        }
    }

    pub(crate) fn text(&self) -> &str {
        &self.text
    }

    pub fn torque(&self) -> Option<Stated> {
        self.torque.as_ref().ok().copied()
    }

    pub fn limit(&self) -> Option<MeasureLimit> {
        self.limit.as_ref().ok().copied()
    }

    /// Why nothing can be judged by it, for a joint that is checked so.
    pub fn fault(&self, check: Check) -> Option<&FigureError> {
        match check {
            Check::Torque | Check::Function => self.torque.as_ref().err(),
            Check::Measure => self.limit.as_ref().err(),
        }
    }
}

/// A figure that stands on a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Marking {
    /// The part that carries it, such as `stem`, or empty.
    pub part: String,
    /// The figure as it stands there, such as `max 5 N·m`.
    pub figure: Figure,
}

impl Marking {
    /// A marking as typed: the part before a colon, the figure after it.
    pub(crate) fn typed(text: &str) -> Marking {
        let (part, figure) = text.split_once(':').unwrap_or(("", text));
        Marking { part: part.trim().to_owned(), figure: Figure::read(figure) }
    }

    /// Whether it stands on that part; one whose part is not said stands on one that is not said.
    pub(super) fn is_of(&self, part: &str) -> bool {
        self.part.to_lowercase() == part.to_lowercase()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_a_torque_with_its_unit_or_a_limit() {
        assert!(Figure::read("max 5 N·m").torque().is_some());
        assert!(Figure::read("min 1.5 mm").limit().is_some());
        let fault = Figure::read("max 5").fault(Check::Torque).unwrap().to_string();
        assert_eq!(fault, "the figure `max 5` has no unit");
    }

    #[test]
    fn a_figure_keeps_its_text_whatever_it_is_read_as() {
        for (text, torque, limit) in [
            ("max 5 N·m", true, false),
            (" 4-6 N·m ", true, false),
            ("min 1.5 mm", false, true),
            ("max 5", false, false),
            ("five", false, false),
            ("", false, false),
        ] {
            let figure = Figure::read(text);
            assert_eq!(figure.text(), text.trim());
            assert_eq!((figure.torque().is_some(), figure.limit().is_some()), (torque, limit), "{text}");
            assert_eq!(figure.fault(Check::Torque).is_none(), torque, "{text}");
            assert_eq!(figure.fault(Check::Function).is_none(), torque, "{text}");
            assert_eq!(figure.fault(Check::Measure).is_none(), limit, "{text}");
        }
    }
}
