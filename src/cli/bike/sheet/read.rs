//! `bike sheet --from`: what a table says of joints, taken over by all of them or none.

use std::collections::HashSet;

use super::super::super::{Answer, Context, Failure, FailureKind, OrFail as _};
use super::super::admit::{JointRules, RefusedJoint, refuse_less_without_reason};
use super::super::{decision, judged};
use crate::report::{ChangedJoints, SheetTaken, TakenField};
use crate::sheet::{ChangedRow, Diagnostics, KeptRecord as _, Place, fillable_fields, read_changes};
use crate::store::Store;
use crate::words::{counted, nearest};
use crate::workshop::{Joint, StoredBicycle, StoredJoint};

/// The file of joints: its name, the column of their bicycle, that of their name.
const JOINTS: (&str, &str, &str) = ("joints", "bike", "joint");

/// A joint as it is to be, with the row that says so.
struct Draft<'a> {
    bicycle: &'a StoredBicycle,
    before: &'a StoredJoint,
    joint: Joint,
    row: &'a ChangedRow<Joint>,
}

pub(super) fn answer(
    mut store: Store,
    bicycles: &[StoredBicycle],
    (bytes, shown): (&[u8], &str),
    context: &Context,
) -> Result<Answer, Failure> {
    let mut diagnostics = Diagnostics::default();
    let rows = read_changes::<Joint>(JOINTS, bytes, &mut diagnostics);
    let mut joints = Vec::new();
    for stored in bicycles {
        joints.push((stored, store.joints(Some(stored.id))?));
    }
    let drafts = drafts(&rows, &joints, &mut diagnostics)?;
    let (same, changed): (Vec<Draft<'_>>, Vec<Draft<'_>>) =
        drafts.into_iter().partition(|draft| draft.joint == draft.before.joint);
    admit(&changed, &store, &mut diagnostics, context)?;
    refuse(diagnostics, shown)?;
    for draft in &changed {
        refuse_less_without_reason(&draft.before.joint, &draft.joint, context)?;
    }
    let fields: Vec<TakenField> = changed.iter().flat_map(Draft::taken).collect();
    let as_changed = |draft: &Draft<'_>| StoredJoint { joint: draft.joint.clone(), ..draft.before.clone() };
    let stored: Vec<StoredJoint> = changed.iter().map(as_changed).collect();
    store.change_joints(&stored)?;
    let judged = judged(&store, bicycles.iter().cloned(), &stored)?;
    let joints = ChangedJoints { judged: &judged, unit: context.unit };
    let report = SheetTaken { rows: same.len() + changed.len(), fields: &fields, joints };
    Answer::of(&report, context, decision(judged.iter().flat_map(|(_, judged)| &judged.joints)))
}

/// The joints that the rows are about, as they are to be.
fn drafts<'a>(
    rows: &'a [ChangedRow<Joint>],
    bicycles: &'a [(&'a StoredBicycle, Vec<StoredJoint>)],
    diagnostics: &mut Diagnostics,
) -> Result<Vec<Draft<'a>>, Failure> {
    let (mut drafts, mut seen) = (Vec::new(), HashSet::new());
    for row in rows {
        let (bike, at) = &row.whole;
        let is_meant =
            |stored: &StoredBicycle| bike.is_empty() || is_called(stored.bicycle.name.text(), bike);
        let mut found = bicycles.iter().filter(|(stored, _)| is_meant(stored)).peekable();
        if found.peek().is_none() {
            let fix =
                "name it in the command, or leave the column bike empty for every bicycle that is named";
            diagnostics.error(at, format!("the bicycle `{bike}` is none of those named"), fix);
        }
        for (bicycle, joints) in found {
            let Some(before) = before(row, bicycle, joints, diagnostics) else { continue };
            if !seen.insert(before.id) {
                let message = format!("{}/{} stands in another row", bicycle.bicycle.name, before.joint.name);
                diagnostics.error(&row.field("joint").1, message, "keep one of them");
            }
            let joint = row.applied_to(&before.joint, "joint", right, diagnostics);
            let joint = joint.or_fail(FailureKind::Database, "nothing was changed")?;
            parts_with_figures(row, &joint, diagnostics);
            drafts.push(Draft { bicycle, before, joint, row });
        }
    }
    Ok(drafts)
}

fn is_called(name: &str, text: &str) -> bool {
    name.to_lowercase() == text.to_lowercase()
}

/// The joint of a bicycle that a row names.
fn before<'a>(
    row: &ChangedRow<Joint>,
    bicycle: &StoredBicycle,
    joints: &'a [StoredJoint],
    diagnostics: &mut Diagnostics,
) -> Option<&'a StoredJoint> {
    let (name, at) = row.field("joint");
    let found = joints.iter().find(|stored| is_called(stored.joint.name.text(), name));
    if found.is_none() {
        let names = joints.iter().map(|stored| stored.joint.name.text());
        let bike = &bicycle.bicycle.name;
        let fix = match nearest(name, names, 3).as_slice() {
            [] => format!("`evenclamp bike joint add {bike} NAME --entry ENTRY` adds one"),
            names => format!("nearest: {}", names.join(", ")),
        };
        diagnostics.error(&at, format!("{bike} has no joint `{name}`"), fix);
    }
    found
}

/// What would be right in a column.
fn right(column: &str) -> &'static str {
    match column {
        "critical" => "say yes or no",
        "hand" => "say right or left, or leave it empty",
        "check" => "use torque, function or measure",
        _ => "use a whole number",
    }
}

/// A part counts for nothing without its figure.
fn parts_with_figures(row: &ChangedRow<Joint>, joint: &Joint, diagnostics: &mut Diagnostics) {
    for column in ["marking_part", "second_marking_part"] {
        let (part, at) = row.field(column);
        if !part.is_empty() && joint.figures.markings.iter().all(|marking| marking.part != part) {
            let message = format!("{column}: the {part} has no figure");
            diagnostics.error(
                &at,
                message,
                "write the figure that stands on it beside it, or take the part out",
            );
        }
    }
}

/// Lets every changed joint pass the rules of a change; what is stated is what is different.
fn admit(
    changed: &[Draft<'_>],
    store: &Store,
    diagnostics: &mut Diagnostics,
    context: &Context,
) -> Result<(), Failure> {
    let rules = JointRules::of(changed.iter().map(|draft| &draft.joint), store, context)?;
    for Draft { bicycle, before, joint, row } in changed {
        let bike = &bicycle.bicycle.name;
        let is_stated =
            |column: &str| joint.figures.of_column(column) != before.joint.figures.of_column(column);
        let mut refused = Vec::new();
        for remark in rules.admit(joint, Some(&before.joint), is_stated, &mut refused) {
            context.say(format!("{bike}/{remark}"));
        }
        for RefusedJoint { column, failure: Failure { message, hint, .. } } in refused {
            let message = format!("{bike}/{}, {column}: {message}", joint.name);
            diagnostics.error(&row.field(column).1, message, hint.unwrap_or_default());
        }
    }
    Ok(())
}

/// The failure that lists every complaint by line and column.
fn refuse(diagnostics: Diagnostics, shown: &str) -> Result<(), Failure> {
    let place = |at: &Place| format!("{shown}:{}:{}", at.line, at.column);
    let errors = diagnostics.into_errors();
    let Some(first) = errors.first() else { return Ok(()) };
    let lines: Vec<String> = errors
        .iter()
        .map(|error| format!("{}: {}; {}", place(&error.at), error.message, error.fix))
        .collect();
    let message = format!(
        "the table has {}; nothing was changed\n{}",
        counted(lines.len(), "complaint"),
        lines.join("\n")
    );
    Err(Failure::new(FailureKind::Sheet, message, "").at(place(&first.at)))
}

impl Draft<'_> {
    /// The fields that are different.
    fn taken(&self) -> Vec<TakenField> {
        let bike = self.bicycle.bicycle.name.text();
        let (from, to) = (fillable_fields(bike, &self.before.joint), fillable_fields(bike, &self.joint));
        let columns = Joint::COLUMNS.iter().map(|column| column.file);
        let fields = columns.zip(from.into_iter().zip(to).skip(1));
        let differing = fields.filter(|(_, (from, to))| from != to);
        let taken = |(column, (from, to))| TakenField {
            bike: bike.to_owned(),
            joint: self.before.joint.name.to_string(),
            column,
            from,
            to,
        };
        differing.map(taken).collect()
    }
}
