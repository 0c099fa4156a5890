//! What kind of joint the bolts of an entry hold: how they are brought up, and what a plan assumes.

use std::fmt;
use std::str::FromStr;

use serde::Serialize;
use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::sheet::{Cell, Fields, sheet};
use crate::sequence::{ClosedSide, Layout, LossBand, Parameters, Pattern, Shape};
use crate::words::words;

sheet! {
    /// `specs/layouts.csv`.
    pub static LAYOUTS: LayoutCells = "layouts" {
        kind, pattern, loss_low, loss_nominal, loss_high, decay, ladder, note, source, grade,
    }
}

words! {
    /// How the bolts of a joint are brought up.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
    #[serde(rename_all = "kebab-case")]
    pub enum Way: word {
        /// All together, crosswise.
        Crosswise = "crosswise",
        /// The pair of the closed side first; the maker's marking says which side that is.
        ClosedSideFirst = "closed-side-first",
        /// Only until the play of a bearing has just gone; the torque is a bound, not an aim.
        UntilPlayGone = "until-play-gone",
        /// By no torque at all: by tension, by hand, by a press; the entry says by what.
        NoTorque = "no-torque",
    }
}

/// How far the figures of a kind can be relied on.
const GRADES: &[(&str, ())] = &[("assumption", ()), ("published", ())];

/// A kind of joint, and what plans assume of it.
#[derive(Debug, Clone, PartialEq)]
pub struct JointKind {
    /// Key, such as `face-plate`.
    pub kind: String,
    /// How the bolts are brought up.
    pub way: Way,
    /// Loss, decay and ladder.
    pub parameters: Parameters,
    /// What the kind is.
    pub note: String,
    /// What the figures rest on.
    pub source: String,
    /// `assumption` or `published`.
    pub grade: String,
}

impl JointKind {
    /// Key of the kind to assume of a plate that is said to close without a gap on one side.
    pub const CLOSED_SIDE: &'static str = "zero-gap";

    /// The kinds that [`JointKind::usual`] and [`JointKind::CLOSED_SIDE`] name: a book must have them.
    pub const NAMED: [&'static str; 8] =
        ["face-plate", "ring", "grid", "pair", "row", "points", "single-clamp", JointKind::CLOSED_SIDE];

    pub(crate) fn from_cells(cells: &LayoutCells<'_>, fields: &mut Fields<'_>) -> Option<JointKind> {
        fields.choice(cells.grade, GRADES);
        let way = fields.choice(cells.pattern, Way::WORDS);
        let losses = losses(cells, fields);
        let decay = fraction(cells.decay, fields);
        if decay.is_some_and(|decay| !(0.0..=1.0).contains(&decay.get::<ratio>())) {
            fields.report(cells.decay, "a decay is not above 1 nor below 0", "use one such as 0.4");
        }
        let ladder = parsed(cells.ladder, fields);
        Some(JointKind {
            kind: fields.key(cells.kind),
            note: fields.filled(cells.note),
            source: fields.filled(cells.source),
            grade: cells.grade.owned(),
            way: way?,
            parameters: Parameters { losses: losses?, decay: decay?, ladder: ladder? },
        })
    }

    /// The key of the kind to assume where only the layout is known.
    ///
    /// A ring of four is taken as a face plate, and one bolt as that of a clamp: they need more care
    /// than a stiff ring or an axle, and too much does no harm.
    #[must_use]
    pub fn usual(layout: &Layout) -> &'static str {
        match layout.shape() {
            Shape::Ring if layout.bolts() == 4 => "face-plate",
            Shape::Ring => "ring",
            Shape::Grid { .. } => "grid",
            Shape::Pair => "pair",
            Shape::Row => "row",
            Shape::Points if layout.bolts() > 1 => "points",
            Shape::Points | Shape::Single => "single-clamp",
        }
    }

    /// The pattern of its bolts, given the side that closes first where one does.
    #[must_use]
    pub fn pattern(&self, closed: ClosedSide) -> Pattern {
        match self.way {
            Way::ClosedSideFirst => Pattern::ClosedSideFirst(closed),
            Way::Crosswise | Way::UntilPlayGone | Way::NoTorque => Pattern::Crosswise,
        }
    }

    /// Why a joint of this layout cannot be of this kind, and what would be right; nothing when it can.
    pub(crate) fn misfit(&self, layout: &Layout) -> Option<(String, String)> {
        let kind = &self.kind;
        let losses = self.parameters.losses.likely();
        let nothing = Ratio::new::<ratio>(0.0);
        // One bolt has no other to take load from it; several always have.
        let for_one = losses.low == nothing && losses.high == nothing;
        let usual = || format!("such a joint may be `{}`", JointKind::usual(layout));
        if for_one != (layout.bolts() == 1) {
            let meant = if for_one { "one bolt" } else { "several bolts" };
            return Some((format!("kind `{kind}` is for {meant}, not for {}", layout.bolts()), usual()));
        }
        let unsuited = self.pattern(ClosedSide::Top).groups(layout).err()?;
        Some((format!("kind `{kind}` does not fit: {unsuited}"), usual()))
    }
}

fn losses(cells: &LayoutCells<'_>, fields: &mut Fields<'_>) -> Option<LossBand> {
    let [low, nominal, high] =
        [cells.loss_low, cells.loss_nominal, cells.loss_high].map(|cell| fraction(cell, fields));
    let fix = "use fractions that rise, such as 0.05, 0.15 and 0.35; a gain is below 0";
    let losses = LossBand::new(low?, nominal?, high?);
    losses.map_err(|error| fields.report(cells.loss_nominal, error.to_string(), fix)).ok()
}

fn fraction(cell: Cell<'_>, fields: &mut Fields<'_>) -> Option<Ratio> {
    let value = cell.text.parse::<f64>().ok().filter(|value| value.is_finite());
    if value.is_none() {
        fields.report(cell, format!("`{}` is not a fraction", cell.text), "use one such as 0.15");
    }
    value.map(Ratio::new::<ratio>)
}

fn parsed<T: FromStr<Err: fmt::Display>>(cell: Cell<'_>, fields: &mut Fields<'_>) -> Option<T> {
    cell.text
        .parse()
        .map_err(|error: T::Err| fields.report(cell, format!("{error}"), "use one such as 30/60/100"))
        .ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_kind_follows_from_the_layout_where_nothing_else_is_known() {
        for (layout, bolts, kind) in [
            ("ring", 3, "ring"),
            ("ring", 4, "face-plate"),
            ("ring", 5, "ring"),
            ("grid 2x3", 6, "grid"),
            ("pair", 2, "pair"),
            ("row", 3, "row"),
            ("single", 1, "single-clamp"),
        ] {
            assert_eq!(JointKind::usual(&Layout::named(layout, bolts).unwrap()), kind, "{layout} {bolts}");
        }
    }
}
