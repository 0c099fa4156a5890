//! What stands on the parts of one kind that the bicycles of the workshop carry.

use super::Figure;
use crate::quantity::{Spec, Stated, Torque, tolerance};

/// The figures that are marked on the bicycles in use, for one entry.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Marked {
    /// Bicycles that have the part.
    pub(crate) bicycles: usize,
    /// The figures, the one on most bicycles first, those on as many by size.
    pub(crate) figures: Vec<MarkedFigure>,
    /// Bicycles with a marking that cannot be read.
    pub(crate) unreadable: Vec<String>,
    /// Bicycles of which no marking is written down.
    pub(crate) without: Vec<String>,
}

/// One figure, and the bicycles that it is marked on.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedFigure {
    pub(crate) stated: Stated,
    pub(crate) bicycles: Vec<String>,
}

impl Marked {
    /// Counts the bicycles of each figure, from the names of bicycles in their order with the markings of one of
    /// their joints each. A bicycle counts once for a figure, however often it carries it.
    pub(crate) fn of(joints: impl IntoIterator<Item = (String, Option<Figure>)>) -> Marked {
        let mut all: Vec<String> = Vec::new();
        let mut marked = Marked::default();
        let mut without = Vec::new();
        for (bicycle, figure) in joints {
            note(&mut all, &bicycle);
            match figure.as_ref().map(Figure::torque) {
                None => without.push(bicycle),
                Some(None) => note(&mut marked.unreadable, &bicycle),
                Some(Some(stated)) => {
                    let known =
                        marked.figures.iter().position(|other| is_same(other.stated.spec, stated.spec));
                    match known.and_then(|index| marked.figures.get_mut(index)) {
                        Some(known) => note(&mut known.bicycles, &bicycle),
                        None => marked.figures.push(MarkedFigure { stated, bicycles: vec![bicycle] }),
                    }
                }
            }
        }
        let carries = |bicycle: &String| {
            marked.unreadable.contains(bicycle)
                || marked.figures.iter().any(|figure| figure.bicycles.contains(bicycle))
        };
        without.retain(|bicycle| !carries(bicycle));
        without.dedup();
        let size = |figure: &MarkedFigure| figure.stated.spec.largest().value;
        marked
            .figures
            .sort_by(|a, b| b.bicycles.len().cmp(&a.bicycles.len()).then(size(a).total_cmp(&size(b))));
        Marked { bicycles: all.len(), without, ..marked }
    }
}

/// Adds a name that is not there yet.
fn note(names: &mut Vec<String>, name: &str) {
    if names.iter().all(|known| known != name) {
        names.push(name.to_owned());
    }
}

/// Whether two figures say the same, whatever their units.
fn is_same(a: Spec, b: Spec) -> bool {
    let ends = |spec: Spec| spec.limits();
    let same = |a: Option<Torque>, b: Option<Torque>| match (a, b) {
        (Some(a), Some(b)) => tolerance::at_least(a, b) && tolerance::at_least(b, a),
        (a, b) => a.is_none() && b.is_none(),
    };
    let ((low, high), (other_low, other_high)) = (ends(a), ends(b));
    a.form() == b.form() && same(low, other_low) && same(high, other_high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::parse_spec;

    fn marked(joints: &[(&str, &str)]) -> Marked {
        let read = |text: &str| Some(text).filter(|text| !text.is_empty()).map(Figure::read);
        Marked::of(joints.iter().map(|(bicycle, text)| ((*bicycle).to_owned(), read(text))))
    }

    #[test]
    fn each_bicycle_counts_once_for_each_figure_that_it_carries() {
        let found = marked(&[
            ("a", "max 5 N·m"),
            ("a", "max 5 N·m"),
            ("a", ""),
            ("b", "12 N·m"),
            ("c", "1200 N·cm"),
            ("c", "max 5 N·m"),
            ("d", "12 N·m"),
            ("e", ""),
            ("e", ""),
            ("f", "twelve"),
        ]);
        assert_eq!(found.bicycles, 6);
        let figures: Vec<_> = found.figures.iter().map(|f| (f.stated.spec, f.bicycles.join(" "))).collect();
        let spec = |text| parse_spec(text).unwrap().spec;
        let expected = [(spec("12 N·m"), "b c d".to_owned()), (spec("max 5 N·m"), "a c".to_owned())];
        assert_eq!(figures, expected);
        assert_eq!((found.without.join(" "), found.unreadable.join(" ")), ("e".to_owned(), "f".to_owned()));
    }

    /// A ceiling of 5 N·m is not a set value of 5 N·m, nor a floor.
    #[test]
    fn the_forms_of_a_figure_stay_apart() {
        let found = marked(&[("a", "max 5 N·m"), ("b", "5 N·m"), ("c", "min 5 N·m"), ("d", "4-5 N·m")]);
        assert_eq!(found.figures.len(), 4);
        assert_eq!(marked(&[]), Marked::default());
    }
}
