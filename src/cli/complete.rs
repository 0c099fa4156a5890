//! `completions` and `man`: what a shell and a reader of manuals want.

use std::path::PathBuf;

use clap::Args;
use clap_mangen::Man;

use super::folder::Folder;
use super::{Answer, Context, Failure};

/// Print a completion script for a shell
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp completions bash > ~/.local/share/bash-completion/completions/evenclamp
  evenclamp completions zsh > ~/.zfunc/_evenclamp
  evenclamp completions fish > ~/.config/fish/completions/evenclamp.fish")]
pub(super) struct CompletionsArgs {
    /// The shell
    #[arg(value_enum)]
    shell: clap_complete::Shell,
}

/// Print the manual page, or write one per command into a folder
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp man | man -l -
  evenclamp man --dir ~/.local/share/man/man1")]
pub(super) struct ManArgs {
    /// Write evenclamp.1 and a page for each command into this folder
    #[arg(long, value_name = "DIR")]
    dir: Option<PathBuf>,
}

pub(super) fn completions(args: &CompletionsArgs) -> Answer {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut super::command(), "evenclamp", &mut script);
    Answer::script(String::from_utf8_lossy(&script).into_owned())
}

pub(super) fn man(args: &ManArgs, context: &Context) -> Result<Answer, Failure> {
    let Some(dir) = &args.dir else {
        let (_, page) = page(super::command());
        return Ok(Answer::script(String::from_utf8_lossy(&page).into_owned()));
    };
    let mut command = super::command().disable_help_subcommand(true);
    command.build();
    let mut pages = Vec::new();
    add_pages(command, &mut pages);
    // What may be replaced are the pages of an older version of this program.
    Folder::open(dir, [""; 0], true)?.write_all(&pages)?;
    context.say(format!("wrote the manual to {}", dir.display()));
    Ok(Answer::text(String::new()))
}

/// Adds the page of a command behind those of its subcommands.
fn add_pages(command: clap::Command, pages: &mut Vec<(String, Vec<u8>)>) {
    for subcommand in command.get_subcommands().filter(|command| !command.is_hide_set()) {
        add_pages(subcommand.clone(), pages);
    }
    pages.push(page(command));
}

fn page(command: clap::Command) -> (String, Vec<u8>) {
    let manual = Man::new(command);
    let mut page = Vec::new();
    // Writing to memory does not fail.
    let _ = manual.render(&mut page);
    (manual.get_filename(), page)
}
