//! The ring under a bolt head that rubs when it turns: from the least bearing diameter d_w of the
//! head (ISO 4762 socket, ISO 4014 hexagon) and the clearance hole d_h (ISO 273 medium). In mm.

use std::collections::HashSet;

use super::table::{Basis, Provenance, provenance};
use super::thread::Thread;
use super::units::{Length, millimetres};
use super::{Catalogue, JointError};
use crate::sheet::field::read;
use crate::sheet::{Diagnostics, Row, by_size, sheet};
use crate::words::{is_one_of, words};

words! {
    /// The form of a bolt head.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum HeadKind: name {
        /// Cylinder head with a hexagon socket, ISO 4762.
        Socket = "socket",
        /// Hexagon head, ISO 4014; also what published torque tables assume.
        Hex = "hex",
    }
}

impl HeadKind {
    /// Reads `socket` or `hex` and their usual names.
    ///
    /// # Errors
    /// [`JointError::Unknown`] with both names.
    pub fn named(text: &str) -> Result<HeadKind, JointError> {
        let is = |names: &[&str]| is_one_of(text, names.iter().copied());
        if is(&["socket", "cap", "allen", "cylinder", "socket head"]) {
            Ok(HeadKind::Socket)
        } else if is(&["hex", "hexagon", "hexagon head", "hex head"]) {
            Ok(HeadKind::Hex)
        } else {
            Err(JointError::unknown("head", text, HeadKind::ALL.map(|kind| kind.name().to_owned()).to_vec()))
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Item {
    Bearing(HeadKind),
    Hole,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct HeadSize {
    item: Item,
    nominal: Length,
    diameter: Length,
    provenance: Provenance,
}

/// The head friction diameter of a bolt and whether it was known.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadBearing {
    /// The form of the head.
    pub kind: HeadKind,
    /// D_Km, the mean diameter of the head friction, in mm.
    pub diameter: Length,
    /// From the table, or estimated because the head of this size is not tabulated.
    pub basis: Basis,
}

/// What an untabulated head is taken for: D_Km over d.
const ESTIMATED_RATIO: f64 = 1.3;
/// How an untabulated head is estimated.
const RULE: &str = "1.3 times the thread diameter; tabulated heads lie between 1.2 and 1.45";

impl Catalogue {
    /// The bearing of a head on a thread: D_Km = (d_w + d_h)/2 (VDI 2230 Part 1), estimated as 1.3·d
    /// where the table has no head or hole of that diameter.
    pub(crate) fn head(&self, kind: HeadKind, thread: &Thread) -> HeadBearing {
        let nominal = thread.profile.major_diameter();
        let row = |item| self.heads.iter().find(|size| size.item == item && size.nominal == nominal);
        match (row(Item::Bearing(kind)), row(Item::Hole)) {
            (Some(head), Some(hole)) => HeadBearing {
                kind,
                diameter: (head.diameter + hole.diameter) / 2.0,
                basis: Basis::Tabulated(format!("{}; {}", head.provenance.source, hole.provenance.source)),
            },
            _ => HeadBearing { kind, diameter: nominal * ESTIMATED_RATIO, basis: Basis::Estimated(RULE) },
        }
    }
}

sheet! {
    /// `specs/heads.csv`.
    pub static HEADS: HeadCells = "heads" {
        item, nominal_diameter_mm, diameter_mm,
        #[expect(dead_code, reason = "it is for those who read the sheet")]
        note,
        source, grade,
    }
    sorted by |cells| vec![cells.item.owned(), by_size(cells.nominal_diameter_mm.text)]
}

const ITEMS: &[(&str, Item)] = &[
    ("socket", Item::Bearing(HeadKind::Socket)),
    ("hex", Item::Bearing(HeadKind::Hex)),
    ("hole", Item::Hole),
];

pub(super) fn read_heads(rows: &[Row], diagnostics: &mut Diagnostics) -> Vec<HeadSize> {
    let mut seen = HashSet::new();
    read::<HeadCells, _>(rows, diagnostics, |cells, fields| {
        let key = format!("{} {}", cells.item.text, cells.nominal_diameter_mm.text);
        fields.once(&mut seen, cells.nominal_diameter_mm, &key);
        let item = fields.choice(cells.item, ITEMS);
        let nominal = fields.positive(cells.nominal_diameter_mm).map(millimetres);
        let diameter = fields.positive(cells.diameter_mm).map(millimetres);
        let provenance = provenance(cells.source, cells.grade, fields);
        if diameter.is_some() && diameter <= nominal {
            let fix = "give d_w of the head or d_h of the hole, in mm";
            fields.report(cells.diameter_mm, "the diameter is not above the nominal one", fix);
        }
        Some(HeadSize { item: item?, nominal: nominal?, diameter: diameter?, provenance: provenance? })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::joint::{Catalogue, in_ratio};
    use approx::assert_abs_diff_eq;

    #[test]
    fn the_estimate_lies_in_the_middle_of_the_tabulated_heads() {
        let catalogue = Catalogue::compiled_in();
        let mut ratios = Vec::new();
        for thread in &catalogue.threads {
            for kind in [HeadKind::Socket, HeadKind::Hex] {
                let bearing = catalogue.head(kind, thread);
                if matches!(bearing.basis, Basis::Tabulated(_)) {
                    ratios.push(in_ratio(bearing.diameter / thread.profile.major_diameter()));
                }
            }
        }
        assert!(ratios.iter().all(|ratio| (1.2..1.45).contains(ratio)), "{ratios:?}");
        let count = f64::from(u32::try_from(ratios.len()).unwrap());
        assert_abs_diff_eq!(ratios.iter().sum::<f64>() / count, ESTIMATED_RATIO, epsilon = 0.03);
    }

    #[test]
    fn an_untabulated_head_is_marked_as_an_estimate() {
        let catalogue = Catalogue::compiled_in();
        let of = |name| catalogue.head(HeadKind::Socket, catalogue.thread(name).unwrap()).basis;
        assert_eq!(of("M7"), Basis::Estimated(RULE));
        assert_eq!(of("9/16-20"), Basis::Estimated(RULE));
        assert!(matches!(of("M5"), Basis::Tabulated(_)));
        assert!(HeadKind::named("countersunk").is_err());
    }
}
