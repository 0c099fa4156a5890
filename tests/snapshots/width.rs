//! No line of an answer is wider than it may be.

use crate::{GROUPS, kept};

/// Whether what a command writes is text that is laid out: not the help of the command line's own library, a script, a
/// manual or a sheet.
fn is_laid_out(command: &str) -> bool {
    let is = |start: &str| command.starts_with(start);
    !command.ends_with("--help") && !is("help") && !is("completions") && !is("man") && !is("bike sheet")
}

/// Whether a line is to be copied as it stands, a command that is shown, or is the verdict on a bicycle, which `ready`
/// says in one line.
fn is_one_piece(line: &str) -> bool {
    let verdicts = [": unproven (", ": unfit (", ": fit with conditions ("];
    line.starts_with("$ ")
        || line.starts_with("Bicycles: ")
        || verdicts.iter().any(|word| line.contains(word))
}

/// The lines of the kept answers that are wider than the 60 or 80 columns that they were asked for in, with the
/// command in front.
fn too_wide(group: &str) -> Vec<String> {
    let said = kept::read(&format!("said/{group}.txt"));
    let (mut command, mut width, mut found) = ("", None, Vec::new());
    for line in said.lines() {
        if let Some(next) = line.strip_prefix("══════ evenclamp ") {
            command = next;
        } else if let Some(title) = line.strip_prefix("── ") {
            width = match title {
                _ if title.starts_with("text, status") => Some(80),
                "text, 60 columns" => Some(60),
                _ => None,
            };
        } else if width.is_some_and(|width| line.chars().count() > width)
            && is_laid_out(command)
            && !is_one_piece(line)
        {
            found.push(format!("{command}: {line}"));
        }
    }
    found
}

#[test]
fn no_line_is_wider_than_it_may_be() {
    let found: Vec<String> = GROUPS.iter().flat_map(|group| too_wide(group)).collect();
    assert_eq!(found.len(), 0, "{} lines, such as\n{}", found.len(), found[..found.len().min(12)].join("\n"));
}
