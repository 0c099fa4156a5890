//! The command line: arguments, dispatch, exit status. Each command is one file that turns its
//! arguments into a report.

mod audit;
mod backup;
mod bike;
mod bolt;
mod book;
mod card;
mod check;
mod clock;
mod complete;
mod context;
mod convert;
mod demo;
mod due;
mod failure;
mod file;
mod find;
mod folder;
mod geometry;
mod history;
mod instrument;
mod known_bolt;
mod look_back;
mod order;
mod parse;
mod progress;
mod ready;
mod record;
mod ride;
mod show;
mod subject;
mod target;
mod tool;
mod transfer;
mod verify;
mod visit;
mod words;
mod wrench;

use std::ffi::OsString;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, Parser, ValueEnum};

use crate::conformity::Decision;
use crate::quantity::{QuantityError, TorqueUnit};
use crate::report::{self, Format, Report};
use crate::words::{Outlet, hidden_in, visible};

use context::Context;
use failure::{Failure, FailureKind, OrFail};
use parse::{Command, Named, Parsed};

/// Which number counts for every clamp, axle, pivot and rotor bolt of a bicycle, and what a reading
/// says about it.
///
/// The marking on the part and its maker's instructions come before this tool. A ceiling is not a
/// target. Anything cracked, stripped, seized or doubtful goes to a qualified mechanic.
#[derive(Debug, Parser)]
#[command(
    name = "evenclamp",
    version,
    propagate_version = true,
    subcommand_required = true,
    arg_required_else_help = true,
    max_term_width = 100,
    after_help = "Examples:
  evenclamp find bar clamp
  evenclamp show crank-pinch-bolts --unit lbf·in
  evenclamp order crank-pinch-bolts
  evenclamp check \"12-14 N·m\" \"13 N·m\" --accuracy 4% --step 0.1

Exit status: 0 good, 1 bad (outside, nothing found), 2 the request or the input is wrong,
3 cannot be decided.

Environment: EVENCLAMP_DB names the database file, EVENCLAMP_WHO who works with it; NO_COLOR turns colour off."
)]
struct Cli {
    #[command(flatten)]
    global: GlobalArgs,
}

/// Options that every command takes.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Options of every command")]
struct GlobalArgs {
    /// How results are written
    #[arg(long, global = true, value_parser = words::one_of(FORMATS, |_| true), default_value = "text")]
    format: Format,
    /// Unit in which torques are shown, such as N·m, in-lb, ft-lb, kgf·cm
    #[arg(long, global = true, value_name = "UNIT", value_parser = unit_arg)]
    unit: Option<TorqueUnit>,
    /// Database file [default: EVENCLAMP_DB, else in the platform's data folder]
    #[arg(long, global = true, value_name = "PATH")]
    db: Option<PathBuf>,
    /// When to use weight and colour
    #[arg(long, global = true, value_enum, default_value = "auto")]
    color: ColorArg,
    /// Who changes the workshop book or reads a wrench, for its journal [default: EVENCLAMP_WHO, else nobody]
    #[arg(long, global = true, value_name = "NAME")]
    who: Option<String>,
    /// Why the workshop book is changed, for its journal
    #[arg(long, global = true, value_name = "TEXT")]
    why: Option<String>,
}

const FORMATS: &[(&str, Format)] = &[("text", Format::Text), ("json", Format::Json), ("csv", Format::Csv)];

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ColorArg {
    Auto,
    Always,
    Never,
}

/// Every command, in the order of the help: its name and what answers it. Its arguments follow from what
/// answers it.
const COMMANDS: &[&dyn Command] = &[
    &Named("find", find::answer),
    &Named("show", show::answer),
    &Named("convert", convert::answer),
    &Named("order", order::answer),
    &Named("check", check::answer),
    &Named("bolt", bolt::answer),
    &Named("wrench", wrench::answer),
    &Named("bike", bike::answer),
    &Named("record", record::answer),
    &Named("visit", visit::answer),
    &Named("ready", ready::answer),
    &Named("due", due::answer),
    &Named("ride", ride::ride),
    &Named("event", ride::event),
    &Named("history", history::answer),
    &Named("card", card::answer),
    &Named("backup", backup::backup),
    &Named("restore", backup::restore),
    &Named("verify", verify::answer),
    &Named("export", transfer::export),
    &Named("import", transfer::import),
    &Named("audit", audit::answer),
    &Named("book", book::answer),
    &Named("demo", demo::answer),
    &Named("completions", |args, _| Ok(complete::completions(args))),
    &Named("man", complete::man),
];

fn unit_arg(text: &str) -> Result<TorqueUnit, String> {
    TorqueUnit::parse(text).map_err(|error| format!("{error}; {}", error.hint()))
}

/// What a command answers.
struct Answer {
    /// Whether it is a script or manual, in which nothing is hidden that somebody typed.
    is_script: bool,
    /// For standard output.
    text: String,
    /// For the exit status.
    decision: Decision,
}

impl Answer {
    fn of(report: &impl Report, context: &Context, decision: Decision) -> Result<Answer, Failure> {
        let text = report::write(report, context.format, &context.style)?;
        Ok(Answer { is_script: false, text, decision })
    }

    fn text(text: String) -> Answer {
        Answer { is_script: false, text, decision: Decision::Good }
    }

    fn script(text: String) -> Answer {
        Answer { is_script: true, ..Answer::text(text) }
    }
}

/// The exit status: 0 good, 1 bad, 3 cannot be decided, and 2 where the request or the input is wrong and nothing
/// was decided.
fn exit_status(decision: Option<Decision>) -> u8 {
    match decision {
        Some(Decision::Good) => 0,
        Some(Decision::Bad) => 1,
        None => 2,
        Some(Decision::Undecided) => 3,
    }
}

/// Runs the program with its arguments and says how it went.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let decision = match parse::parse(&arguments) {
        Ok(Parsed { global, run }) => {
            let context = Context::new(&global);
            match refuse_typed(&arguments, &context).and_then(|()| run(&context)) {
                Ok(answer) => print(&answer, &context),
                Err(failure) => fail(&failure, context.format),
            }
        }
        Err(error) if !error.use_stderr() => {
            // Help and version are results.
            let _ = error.print();
            Some(Decision::Good)
        }
        Err(error) => refuse(&error, &arguments),
    };
    ExitCode::from(exit_status(decision))
}

/// The whole command line as `clap` knows it.
#[must_use]
pub fn command() -> clap::Command {
    parse::whole_tree()
}

/// Refuses what is typed with characters that nobody sees: they would act on terminals, and deceive whoever reads.
fn refuse_hidden(arguments: &[OsString], context: &Context) -> Result<(), Failure> {
    let typed = arguments.iter().map(|argument| argument.to_string_lossy());
    for text in typed.chain([context.who.as_str().into()]) {
        if let Some(hidden) = hidden_in(&text) {
            let message = format!("`{text}` holds a character that is not seen ({hidden})");
            return Err(Failure::new(FailureKind::Value, message, "type it without; nothing was done"));
        }
    }
    Ok(())
}

/// Refuses texts that cannot be meant, wherever they are typed.
fn refuse_typed(arguments: &[OsString], context: &Context) -> Result<(), Failure> {
    refuse_hidden(arguments, context)?;
    words::refuse_long(arguments.iter().map(|argument| argument.to_string_lossy()), &context.who)
}

/// Where results go in a format.
fn outlet(format: Format, coloured: bool) -> Outlet {
    if format == Format::Json { Outlet::Json } else { Outlet::Text { coloured } }
}

/// Writes results and remarks; a closed pipe ends quietly.
fn print(answer: &Answer, context: &Context) -> Option<Decision> {
    let mut errors = std::io::stderr().lock();
    for remark in context.take_remarks() {
        let _ = writeln!(errors, "evenclamp: {}", visible(&remark, Outlet::Text { coloured: false }));
    }
    let mut output = std::io::stdout().lock();
    let text = if answer.is_script {
        answer.text.as_str().into()
    } else {
        visible(&answer.text, outlet(context.format, context.style.colour))
    };
    match output.write_all(text.as_bytes()).and_then(|()| output.flush()) {
        Ok(()) => Some(answer.decision),
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Some(answer.decision),
        Err(error) => {
            let _ = writeln!(errors, "evenclamp: cannot write the result: {error}");
            None
        }
    }
}

fn fail(failure: &Failure, format: Format) -> Option<Decision> {
    let text = failure.text(format);
    let _ = std::io::stderr().lock().write_all(visible(&text, outlet(format, false)).as_bytes());
    None
}

/// Says what is wrong with arguments that `clap` refuses, in its words or, for what is special to
/// torques, in ours.
fn refuse(error: &clap::Error, arguments: &[OsString]) -> Option<Decision> {
    let json = wants_json(arguments);
    let unknown = match error.get(ContextKind::InvalidArg) {
        Some(ContextValue::String(word)) if error.kind() == ErrorKind::UnknownArgument => Some(word.as_str()),
        _ => None,
    };
    let format = if json { Format::Json } else { Format::Text };
    if let Some(word) = unknown.filter(|word| is_negative(word)) {
        return fail(&negative(word, arguments), format);
    }
    if json {
        return fail(&Failure::from_usage(error), format);
    }
    if arguments.iter().any(|argument| hidden_in(&argument.to_string_lossy()).is_some()) {
        return fail(&Failure::from_usage(error), format);
    }
    let _ = error.print();
    if unknown.is_some_and(|word| !word.starts_with('-')) {
        let hint = "A value and its unit are one argument: put them in quotes, as in \"5 N·m\".";
        let _ = writeln!(std::io::stderr(), "\n{hint}");
    }
    None
}

/// What is wrong with a negative number, which clap takes for an option by its first sign and digit: only where a
/// torque may stand does it have to do with the direction of a thread.
fn negative(word: &str, arguments: &[OsString]) -> Failure {
    let words: Vec<_> = arguments.iter().map(|argument| argument.to_string_lossy()).collect();
    let at = words.iter().position(|argument| argument.starts_with(word));
    let typed = at.map_or(word, |at| &*words[at]);
    let before = at.and_then(|at| words.get(at.checked_sub(1)?)).filter(|before| before.starts_with("--"));
    match before.filter(|option| !["--torque", "--marking"].contains(&&***option)) {
        Some(option) => {
            let message = format!("`{typed}` after {option} is negative");
            Failure::new(FailureKind::Value, message, "give a size above 0")
        }
        None => QuantityError::Negative(typed.to_owned()).into(),
    }
}

/// Whether a word is a negative number, which no option looks like.
fn is_negative(word: &str) -> bool {
    word.strip_prefix(['-', '−']).is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Whether arguments that clap refuses ask for JSON all the same.
fn wants_json(arguments: &[OsString]) -> bool {
    arguments.iter().any(|word| word == "--format=json")
        || arguments.windows(2).any(|pair| pair[0] == "--format" && pair[1] == "json")
}
