//! `order`: the procedure of a joint and the steps in which its bolts are brought up.

use clap::Args;

use super::instrument::InstrumentArgs;
use super::subject::Subject;
use super::{Answer, Context, Failure, Outcome};
use crate::book::Phase;
use crate::conformity::SettingScale;
use crate::quantity::{Spec, Torque, TorqueUnit, parse_spec};
use crate::report::{OrderReport, Procedure};
use crate::sequence::{Layout, Scale, order};

/// Give the order of the bolts and the settings, with what to do before and after
///
/// The bolts are brought up crosswise in steps of 30, 60 and 100 %, then once more at 100 % until no
/// bolt moves. No setting is above what is specified.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp order crank-pinch-bolts
  evenclamp order rotor-bolt-six --torque \"4 N·m\"
  evenclamp order --bolts 4 --layout ring --torque \"5 N·m\" --step 0.5
  evenclamp order --bolts 6 --layout \"grid 2x3\" --torque \"60-70 in-lb\" --format csv")]
pub(super) struct OrderArgs {
    /// Key of the entry, as `find` lists it
    #[arg(value_name = "ENTRY", required_unless_present = "bolts", conflicts_with = "bolts")]
    entry: Option<String>,
    /// How many bolts the joint has
    #[arg(long, value_name = "N", requires = "torque")]
    bolts: Option<usize>,
    /// How they stand: ring, grid RxC, pair, row, single
    #[arg(long, value_name = "LAYOUT", requires = "bolts")]
    layout: Option<String>,
    /// What they are tightened to, instead of the entry's band
    #[arg(long, value_name = "SPEC")]
    torque: Option<String>,
    #[command(flatten)]
    instrument: InstrumentArgs,
}

/// Parts of the target at which the bolts are brought up (published for flanges: 30, 60 and 100 %).
const LADDER_PERCENT: [f64; 3] = [30.0, 60.0, 100.0];

pub(super) fn answer(args: &OrderArgs, context: &Context) -> Result<Answer, Failure> {
    let given = args.torque.as_deref().map(parse_spec).transpose()?;
    let (subject, layout) = match (&args.entry, args.bolts) {
        (Some(entry), _) => {
            let store = context.store_with_book()?;
            let page = context.page(&store, entry)?;
            let layout = page.entry.layout.clone();
            let subject = Subject::entry(page);
            match &given {
                Some(stated) => (Subject { page: subject.page, ..Subject::literal(stated, context) }, layout),
                None => (subject, layout),
            }
        }
        (None, bolts) => {
            let bolts = bolts.unwrap_or_default();
            let layout = Layout::named(args.layout.as_deref().unwrap_or(usual_layout(bolts)), bolts)?;
            let stated = given.ok_or_else(|| {
                Failure::new("usage", "a torque is missing", "add --torque, such as --torque \"5 N·m\"")
            })?;
            (Subject::literal(&stated, context), layout)
        }
    };
    let unit = context.unit.unwrap_or(subject.unit);
    let spec = subject.needed()?;
    let step = args.instrument.step_or_usual(spec.largest(), unit)?;
    let target = target(&subject, spec, step, args, unit)?;
    let report = OrderReport::new(
        &layout,
        &order(&layout),
        &LADDER_PERCENT,
        target,
        Scale::stepped(step).map_err(setting)?,
        unit,
        procedure(&subject, unit),
    )
    .map_err(setting)?;
    Answer::of(&report, context, Outcome::Good)
}

/// The layout meant when only the number of bolts is given.
fn usual_layout(bolts: usize) -> &'static str {
    match bolts {
        0 | 1 => "single",
        2 => "pair",
        _ => "ring",
    }
}

/// The setting of the last pass: the one with the best chance of landing inside, never above a limit.
fn target(
    subject: &Subject,
    spec: Spec,
    step: Torque,
    args: &OrderArgs,
    unit: TorqueUnit,
) -> Result<Torque, Failure> {
    let instrument = args.instrument.instrument(spec.largest(), unit)?;
    let scale = SettingScale::new(Torque::default(), spec.largest() * 2.0, Some(step));
    let aim = scale.and_then(|scale| subject.aim(&instrument, &scale));
    let (_, high) = spec.limits();
    aim.map(|aim| aim.setting).filter(|setting| high.is_none_or(|high| *setting <= high)).ok_or_else(|| {
        Failure::new(
            "wrench",
            "no setting of this wrench lies safely within what is specified",
            "take a wrench with finer steps or better accuracy, or give another --torque",
        )
    })
}

fn procedure(subject: &Subject, unit: TorqueUnit) -> Procedure {
    let page = subject.page.as_ref();
    let phase = |phase| {
        page.map(|page| page.phase(phase).into_iter().map(str::to_owned).collect()).unwrap_or_default()
    };
    let mut before: Vec<String> = phase(Phase::Prepare);
    before.extend(phase(Phase::Before));
    Procedure {
        title: page.map_or_else(|| "Joint as given".to_owned(), |page| page.entry.name.clone()),
        specified: format!("{} ({})", subject.text(unit).unwrap_or_default(), subject.ground),
        before,
        during: phase(Phase::During),
        after: phase(Phase::After),
        cautions: phase(Phase::Caution),
    }
}

fn setting(error: crate::sequence::SettingError) -> Failure {
    Failure::new("wrench", error.to_string(), error.hint())
}
