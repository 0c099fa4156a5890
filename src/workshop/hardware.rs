//! What the spec book knows of the hardware of a joint, summed up once.

use crate::book::{Hand, Orientation, Page, word_of_band};
use crate::joint::{Expected, MaterialFamily};
use crate::quantity::{Resolution, Spec, newton_metres};
use crate::sequence::Layout;

/// The page of an entry, summed up for judging.
#[derive(Debug, Clone, PartialEq)]
pub struct Hardware {
    pub name: String,
    pub family: String,
    /// Designation of its thread, or empty.
    pub thread: String,
    /// The metal of its bolts, where every source speaks of the same.
    pub metal: Option<MaterialFamily>,
    /// How the bolts of one clamp stand.
    pub layout: Layout,
    pub hand: Hand,
    /// What its band specifies, where there is one.
    pub spec: Option<Spec>,
    /// What a figure that is typed in for it is measured by.
    pub(crate) expected: Expected,
    /// The best-backed stretch inside that, where one aims.
    pub core: Option<Spec>,
    pub resolution: Resolution,
    /// Who stands behind the band, in words.
    pub word: String,
    /// On whose word it stands, where the band is thin.
    pub caveat: Option<String>,
    /// Whether somebody who counts allows less than all of the band.
    pub others_print_less: bool,
    /// What is commonly given where there is no band.
    pub orientation: Option<Orientation>,
}

impl Hardware {
    pub(crate) fn of(page: &Page) -> Hardware {
        let consensus = page.consensus();
        Hardware {
            name: page.entry.name.clone(),
            family: page.entry.family.clone(),
            thread: page.entry.thread.clone(),
            metal: page.bolt_material(),
            layout: page.entry.layout.clone(),
            hand: page.entry.hand,
            spec: consensus.spec,
            expected: page.expected(),
            core: consensus.backed_core(),
            // A tenth of a N·m where nothing was printed.
            resolution: consensus.resolution.unwrap_or(Resolution(newton_metres(0.1))),
            word: word_of_band(&page.entry.entry, &page.evidence, &consensus),
            caveat: consensus.caveat(),
            others_print_less: consensus.others_print_less(),
            orientation: consensus.orientation,
        }
    }
}
