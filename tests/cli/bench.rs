//! The fixture: a fresh folder with a fresh database, and the program ready to run in it.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// A text without its line breaks, whatever its width.
pub fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A fresh folder for one test.
pub struct Bench {
    folder: tempfile::TempDir,
}

/// What the program answered.
pub struct Said {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Bench {
    pub fn new() -> Bench {
        Bench { folder: tempfile::tempdir().unwrap() }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn database(&self) -> PathBuf {
        self.path("bench.db")
    }

    /// The program with an empty home and this bench's database.
    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_evenclamp"));
        command
            .args(arguments)
            .env_clear()
            .env("HOME", self.folder.path())
            .env("EVENCLAMP_DB", self.database())
            .current_dir(self.folder.path());
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Said {
        said(&self.command(arguments).output().unwrap())
    }

    /// Runs with the clock held at a time.
    pub fn at(&self, now: &str, arguments: &[&str]) -> Said {
        said(&self.command(arguments).env("EVENCLAMP_NOW", now).output().unwrap())
    }

    /// Runs what has to be taken, with the clock held at a time.
    pub fn done(&self, now: &str, arguments: &[&str]) {
        let said = self.at(now, arguments);
        assert!(said.status != 2, "{arguments:?}: {}", said.err);
    }

    /// Takes the journal out of an exported folder, as an earlier version would have written it.
    pub fn without_journal(&self, folder: &str) {
        std::fs::remove_file(self.path(folder).join("journal.csv")).unwrap();
    }

    /// Runs with the clock held at a time and `--format json`.
    pub fn json_at(&self, now: &str, arguments: &[&str]) -> (i32, Value) {
        let said = self.at(now, &[arguments, &["--format", "json"]].concat());
        let value = serde_json::from_str(&said.out)
            .unwrap_or_else(|error| panic!("{arguments:?}: {error}\n{}\n{}", said.out, said.err));
        (said.status, value)
    }

    /// Runs with the clock held at a time and lines on standard input.
    pub fn piped(&self, now: &str, arguments: &[&str], lines: &str) -> Said {
        let mut command = self.command(arguments);
        command.env("EVENCLAMP_NOW", now).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
        said(&child.wait_with_output().unwrap())
    }

    /// Runs with `--format json` and reads the answer.
    /// What a visit asks when every item is left out: the whole of each question, in one line.
    pub fn questions(&self, now: &str, arguments: &[&str]) -> Vec<String> {
        let said = self.piped(now, arguments, &"-\n".repeat(80)).err;
        let mut questions: Vec<String> = Vec::new();
        for line in said.lines().map(str::trim).filter(|line| !line.ends_with("> -")) {
            let number = line.split_once(' ').and_then(|(number, _)| number.split_once('/'));
            if number.is_some_and(|(number, _)| number.parse::<u16>().is_ok()) {
                questions.push(line.to_owned());
            } else if let Some(question) = questions.last_mut() {
                *question += &format!(" {line}");
            }
        }
        questions
    }

    /// What a visit asks of a joint.
    pub fn question(&self, now: &str, arguments: &[&str], joint: &str) -> String {
        let asked = self.questions(now, arguments);
        let of_joint = asked.iter().find(|question| question.contains(&format!(" {joint}: ")));
        of_joint.unwrap_or_else(|| panic!("{joint} is not asked for: {asked:#?}")).clone()
    }

    pub fn json(&self, arguments: &[&str]) -> (i32, Value) {
        let said = self.run(&[arguments, &["--format", "json"]].concat());
        let value = serde_json::from_str(&said.out)
            .unwrap_or_else(|error| panic!("{arguments:?}: {error}\n{}\n{}", said.out, said.err));
        (said.status, value)
    }

    /// A folder with the book that the program carries.
    pub fn exported_book(&self) -> PathBuf {
        let folder = self.path("book");
        assert_eq!(self.run(&["book", "export", folder.to_str().unwrap()]).status, 0);
        folder
    }
}

pub fn said(output: &Output) -> Said {
    Said {
        status: output.status.code().unwrap_or(-1),
        out: String::from_utf8_lossy(&output.stdout).into_owned(),
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

/// Replaces the first `from` in a file.
pub fn edit(file: &Path, from: &str, to: &str) {
    let text = std::fs::read_to_string(file).unwrap();
    assert!(text.contains(from), "{} has no {from}", file.display());
    std::fs::write(file, text.replacen(from, to, 1)).unwrap();
}
