//! The command line read quickly.
//!
//! `clap` builds the options, help and examples of every command before it reads a word; for a look-up
//! that was a tenth of all its instructions. Most command lines are right and name one command, so they are
//! read first by a tree in which the others are names only. What that tree refuses, help included, is
//! read again by the whole one, which words it.

use std::ffi::OsString;

use clap::error::ErrorKind;
use clap::{ArgMatches, Args, CommandFactory as _, FromArgMatches as _};

use super::{Answer, COMMANDS, Cli, Context, Failure, GlobalArgs};

/// A command by its name and what answers it.
pub(super) struct Named<A: 'static>(
    pub(super) &'static str,
    pub(super) fn(&A, &Context) -> Result<Answer, Failure>,
);

/// A command with its arguments, ready to answer.
type Runnable = Box<dyn FnOnce(&Context) -> Result<Answer, Failure>>;

/// A command, whatever its arguments are.
pub(super) trait Command: Sync {
    fn name(&self) -> &'static str;

    /// Adds its arguments and its help.
    fn arguments(&self) -> fn(clap::Command) -> clap::Command;

    /// Takes its arguments.
    fn read(&self, matches: &ArgMatches) -> Result<Runnable, clap::Error>;
}

impl<A: Args> Command for Named<A> {
    fn name(&self) -> &'static str {
        self.0
    }

    fn arguments(&self) -> fn(clap::Command) -> clap::Command {
        A::augment_args
    }

    fn read(&self, matches: &ArgMatches) -> Result<Runnable, clap::Error> {
        let (args, answer) = (A::from_arg_matches(matches)?, self.1);
        Ok(Box::new(move |context| answer(&args, context)))
    }
}

/// A command line that was read.
pub(super) struct Parsed {
    /// The options of every command.
    pub(super) global: GlobalArgs,
    pub(super) run: Runnable,
}

/// Reads a command line; an error is that of the whole tree, help and version included.
pub(super) fn parse(arguments: &[OsString]) -> Result<Parsed, clap::Error> {
    let quickly = quick_tree().try_get_matches_from(arguments);
    let matches = quickly.or_else(|_| whole_tree().try_get_matches_from(arguments))?;
    let global = GlobalArgs::from_arg_matches(&matches)?;
    let named = matches.subcommand().and_then(|(name, matches)| {
        COMMANDS.iter().find(|command| command.name() == name).map(|command| command.read(matches))
    });
    let run = named.unwrap_or_else(|| Err(clap::Error::new(ErrorKind::MissingSubcommand)))?;
    Ok(Parsed { global, run })
}

/// The command line with nothing of a command but its name, until it is the one that is named.
fn quick_tree() -> clap::Command {
    let tree = GlobalArgs::augment_args(clap::Command::new("evenclamp").subcommand_required(true));
    COMMANDS.iter().fold(tree, |tree, command| {
        tree.subcommand(clap::Command::new(command.name()).defer(command.arguments()))
    })
}

/// The command line with all that it can say.
pub(super) fn whole_tree() -> clap::Command {
    COMMANDS.iter().fold(Cli::command(), |tree, command| {
        tree.subcommand(command.arguments()(clap::Command::new(command.name())))
    })
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
        let (mut quick, mut whole) = (quick_tree(), whole_tree());
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
            let whole = whole_tree().try_get_matches_from(&words).unwrap_err();
            assert_eq!(parse(&words).err().unwrap().to_string(), whole.to_string(), "{line}");
        }
    }
}
