//! Corrections: what a line takes over of the one that it corrects, and lines that are struck.

use super::super::target::{Target, bicycle_of_joint};
use super::super::{Context, Failure, FailureKind};
use super::RecordArgs;
use crate::conformity::Kind;
use crate::store::Store;
use crate::words::shell;
use crate::workshop::{LocalInstant, Logged, Reading};

/// The reading of a joint that is corrected.
pub(super) fn corrected(store: &Store, target: &Target, id: i64) -> Result<Reading, Failure> {
    let (joint, logged) = standing(store, id)?;
    if joint == target.joint.id {
        return Ok(logged.reading);
    }
    let of = format!("{}/{}", logged.bicycle, logged.joint);
    let named = format!("{}/{}", target.bicycle.bicycle.name, target.joint.joint.name);
    let hint = format!("`evenclamp history {}` lists the readings with their numbers", shell(&named));
    Err(Failure::new(FailureKind::Value, format!("reading {id} is one of {of}, not of {named}"), hint))
}

/// A reading that counts still, with its joint; the failure names what stands in the place of one that does not.
fn standing(store: &Store, id: i64) -> Result<(i64, Logged), Failure> {
    let (joint, logged) = store.logged(id)?.ok_or_else(|| {
        let hint = "`evenclamp history BIKE/JOINT` lists the readings with their numbers";
        Failure::new(FailureKind::Value, format!("there is no reading {id}"), hint)
    })?;
    let mut last = None;
    let mut by = logged.corrected_by;
    while let Some((_, next)) = by.map(|id| store.logged(id)).transpose()?.flatten() {
        by = next.corrected_by;
        last = Some(next.reading);
    }
    let Some(last) = last else { return Ok((joint, logged)) };
    let now = last.id;
    let (message, hint) = match last.strikes() {
        Some(struck) => {
            let what =
                if struck == id { "it".to_owned() } else { format!("reading {struck}, which corrected it") };
            let hint = "nothing of it stands; record what was read anew".to_owned();
            (format!("reading {id} counts no longer: line {now} struck {what}"), hint)
        }
        None => (
            format!("reading {id} was corrected already: reading {now} stands in its place"),
            format!("correct that one with --corrects {now}, or strike it with --strike {now}"),
        ),
    };
    Err(Failure::new(FailureKind::Value, message, hint))
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
    let (joint, logged) = standing(store, id)?;
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
