//! `completions` and `man`: what a shell and a reader of manuals want.

use std::path::PathBuf;

use clap::Args;

use super::{Answer, Failure};

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
    Answer::text(String::from_utf8_lossy(&script).into_owned())
}

pub(super) fn man(args: &ManArgs) -> Result<Answer, Failure> {
    let file = |error: std::io::Error| Failure {
        kind: "file",
        message: format!("cannot write the manual: {error}"),
        hint: None,
        at: None,
    };
    let Some(dir) = &args.dir else {
        let mut page = Vec::new();
        clap_mangen::Man::new(super::command()).render(&mut page).map_err(file)?;
        return Ok(Answer::text(String::from_utf8_lossy(&page).into_owned()));
    };
    std::fs::create_dir_all(dir).map_err(file)?;
    clap_mangen::generate_to(super::command(), dir).map_err(file)?;
    Ok(Answer::text(String::new()).remark(format!("wrote the manual to {}", dir.display())))
}
