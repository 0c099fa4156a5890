//! Corrections: what a line takes over of the one that it corrects, and lines that are struck.

use super::super::target::{Target, bicycle_of_joint};
use super::super::{Context, Failure, FailureKind};
use super::RecordArgs;
use crate::conformity::Kind;
use crate::store::{Store, StoreError};
use crate::workshop::{LocalInstant, Reading};

/// The reading of a joint that is corrected.
pub(super) fn corrected(store: &Store, target: &Target, id: i64) -> Result<Reading, Failure> {
    let found = store.logged(id)?.filter(|(joint, _)| *joint == target.joint.id);
    Ok(found.ok_or(StoreError::NotCorrectable(id))?.1.reading)
}

impl RecordArgs {
    /// A line with everything taken over from the reading that it corrects, but for what is named. A value in the
    /// place of a finding is a tightening, unless a kind is named.
    pub(super) fn taking_over(&self, line: &Reading, corrected: &Reading) -> Reading {
        let or_taken = |named: &Option<String>, taken: &str| {
            named.as_ref().map_or_else(|| taken.to_owned(), |text| text.trim().to_owned())
        };
        let was_read = self.values.is_empty() || corrected.value.is_some();
        let kind = if was_read { corrected.kind } else { Kind::Tightened };
        Reading {
            kind: self.kind.unwrap_or(kind),
            wrench: match &self.wrench {
                Some(named) => Some(named.clone()).filter(|name| !name.trim().is_empty()),
                // No wrench measured anything, whatever an old line says.
                None => corrected.wrench.clone().filter(|_| corrected.kind != Kind::Measured),
            },
            finding: line.finding.or(corrected.finding.filter(|_| was_read)),
            action: line.action.or(corrected.action),
            who: if line.who.is_empty() { corrected.who.clone() } else { line.who.clone() },
            note: or_taken(&self.note, &corrected.note),
            ..line.clone()
        }
    }
}

/// The line that strikes a reading: it says why, and nothing else.
pub(super) fn strike(
    store: &mut Store,
    (id, why): (i64, &str),
    now: LocalInstant,
    context: &Context,
) -> Result<(Target, Reading), Failure> {
    if why.is_empty() {
        let hint = "say why with --note, such as --note \"read on the other bicycle\"; nothing was struck";
        return Err(Failure::new(FailureKind::Value, "a line is struck for a reason", hint));
    }
    let (joint, logged) = store.logged(id)?.ok_or_else(|| {
        let hint = "`evenclamp history BIKE/JOINT` lists the readings with their numbers";
        Failure::new(FailureKind::Value, format!("there is no reading {id}"), hint)
    })?;
    let target = bicycle_of_joint(store, joint, &logged)?;
    let struck = Reading {
        bolt: logged.reading.bolt,
        who: context.who.clone(),
        note: why.to_owned(),
        corrects: Some(id),
        ..Reading::new(logged.reading.at, Kind::Skipped)
    };
    let mut appending = store.append()?;
    let number = appending.add(joint, &struck, now)?;
    appending.commit()?;
    Ok((target, Reading { id: number, ..struck }))
}
