//! Checks of `templates.csv` against the other sheets.

use std::collections::BTreeMap;

use super::{SheetKeys, Sheets};
use crate::book::template::{Check, TemplateCells, TemplateJoint};
use crate::book::{Commonness, Diagnostics, EntryCells, LimitCells};
use crate::sheet::field::built;

impl Sheets<'_> {
    pub(super) fn check_templates(
        &self,
        entries: &SheetKeys<'_>,
        sources: &SheetKeys<'_>,
        diagnostics: &mut Diagnostics,
    ) {
        let items = self.keys::<LimitCells>(|cells| cells.item);
        for cells in self.cells::<TemplateCells>() {
            sources.must_cite(cells.source, diagnostics);
            let joint = built(diagnostics, |fields| TemplateJoint::from_cells(&cells, fields));
            let Some(joint) = joint else { continue };
            // What is checked by hand alone need not be a fastener.
            if joint.check != Check::Function || !joint.entry.is_empty() {
                let known = if joint.check == Check::Measure { &items } else { entries };
                known.must_have(cells.entry, diagnostics);
            }
        }
        self.check_templates_are_of_today(diagnostics);
    }

    /// Points out a template that gives what such a bicycle of today does not have: a shop of its own may mean it.
    fn check_templates_are_of_today(&self, diagnostics: &mut Diagnostics) {
        let known: BTreeMap<&str, EntryCells<'_>> =
            self.cells::<EntryCells>().map(|cells| (cells.entry.text, cells)).collect();
        for cells in self.cells::<TemplateCells>() {
            let Some(entry) = known.get(cells.entry.text) else { continue };
            let ridden = Commonness::parse(entry.ridden.text).unwrap_or_default();
            if !ridden.suits(cells.kind.text, entry.name.text) {
                let message = format!(
                    "few ride `{}` today: it is nothing to give to every `{}`",
                    entry.entry.text, cells.kind.text
                );
                diagnostics.warning(
                    &cells.entry.at,
                    message,
                    "give an entry that entries.csv calls `most` or `today`",
                );
            }
        }
    }
}
