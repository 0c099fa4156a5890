//! The command line read quickly.
//!
//! `clap` builds the options, help and examples of every command before it reads a word; for a look-up
//! that was a tenth of all its instructions. Most command lines are right and name one command, so they are
//! read first by a tree in which the others are names only. What that tree refuses, help included, is
//! read again by the whole one, which words it.

use std::ffi::OsString;

use clap::{Args as _, CommandFactory as _, FromArgMatches as _};

use super::{
    Cli, GlobalArgs, audit, backup, bike, bolt, book, card, check, complete, convert, demo, due, find,
    history, order, ready, record, ride, show, transfer, visit, wrench,
};

/// Adds the arguments of a command.
type Arguments = fn(clap::Command) -> clap::Command;

/// Every command with its arguments.
const COMMANDS: &[(&str, Arguments)] = &[
    ("find", find::FindArgs::augment_args),
    ("show", show::ShowArgs::augment_args),
    ("convert", convert::ConvertArgs::augment_args),
    ("order", order::OrderArgs::augment_args),
    ("check", check::CheckArgs::augment_args),
    ("bolt", bolt::BoltArgs::augment_args),
    ("wrench", wrench::WrenchArgs::augment_args),
    ("bike", bike::BikeArgs::augment_args),
    ("record", record::RecordArgs::augment_args),
    ("visit", visit::VisitArgs::augment_args),
    ("ready", ready::ReadyArgs::augment_args),
    ("due", due::DueArgs::augment_args),
    ("ride", ride::RideArgs::augment_args),
    ("event", ride::EventArgs::augment_args),
    ("history", history::HistoryArgs::augment_args),
    ("card", card::CardArgs::augment_args),
    ("backup", backup::BackupArgs::augment_args),
    ("restore", backup::RestoreArgs::augment_args),
    ("export", transfer::ExportArgs::augment_args),
    ("import", transfer::ImportArgs::augment_args),
    ("audit", audit::AuditArgs::augment_args),
    ("book", book::BookArgs::augment_args),
    ("demo", demo::DemoArgs::augment_args),
    ("completions", complete::CompletionsArgs::augment_args),
    ("man", complete::ManArgs::augment_args),
];

/// Reads a command line.
///
/// # Errors
/// [`clap::Error`] of the whole tree, help and version included.
pub(super) fn parse(arguments: &[OsString]) -> Result<Cli, clap::Error> {
    let quickly = quick_tree().try_get_matches_from(arguments);
    let mut matches = quickly.or_else(|_| Cli::command().try_get_matches_from(arguments))?;
    Cli::from_arg_matches_mut(&mut matches)
}

/// The command line with nothing of a command but its name, until it is the one that is named.
fn quick_tree() -> clap::Command {
    let tree = GlobalArgs::augment_args(clap::Command::new("evenclamp").subcommand_required(true));
    COMMANDS
        .iter()
        .fold(tree, |tree, &(name, arguments)| tree.subcommand(clap::Command::new(name).defer(arguments)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// The arguments of a command and of those below it. Those that clap adds, help and version, are refused
    /// or answered by the whole tree.
    fn outline(command: &clap::Command) -> BTreeSet<String> {
        let own = command
            .get_arguments()
            .filter(|argument| !["help", "version"].contains(&argument.get_id().as_str()));
        let mut lines: BTreeSet<String> =
            own.map(|argument| format!("{} {argument:?}", command.get_name())).collect();
        lines.extend(command.get_subcommands().flat_map(outline));
        lines
    }

    #[test]
    fn both_trees_have_the_same_arguments() {
        let (mut quick, mut whole) = (quick_tree(), Cli::command());
        quick.build();
        whole.build();
        let (quick, whole) = (outline(&quick), outline(&whole));
        let differing: Vec<_> = quick.symmetric_difference(&whole).take(3).collect();
        assert!(differing.is_empty(), "{differing:#?}");
        assert!(whole.iter().any(|line| line.starts_with("find ")));
    }

    #[test]
    fn what_is_refused_is_worded_by_the_whole_tree() {
        for line in [
            "evenclamp",
            "evenclamp --help",
            "evenclamp find --help",
            "evenclamp fnd",
            "evenclamp check",
            "evenclamp show a --format xml",
        ] {
            let words: Vec<OsString> = line.split(' ').map(OsString::from).collect();
            let whole = Cli::command().try_get_matches_from(&words).unwrap_err();
            assert_eq!(parse(&words).unwrap_err().to_string(), whole.to_string(), "{line}");
        }
    }
}
