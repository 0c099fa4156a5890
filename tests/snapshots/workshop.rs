//! The fixed workshop: built once for the whole run, copied for every command.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use crate::cases::words;

/// When the cases are asked.
const NOW: &str = "2026-06-20T10:00:00+02:00";

/// What stands before that sum in the summary of a piece of a log.
const BASIS: &str = "\"basis\":\"";

/// What a command said, did and left behind.
pub struct Said {
    pub status: i32,
    pub out: String,
    pub err: String,
    /// Files that were not there before or were different, by name.
    pub made: BTreeMap<String, Vec<u8>>,
}

/// The files that a command finds where it runs: logs, sheets, answers.
fn files() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots/files")
}

/// The path of the built database.
fn built() -> &'static Path {
    static BUILT: OnceLock<tempfile::TempDir> = OnceLock::new();
    BUILT.get_or_init(build).path()
}

fn build() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let (mut now, mut wrong) = (String::new(), String::new());
    for (index, line) in include_str!("fixture.txt").lines().enumerate() {
        let place = format!("fixture.txt:{}: {line}", index + 1);
        if let Some(time) = line.strip_prefix("@ ") {
            time.clone_into(&mut now);
            continue;
        }
        let mut words = words(line);
        let expected = match words.first().map(|word| word.parse::<i32>()) {
            None => continue,
            Some(Ok(status)) => {
                words.remove(0);
                status
            }
            Some(Err(_)) if words[0] == "#" => continue,
            Some(Err(_)) => 0,
        };
        if words[0] == "copy" {
            std::fs::copy(files().join(&words[1]), folder.path().join(&words[2])).unwrap();
            continue;
        }
        let mut command = program(folder.path(), &folder.path().join("workshop.db"));
        let output = command.args(&words).env("EVENCLAMP_NOW", &now).output().unwrap();
        if output.status.code() != Some(expected) {
            let told = String::from_utf8_lossy(&output.stderr);
            wrong += &format!("{place}\nstatus {:?}: {told}", output.status.code());
        }
    }
    assert_eq!(wrong, "", "the workshop is not as it is meant to be");
    folder
}

fn program(folder: &Path, database: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenclamp"));
    command
        .env_clear()
        .env("HOME", folder)
        .env("TZ", "UTC")
        .env("EVENCLAMP_DB", database)
        .current_dir(folder)
        .stdin(Stdio::null());
    command
}

/// Runs a command line on a copy of the workshop, its standard input from the file after a `<`. What stands
/// before a `&&` is run first and must be good.
pub fn run(line: &str, options: &[&str], columns: usize) -> Said {
    let folder = tempfile::tempdir().unwrap();
    let bench = folder.path().join("bench");
    std::fs::create_dir(&bench).unwrap();
    let database = folder.path().join("workshop.db");
    std::fs::copy(built().join("workshop.db"), &database).unwrap();
    for file in std::fs::read_dir(files()).unwrap() {
        let file = file.unwrap();
        std::fs::copy(file.path(), bench.join(file.file_name())).unwrap();
    }
    let mut steps: Vec<&str> = line.split(" && ").collect();
    let last = steps.pop().unwrap_or_default();
    for step in steps {
        if let Some(names) = step.strip_prefix("copy ") {
            let (from, to) = names.split_once(' ').unwrap();
            std::fs::copy(bench.join(from), bench.join(to)).unwrap();
            continue;
        }
        let output = program(&bench, &database).args(words(step)).env("EVENCLAMP_NOW", NOW).output().unwrap();
        assert!(output.status.success(), "{step}: {}", String::from_utf8_lossy(&output.stderr));
    }
    let mut before = BTreeMap::new();
    collect(&bench, "", &mut before);
    let (line, input) = last.split_once(" < ").map_or((last, None), |(line, file)| (line, Some(file)));
    let mut command = program(&bench, &database);
    command.args(words(line)).args(options).env("EVENCLAMP_NOW", NOW).env("COLUMNS", columns.to_string());
    if let Some(file) = input {
        command.stdin(std::fs::File::open(bench.join(file)).unwrap());
    }
    let output = command.output().unwrap();
    let clean = |bytes: &[u8]| cleaned(&String::from_utf8_lossy(bytes), folder.path());
    let mut made = BTreeMap::new();
    collect(&bench, "", &mut made);
    made.retain(|name, bytes| before.get(name) != Some(bytes));
    for (name, bytes) in &mut made {
        // Every journal has keys of its own, in a database in whatever order.
        if Path::new(name).extension().is_some_and(|extension| extension == "db") {
            *bytes = vec![0];
        } else if let Ok(text) = std::str::from_utf8(bytes) {
            *bytes = clean(text.as_bytes()).into_bytes();
        }
    }
    Said {
        status: output.status.code().unwrap_or(-1),
        out: clean(&output.stdout),
        err: clean(&output.stderr),
        made,
    }
}

/// What differs from run to run and from version to version, replaced: folders, the version, and the sum
/// over all that an audit judges by, which goes by the program's own types.
fn cleaned(text: &str, folder: &Path) -> String {
    let text = match text.split_once(BASIS) {
        Some((before, after)) => format!("{before}{BASIS}[BASIS]{}", after.trim_start_matches(|c| c != '"')),
        None => text.to_owned(),
    };
    let text: String = text.split_inclusive('\n').map(without_keys).collect();
    text.replace(&folder.display().to_string(), "[FOLDER]")
        .replace(&format!("evenclamp {}", env!("CARGO_PKG_VERSION")), "evenclamp [VERSION]")
}

fn collect(folder: &Path, prefix: &str, made: &mut BTreeMap<String, Vec<u8>>) {
    for file in std::fs::read_dir(folder).unwrap() {
        let file = file.unwrap();
        let name = format!("{prefix}{}", file.file_name().to_string_lossy());
        if file.file_type().unwrap().is_dir() {
            collect(&file.path(), &format!("{name}/"), made);
        } else {
            made.insert(name, std::fs::read(file.path()).unwrap());
        }
    }
}

/// A line without the keys of the journal, which differ from workshop to workshop.
fn without_keys(line: &str) -> String {
    let is_hex = |text: &str| text.bytes().all(|byte| byte.is_ascii_hexdigit());
    let is_key = |word: &str| is_hex(word) && (word.len() == 32 || word.len() == 16);
    let ends_of = [line.split(',').next(), line.rsplit(',').next()];
    let stands_at_end = ends_of.into_iter().flatten().any(|end| is_key(end.trim()));
    let named = ["newest", "\"key\":"].iter().any(|name| line.contains(name));
    // The hash of a book stands at an end as well, and is the same in every run.
    if !(named || stands_at_end) || line.starts_with("loaded,") {
        return line.to_owned();
    }
    let mut text = String::new();
    for piece in line.split_inclusive(|sign: char| !sign.is_ascii_alphanumeric()) {
        let word = piece.trim_end_matches(|sign: char| !sign.is_ascii_alphanumeric());
        text += &if is_key(word) { piece.replace(word, "[KEY]") } else { piece.to_owned() };
    }
    text
}
