//! Where the figures of an uncertainty come from, in words.

use crate::conformity::{Accuracy, AccuracyBasis, TermKind};

/// Where the figure of a term comes from, such as `4 %, ISO 6789-1 class II A`.
pub fn term_source(term: TermKind) -> String {
    match term {
        TermKind::Accuracy(accuracy) => accuracy_text(accuracy),
        TermKind::Step | TermKind::Scatter => "as given".to_owned(),
    }
}

pub fn accuracy_text(accuracy: Accuracy) -> String {
    let percent = accuracy.deviation.in_percent();
    match accuracy.basis {
        AccuracyBasis::Given => format!("{percent} % as given"),
        AccuracyBasis::Class(class) => format!("{percent} %, ISO 6789-1 class {class}"),
        AccuracyBasis::AssumedClass(class) => {
            format!("{percent} % assumed, as ISO 6789-1 permits class {class}")
        }
        AccuracyBasis::Uncalibrated(class) => {
            format!("{percent} % assumed from class {class}, no calibration is known")
        }
        AccuracyBasis::Certificate { coverage } => format!("{percent} %, certificate with k = {coverage}"),
        AccuracyBasis::Assumed => format!("{percent} % assumed"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::{Deviation, ToolClass};
    use crate::quantity::newton_metres as nm;

    #[test]
    fn every_term_says_where_it_comes_from() {
        let given = Accuracy::given(Deviation::FOUR_PERCENT);
        let class = ToolClass::IIA;
        let class = Accuracy { deviation: class.permitted(nm(25.0)), basis: AccuracyBasis::Class(class) };
        for (term, source) in [
            (TermKind::Accuracy(given), "4 % as given"),
            (TermKind::Accuracy(class), "4 %, ISO 6789-1 class II A"),
            (TermKind::Accuracy(Accuracy::assumed(nm(5.0))), "6 % assumed"),
            (TermKind::Step, "as given"),
            (TermKind::Scatter, "as given"),
        ] {
            assert_eq!(term_source(term), source);
        }
    }
}
