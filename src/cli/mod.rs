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
mod visit;
mod words;
mod wrench;

use std::ffi::OsString;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, CommandFactory as _, Parser, Subcommand, ValueEnum};

use crate::quantity::{QuantityError, TorqueUnit};
use crate::report::{self, Format, Report};

pub use context::Context;
pub use failure::Failure;

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
    max_term_width = 100,
    after_help = "Examples:
  evenclamp find bar clamp
  evenclamp show crank-pinch-bolts --unit lbf·in
  evenclamp order crank-pinch-bolts
  evenclamp check \"12-14 N·m\" \"13 N·m\" --accuracy 4% --step 0.1

Exit status: 0 good, 1 bad (outside, nothing found), 2 the request or the input is wrong,
3 cannot be decided.

Environment: EVENCLAMP_DB names the database file; NO_COLOR turns colour off."
)]
pub struct Cli {
    #[command(flatten)]
    global: GlobalArgs,
    #[command(subcommand)]
    command: Command,
}

/// Options that every command takes.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Options of every command")]
struct GlobalArgs {
    /// How results are written
    #[arg(long, global = true, value_enum, default_value = "text")]
    format: FormatArg,
    /// Unit in which torques are shown, such as N·m, in-lb, ft-lb, kgf·cm
    #[arg(long, global = true, value_name = "UNIT", value_parser = unit_arg)]
    unit: Option<TorqueUnit>,
    /// Database file [default: EVENCLAMP_DB, else in the platform's data folder]
    #[arg(long, global = true, value_name = "PATH")]
    db: Option<PathBuf>,
    /// When to use weight and colour
    #[arg(long, global = true, value_enum, default_value = "auto")]
    color: ColorArg,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum FormatArg {
    Text,
    Json,
    Csv,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ColorArg {
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
enum Command {
    Find(find::FindArgs),
    Show(show::ShowArgs),
    Convert(convert::ConvertArgs),
    Order(order::OrderArgs),
    Check(check::CheckArgs),
    Bolt(bolt::BoltArgs),
    Wrench(wrench::WrenchArgs),
    Bike(bike::BikeArgs),
    Record(Box<record::RecordArgs>),
    Visit(visit::VisitArgs),
    Ready(ready::ReadyArgs),
    Due(due::DueArgs),
    Ride(ride::RideArgs),
    Event(ride::EventArgs),
    History(history::HistoryArgs),
    Card(card::CardArgs),
    Backup(backup::BackupArgs),
    Restore(backup::RestoreArgs),
    Export(transfer::ExportArgs),
    Import(transfer::ImportArgs),
    Audit(audit::AuditArgs),
    Book(book::BookArgs),
    Demo(demo::DemoArgs),
    Completions(complete::CompletionsArgs),
    Man(complete::ManArgs),
}

fn unit_arg(text: &str) -> Result<TorqueUnit, String> {
    TorqueUnit::parse(text).map_err(|error| format!("{error}; {}", error.hint()))
}

/// What the exit status says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// All is well.
    Good,
    /// Outside, unfit, or nothing found.
    Bad,
    /// The request or the input is wrong.
    Wrong,
    /// It cannot be decided.
    Undecided,
}

impl Outcome {
    /// The exit status.
    #[must_use]
    pub fn status(self) -> u8 {
        match self {
            Outcome::Good => 0,
            Outcome::Bad => 1,
            Outcome::Wrong => 2,
            Outcome::Undecided => 3,
        }
    }
}

/// What a command answers.
#[derive(Debug)]
pub struct Answer {
    /// For standard output.
    pub text: String,
    /// For standard error, a line each.
    pub remarks: Vec<String>,
    /// For the exit status.
    pub outcome: Outcome,
}

impl Answer {
    fn of(report: &impl Report, context: &Context, outcome: Outcome) -> Result<Answer, Failure> {
        let text = report::write(report, context.format, &context.style)?;
        Ok(Answer { text, remarks: Vec::new(), outcome })
    }

    fn text(text: String) -> Answer {
        Answer { text, remarks: Vec::new(), outcome: Outcome::Good }
    }

    fn remark(mut self, remark: impl Into<String>) -> Answer {
        self.remarks.push(remark.into());
        self
    }
}

/// Runs the program with its arguments and says how it went.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let status = match parse::parse(&arguments) {
        Ok(cli) => {
            let context = Context::new(&cli.global);
            match answer(cli.command, &context) {
                Ok(mut answer) => {
                    answer.remarks.splice(0..0, context.take_remarks());
                    print(&answer)
                }
                Err(failure) => fail(&failure, context.format),
            }
        }
        Err(error) if !error.use_stderr() => {
            // Help and version are results.
            let _ = error.print();
            Outcome::Good
        }
        Err(error) => refuse(&error, wants_json(&arguments)),
    };
    ExitCode::from(status.status())
}

/// Carries out one command.
fn answer(command: Command, context: &Context) -> Result<Answer, Failure> {
    match command {
        Command::Find(args) => find::answer(&args, context),
        Command::Show(args) => show::answer(&args, context),
        Command::Convert(args) => convert::answer(&args, context),
        Command::Order(args) => order::answer(&args, context),
        Command::Check(args) => check::answer(&args, context),
        Command::Bolt(args) => bolt::answer(&args, context),
        Command::Wrench(args) => wrench::answer(&args, context),
        Command::Bike(args) => bike::answer(&args, context),
        Command::Record(args) => record::answer(&args, context),
        Command::Visit(args) => visit::answer(&args, context),
        Command::Ready(args) => ready::answer(&args, context),
        Command::Due(args) => due::answer(&args, context),
        Command::Ride(args) => ride::ride(&args, context),
        Command::Event(args) => ride::event(&args, context),
        Command::History(args) => history::answer(&args, context),
        Command::Card(args) => card::answer(&args, context),
        Command::Backup(args) => backup::backup(&args, context),
        Command::Restore(args) => backup::restore(&args, context),
        Command::Export(args) => transfer::export(&args, context),
        Command::Import(args) => transfer::import(&args, context),
        Command::Audit(args) => audit::answer(&args, context),
        Command::Book(args) => book::answer(&args, context),
        Command::Demo(_) => demo::answer(context),
        Command::Completions(args) => Ok(complete::completions(&args)),
        Command::Man(args) => complete::man(&args),
    }
}

/// The whole command line as `clap` knows it.
#[must_use]
pub fn command() -> clap::Command {
    Cli::command()
}

/// Writes results and remarks; a closed pipe ends quietly.
fn print(answer: &Answer) -> Outcome {
    let mut errors = std::io::stderr().lock();
    for remark in &answer.remarks {
        let _ = writeln!(errors, "evenclamp: {remark}");
    }
    let mut output = std::io::stdout().lock();
    match output.write_all(answer.text.as_bytes()).and_then(|()| output.flush()) {
        Ok(()) => answer.outcome,
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => answer.outcome,
        Err(error) => {
            let _ = writeln!(errors, "evenclamp: cannot write the result: {error}");
            Outcome::Wrong
        }
    }
}

fn fail(failure: &Failure, format: Format) -> Outcome {
    let _ = std::io::stderr().lock().write_all(failure.text(format).as_bytes());
    Outcome::Wrong
}

/// Says what is wrong with arguments that `clap` refuses, in its words or, for what is special to
/// torques, in ours.
fn refuse(error: &clap::Error, json: bool) -> Outcome {
    let unknown = match error.get(ContextKind::InvalidArg) {
        Some(ContextValue::String(word)) if error.kind() == ErrorKind::UnknownArgument => Some(word.as_str()),
        _ => None,
    };
    let format = if json { Format::Json } else { Format::Text };
    if let Some(word) = unknown.filter(|word| is_negative(word)) {
        return fail(&QuantityError::Negative(word.to_owned()).into(), format);
    }
    if json {
        return fail(&Failure::from_usage(error), format);
    }
    let _ = error.print();
    if unknown.is_some_and(|word| !word.starts_with('-')) {
        let hint = "A value and its unit are one argument: put them in quotes, as in \"5 N·m\".";
        let _ = writeln!(std::io::stderr(), "\n{hint}");
    }
    Outcome::Wrong
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
