//! `bike add`: take a bicycle in.

use clap::Args;

use super::super::{Answer, Context, Failure, FailureKind, clock};
use crate::book::{TemplateJoint, kind_called};
use crate::workshop::{Bicycle, Joint, Name};

/// Take a bicycle in, with the joints of its kind
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp bike add loan-7 --kind hardtail --owner \"the club\" --frame HT2291
  evenclamp bike add errand --kind city

Kinds: city, e-bike, gravel, hardtail, road, trail; a book of your own may have others. Words such as mtb, enduro
or racer find theirs.")]
pub(super) struct AddBikeArgs {
    /// What it is called: fleet number or nickname
    name: String,
    /// Kind of bicycle, which gives it its joints
    #[arg(long, value_name = "KIND")]
    kind: String,
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
    let name = Name::new(&args.name)?;
    let mut store = context.store_with_book()?;
    let mut kind = args.kind.trim().to_lowercase();
    let mut template = store.template(&kind)?;
    if let Some(meant) = kind_called(&kind).filter(|_| template.is_empty()) {
        context.say(format!("`{}` is taken in by the template `{meant}`", args.kind));
        meant.clone_into(&mut kind);
        template = store.template(&kind)?;
    }
    if template.is_empty() {
        let hint = format!("known are {}", store.bicycle_kinds()?.join(", "));
        let message = format!("no template for the kind `{}`", args.kind);
        return Err(Failure::new(FailureKind::Kind, message, hint));
    }
    let joints = template.into_iter().map(from_template).collect::<Result<Vec<Joint>, _>>()?;
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
    let answer = super::shown(bicycle.name.text(), None, context)?;
    let name = &bicycle.name;
    context.say(format!(
        "next: note the figures that stand on the parts (`evenclamp bike joint edit {name} JOINT --marking …`), \
         then `evenclamp visit {name}`"
    ));
    Ok(answer)
}

fn from_template(row: TemplateJoint) -> Result<Joint, Failure> {
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
