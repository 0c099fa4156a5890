//! `bike add`: take a bicycle in.

use clap::{ArgGroup, Args};

use super::super::target::any_bicycle;
use super::super::words::typed_name;
use super::super::{Answer, Context, Failure, FailureKind, clock};
use super::admit::JointRules;
use crate::book::{TemplateJoint, kind_called};
use crate::store::Store;
use crate::workshop::{Bicycle, Joint, Name, StoredBicycle};

/// Take a bicycle in, with the joints of its kind or those of another bicycle
#[derive(Debug, Args)]
#[command(group(ArgGroup::new("build").required(true)), after_help = "Examples:
  evenclamp bike add loan-7 --kind hardtail --owner \"the club\" --frame HT2291
  evenclamp bike add errand --kind city
  evenclamp bike add loan-8 --like loan-7

Kinds: cargo, children, city, cross-country, downhill, e-bike-city, e-bike-trail, enduro, folding, gravel, hardtail,
road-disc, road-rim, touring, trail; a book of your own may have others. Words such as mtb, racer or pedelec find theirs.")]
pub(super) struct AddBikeArgs {
    /// What it is called: fleet number or nickname
    name: String,
    /// Kind of bicycle, which gives it its joints
    #[arg(long, value_name = "KIND", group = "build")]
    kind: Option<String>,
    /// A bicycle of the same build: its kind and its joints with their figures are taken over, no readings
    #[arg(long, value_name = "BIKE", group = "build")]
    like: Option<String>,
    /// Frame number
    #[arg(long, value_name = "TEXT", default_value = "")]
    frame: String,
    /// Who owns it
    #[arg(long, value_name = "TEXT", default_value = "")]
    owner: String,
    /// Anything else worth knowing
    #[arg(long, value_name = "TEXT", default_value = "")]
    note: String,
}

pub(super) fn answer(args: &AddBikeArgs, context: &Context) -> Result<Answer, Failure> {
    let name = typed_name(&args.name)?;
    let mut store = context.store_with_book()?;
    let (kind, joints, next) = match &args.like {
        Some(like) => as_on(like, &name, &store, context)?,
        None => of_kind(args.kind.as_deref().unwrap_or_default(), &name, &store, context)?,
    };
    let bicycle = Bicycle {
        name,
        kind,
        frame: args.frame.trim().to_owned(),
        owner: args.owner.trim().to_owned(),
        note: args.note.trim().to_owned(),
        added: clock::now()?,
        retired: None,
    };
    store.add_bicycle(&bicycle, &joints)?;
    drop(store);
    let answer = super::shown(bicycle.name.text(), |_| true, context)?;
    context.say(format!("next: {next}"));
    Ok(answer)
}

/// The kind of a new bicycle, its joints, and what to do next.
type Build = (String, Vec<Joint>, String);

/// The build that a template gives.
fn of_kind(kind: &str, name: &Name, store: &Store, context: &Context) -> Result<Build, Failure> {
    let asked = kind;
    let mut kind = asked.trim().to_lowercase();
    let mut template = store.template(&kind)?;
    if let Some(meant) = kind_called(&kind).filter(|_| template.is_empty()) {
        context.say(format!("`{asked}` is taken in by the template `{meant}`"));
        meant.clone_into(&mut kind);
        template = store.template(&kind)?;
    }
    if template.is_empty() {
        let hint = format!("known are {}", store.bicycle_kinds()?.join(", "));
        let message = format!("no template for the kind `{asked}`");
        return Err(Failure::new(FailureKind::Kind, message, hint));
    }
    let joints = template.into_iter().map(from_template).collect::<Result<Vec<Joint>, _>>()?;
    let next = format!(
        "note the figures that stand on the parts (`evenclamp bike joint edit {name} JOINT --marking …`, or all of \
         them in a table: `evenclamp bike sheet {name} --to {name}.csv`), then `evenclamp visit {name}`"
    );
    Ok((kind, joints, next))
}

/// The build of another bicycle. Its photos show its own parts and stay with it.
fn as_on(like: &str, name: &Name, store: &Store, context: &Context) -> Result<Build, Failure> {
    let StoredBicycle { id, bicycle } = any_bicycle(store, like)?;
    let joints = store.joints(Some(id))?.into_iter();
    let joints: Vec<Joint> = joints.map(|stored| Joint { photo: String::new(), ..stored.joint }).collect();
    let rules = JointRules::of(joints.iter(), store, context)?;
    for joint in &joints {
        rules.admit_typed(joint, None, |_| true).map_err(|failure| {
            let put_right = format!("put it right on {} first; nothing was taken in", bicycle.name);
            let hint = failure.hint.map_or_else(|| put_right.clone(), |hint| format!("{hint}; {put_right}"));
            Failure {
                message: format!("{}/{}: {}", bicycle.name, joint.name, failure.message),
                hint: Some(hint),
                ..failure
            }
        })?;
    }
    let with_figure = joints.iter().filter(|joint| joint.figures.all().next().is_some()).count();
    let next = format!(
        "{with_figure} of {} joints have the figures of {}: see that the same stand on the parts of {name}, \
         then `evenclamp visit {name}`",
        joints.len(),
        bicycle.name
    );
    Ok((bicycle.kind, joints, next))
}

/// The joint of a row of a template.
pub(super) fn from_template(row: TemplateJoint) -> Result<Joint, Failure> {
    Ok(Joint {
        place: row.place,
        order: row.order,
        check: row.check,
        entry: row.entry,
        bolts: row.bolts,
        critical: row.critical,
        hand: row.hand,
        ..Joint::named(Name::new(&row.joint)?)
    })
}
