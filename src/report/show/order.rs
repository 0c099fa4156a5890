//! The order of the bolts of an entry in one line.

use crate::book::{Page, Way};
use crate::sequence::{BoltNumber, ClosedSide};

/// The bolts of an entry by number, group by group as they come up.
pub(super) fn bolt_groups(page: &Page) -> Vec<Vec<usize>> {
    // A book is refused where the pattern of an entry does not fit its layout.
    let groups = page.kind.pattern(ClosedSide::Top).groups(&page.entry.layout).unwrap_or_default();
    groups.into_iter().map(|group| group.into_iter().map(BoltNumber::number).collect()).collect()
}

/// None where no torque is for the part.
pub(super) fn order_text(page: &Page) -> Option<String> {
    let first =
        page.entry.needs.as_ref().map(|needed| format!("first `{needed}`; then ")).unwrap_or_default();
    let joined = |bolts: &Vec<usize>| bolts.iter().map(ToString::to_string).collect::<Vec<_>>().join("-");
    let bolts = bolt_groups(page).iter().map(joined).collect::<Vec<_>>().join(", and only then ");
    let lower_steps = page.kind.parameters.ladder.levels().len() > 1;
    let how = match (page.kind.way, page.entry.layout.bolts()) {
        (Way::UntilPlayGone, _) => "only until the play has just gone".to_owned(),
        (Way::NoTorque, _) => return None,
        (_, 1) if lower_steps => "up in steps, the last part slowly".to_owned(),
        (_, 1) => "in one go, the last part slowly".to_owned(),
        (Way::ClosedSideFirst, _) => {
            format!(
                "{bolts} in small steps, the pair marked as closed first, then once more until no bolt moves"
            )
        }
        (Way::Crosswise, _) => format!("{bolts} in small steps, then once more until no bolt moves"),
    };
    Some(format!("{first}{how} (`evenclamp order {}`)", page.entry.entry))
}
