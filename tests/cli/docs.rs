//! README.md cannot go stale: its sample outputs are the real ones, and it names every command. Nor can
//! `specs/rules.md`: the functions that it names are there, and so are the rules that comments cite.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::bench::Bench;

fn readme() -> String {
    std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap()
}

/// A command of the page.
struct Typed {
    /// The command line, without its remark.
    command: String,
    /// What it prints, from a `console` block; none in an `sh` block.
    output: Option<String>,
}

/// The commands of the `sh` and `console` blocks, from top to bottom.
fn typed(text: &str) -> Vec<Typed> {
    let mut found: Vec<Typed> = Vec::new();
    let mut block = "";
    for line in text.lines() {
        if let Some(kind) = line.strip_prefix("```") {
            block = kind;
        } else if let Some(command) = line.strip_prefix("$ ").filter(|_| block == "console") {
            found.push(Typed { command: command.to_owned(), output: Some(String::new()) });
        } else if block == "console" {
            let output = found.last_mut().and_then(|typed| typed.output.as_mut());
            *output.expect("output before a command") += &format!("{line}\n");
        } else if block == "sh" && line.starts_with("evenclamp ") {
            let command = line.split(" #").next().unwrap_or(line).to_owned();
            found.push(Typed { command, output: None });
        }
    }
    found
}

/// The words of a command line, double quotes respected.
fn words(command: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (index, part) in command.split('"').enumerate() {
        if index % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

/// Typed one after the other on a new database, each prints what the page says, `…` standing for the rest;
/// where the page says nothing, none is refused and none finds anything bad.
#[test]
fn commands_do_and_print_what_the_readme_says() {
    let folder = tempfile::tempdir().unwrap();
    let typed = typed(&readme());
    assert!(typed.len() >= 10 && typed.iter().filter(|typed| typed.output.is_some()).count() >= 5);
    for Typed { command, output } in typed {
        let words = words(&command);
        assert_eq!(words[0], "evenclamp");
        let done = Command::new(env!("CARGO_BIN_EXE_evenclamp"))
            .args(&words[1..])
            .env("EVENCLAMP_DB", folder.path().join("docs.db"))
            .env("EVENCLAMP_NOW", "2026-06-01T10:00:00+02:00")
            .env_remove("COLUMNS")
            // What a command writes stays out of the repository.
            .current_dir(folder.path())
            .stdin(std::process::Stdio::null())
            .output()
            .unwrap();
        let printed = String::from_utf8_lossy(&done.stdout);
        match output.as_deref().map(|expected| (expected, expected.strip_suffix("…\n"))) {
            Some((_, Some(begin))) => {
                let begun = printed.get(..begin.len()).unwrap_or(&printed);
                assert_eq!(begun, begin, "$ {command}");
                assert!(printed.len() > begin.len(), "$ {command}: nothing is left out");
            }
            Some((expected, None)) => assert_eq!(printed, expected, "$ {command}"),
            None => {
                let expected = if command.starts_with("evenclamp visit") { 3 } else { 0 };
                let errors = String::from_utf8_lossy(&done.stderr);
                assert_eq!(done.status.code(), Some(expected), "{command}\n{errors}");
            }
        }
    }
}

#[test]
fn the_readme_says_how_much_of_the_book_can_be_relied_on() {
    let (_, entries) = Bench::new().json(&["find"]);
    let entries = entries.as_array().unwrap();
    let count = |state: &str| entries.iter().filter(|entry| entry["state"] == state).count();
    let [agreed, thin, disputed, unconfirmed, none] =
        ["agreed", "thin", "disputed", "unconfirmed", "none"].map(count);
    assert_eq!(agreed + thin + disputed + unconfirmed + none, entries.len());
    let text = readme().split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        format!("Of the {} entries of the book, {agreed} are agreed", entries.len()),
        format!("{thin} are thin"),
        format!("{disputed} are disputed"),
        format!("for {unconfirmed} nothing counts"),
        format!("for {none} there is nothing at all"),
    ] {
        assert!(text.contains(&said), "README.md should say: {said}");
    }
}

#[test]
fn every_command_stands_in_the_readme() {
    let text = readme();
    for command in evenclamp::command().get_subcommands() {
        let name = command.get_name();
        assert!(text.contains(&format!("`{name}")), "{name} is missing in README.md");
    }
}

fn in_repository(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn rules() -> String {
    std::fs::read_to_string(in_repository("specs/rules.md")).unwrap()
}

/// Every rule that is a heading without headings under it, with its text.
fn rules_by_heading(page: &str) -> Vec<(&str, String)> {
    let mut rules: Vec<(&str, usize, String)> = Vec::new();
    for line in page.lines() {
        let level = line.bytes().take_while(|byte| *byte == b'#').count();
        match rules.last_mut() {
            _ if level > 1 => rules.push((line[level..].trim(), level, String::new())),
            Some((_, _, text)) => *text += &format!("{line}\n"),
            None => {}
        }
    }
    let has_rules_under_it = |at: usize| rules.get(at + 1).is_some_and(|(_, level, _)| *level > rules[at].1);
    let leaves = (0..rules.len()).filter(|at| !has_rules_under_it(*at));
    leaves.map(|at| (rules[at].0, rules[at].2.clone())).collect()
}

fn is_rust(path: &Path) -> bool {
    path.extension().is_some_and(|extension| extension == "rs")
}

/// The functions that a text names as `path::function`.
fn functions(text: &str) -> Vec<(&str, &str)> {
    let quoted = text.split('`').skip(1).step_by(2);
    quoted.filter_map(|word| word.split_once("::")).filter(|(path, _)| is_rust(Path::new(path))).collect()
}

#[test]
fn every_rule_names_the_function_that_keeps_it() {
    let page = rules();
    let rules = rules_by_heading(&page);
    assert!(rules.len() > 40, "{} rules", rules.len());
    for (heading, text) in rules {
        assert!(!functions(&text).is_empty(), "no function stands under \"{heading}\"");
        for (path, function) in functions(&text) {
            let file = in_repository("src").join(path);
            let code = std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{path}: {error}"));
            let defined = ['(', '<'].iter().any(|after| code.contains(&format!("fn {function}{after}")));
            assert!(defined, "\"{heading}\" names {path}::{function}, which is not there");
        }
    }
}

/// The names under a heading of Cargo.toml.
fn crates<'a>(manifest: &'a str, heading: &str) -> Vec<&'a str> {
    let lines = manifest.lines().skip_while(|line| *line != heading).skip(1);
    lines
        .take_while(|line| !line.starts_with('['))
        .filter_map(|line| Some(line.split_once(" =")?.0))
        .collect()
}

#[test]
fn developers_are_told_what_every_crate_is_for() {
    let read = |path: &str| std::fs::read_to_string(in_repository(path)).unwrap();
    let (manifest, page) = (read("Cargo.toml"), read("DEVELOPERS.md"));
    let (_, table) = page.split_once("| crate | for |").unwrap();
    let rows = table.lines().skip(2).filter_map(|row| row.strip_prefix("| ")?.split(" |").next());
    let mut told: Vec<&str> =
        rows.flat_map(|cell| cell.trim_end_matches(" (tests)").split(", ")).map(str::trim).collect();
    let mut used = crates(&manifest, "[dependencies]");
    assert!(used.len() > 10, "{used:?}");
    used.extend(crates(&manifest, "[dev-dependencies]"));
    told.sort_unstable();
    used.sort_unstable();
    assert_eq!(told, used);
}

#[test]
fn files_that_developers_are_sent_to_are_there() {
    let page = std::fs::read_to_string(in_repository("DEVELOPERS.md")).unwrap();
    let named = page.split('`').skip(1).step_by(2).filter(|word| word.contains('/') && word.contains('.'));
    let files: Vec<&str> = named.map(|word| word.split(' ').next().unwrap_or(word)).collect();
    let is_there = |file: &&&str| {
        let path = file.split('*').next().unwrap_or(file);
        in_repository(path).exists() || in_repository("src").join(path).exists()
    };
    let missing: Vec<&&str> = files.iter().filter(|file| !is_there(file)).collect();
    assert!(files.len() > 20, "{files:?}");
    assert!(missing.is_empty(), "{missing:?}");
}

/// Rust files under a folder.
fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let paths = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    paths
        .flat_map(|path| if path.is_dir() { rust_files(&path) } else { vec![path] })
        .filter(|path| is_rust(path))
        .collect()
}

/// The headings of the rules that a file cites, as in: `specs/rules.md`, "Labels" and "Chance".
fn cited(code: &str) -> Vec<String> {
    let words = code.lines().map(|line| line.trim().trim_start_matches(['/', '!']).trim());
    let text = words.collect::<Vec<_>>().join(" ");
    let mut headings = Vec::new();
    for after in text.split("specs/rules.md`, ").skip(1) {
        let (mut rest, before) = (Some(after), headings.len());
        while let Some((heading, behind)) =
            rest.and_then(|rest| rest.strip_prefix('"')).and_then(|r| r.split_once('"'))
        {
            headings.push(heading.to_owned());
            rest = behind.strip_prefix(" and ");
        }
        assert!(headings.len() > before, "a rule is cited without its heading: {after:.60}");
    }
    headings
}

#[test]
fn every_rule_that_a_comment_cites_stands_on_the_page() {
    let page = rules();
    let headings: Vec<&str> = page
        .lines()
        .filter_map(|line| Some(line.strip_prefix("##")?.trim_start_matches('#').trim()))
        .collect();
    let mut seen = 0;
    for folder in ["src", "tests"] {
        for file in rust_files(&in_repository(folder)).iter().filter(|file| !file.ends_with("cli/docs.rs")) {
            for heading in cited(&std::fs::read_to_string(file).unwrap()) {
                assert!(headings.contains(&heading.as_str()), "{}: \"{heading}\"", file.display());
                seen += 1;
            }
        }
    }
    assert!(seen > 15, "{seen} rules are cited");
}
