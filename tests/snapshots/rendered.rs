//! The answers to a group of cases as one text, compared with the one that is kept.

use std::fmt::Write as _;

use crate::cases::{Asked, Case, of_group};
use crate::kept;
use crate::workshop::{Said, run};

/// The width that other widths are compared with.
const USUAL: usize = 80;
/// Most lines of an answer that is kept briefly.
const FEW: usize = 6;

/// Checks the answers of a group, each in every way.
pub fn check_group(group: &str) {
    let text: String = of_group(group).iter().map(of_case).collect();
    kept::check(&format!("said/{group}.txt"), &text);
}

fn of_case(case: &Case) -> String {
    let plain = run(&case.line, &["--color", "never"], USUAL);
    let mut text = format!("══════ evenclamp {}\n", case.line);
    write!(text, "── text, status {}\n{}", plain.status, ended(&shown(case, &plain.out))).unwrap();
    if !plain.err.is_empty() {
        write!(text, "── standard error\n{}", ended(&plain.err)).unwrap();
    }
    for (name, bytes) in &plain.made {
        write!(text, "── file {name}\n{}", of_file(case, bytes)).unwrap();
    }
    if case.asked == Asked::InEveryWay {
        text += &of_widths(&case.line, &plain);
        text += &of_colour(&case.line, &plain);
    }
    let formats: &[&str] = match case.asked {
        Asked::InEveryWay | Asked::Plainly => &["json", "csv"],
        Asked::Refused => &["json"],
        Asked::Once | Asked::Briefly => &[],
    };
    for format in formats {
        text += &of_format(&case.line, format, &plain);
    }
    text + "\n"
}

fn shown(case: &Case, out: &str) -> String {
    if case.asked == Asked::Briefly { brief(out) } else { out.to_owned() }
}

/// The first lines of a text, with its size and a sum over its bytes, so that no change goes unseen.
fn brief(text: &str) -> String {
    let first = text.lines().take(FEW).collect::<Vec<_>>().join("\n");
    let lines = text.lines().count();
    let sum = text
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |sum, byte| (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3));
    format!("{first}\n… {lines} lines, {} bytes, FNV-1a {sum:016x}\n", text.len())
}

fn of_file(case: &Case, bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) if !text.contains('\0') => ended(&shown(case, text)),
        _ => "binary\n".to_owned(),
    }
}

fn ended(text: &str) -> String {
    if text.is_empty() || text.ends_with('\n') { text.to_owned() } else { format!("{text}⏎\n") }
}

fn of_widths(line: &str, usual: &Said) -> String {
    let mut text = String::new();
    for columns in [60, 120] {
        let said = run(line, &["--color", "never"], columns);
        assert_eq!(said.status, usual.status, "{line} at {columns} columns");
        // What is asked on the way is laid out; everything else that is said beside an answer is not.
        if said.err != usual.err {
            assert!(line.starts_with("visit "), "{line} at {columns} columns: {}\n{}", said.err, usual.err);
            write!(text, "── said, {columns} columns\n{}", ended(&said.err)).unwrap();
        }
        assert_eq!(said.made, usual.made, "{line} at {columns} columns: files");
        if said.out == usual.out {
            writeln!(text, "── text, {columns} columns: the same").unwrap();
        } else {
            write!(text, "── text, {columns} columns\n{}", ended(&said.out)).unwrap();
        }
    }
    text
}

/// Colour adds marks and changes no word; the marked pieces are kept.
fn of_colour(line: &str, plain: &Said) -> String {
    let said = run(line, &["--color", "always"], USUAL);
    let (bare, marked) = unmarked(&said.out);
    assert_eq!(bare, plain.out, "{line}: without its marks, text with colour is text without");
    assert_eq!((said.status, &said.err), (plain.status, &plain.err), "{line} with colour");
    assert_eq!(said.made, plain.made, "{line} with colour: files");
    if marked.is_empty() {
        return "── colour: none\n".to_owned();
    }
    format!("── colour\n{}\n", marked.join(" "))
}

/// A text without its escape sequences, and the pieces between them with the numbers of each.
fn unmarked(text: &str) -> (String, Vec<String>) {
    let (mut bare, mut marked, mut open) = (String::new(), Vec::new(), String::new());
    for (index, part) in text.split("\u{1b}[").enumerate() {
        let (codes, piece) = if index == 0 { ("", part) } else { part.split_once('m').unwrap() };
        match codes {
            "0" | "" => open.clear(),
            codes => write!(open, "{codes};").unwrap(),
        }
        if !open.is_empty() && !piece.is_empty() {
            marked.push(format!("‹{} {piece}›", open.trim_end_matches(';')));
        }
        bare += piece;
    }
    (bare, marked)
}

fn of_format(line: &str, format: &str, plain: &Said) -> String {
    let said = run(line, &["--format", format], USUAL);
    let mut text = format!("── {format}");
    if said.status != plain.status {
        write!(text, ", status {}", said.status).unwrap();
    }
    write!(text, "\n{}", ended(&said.out)).unwrap();
    if said.err != plain.err {
        write!(text, "── {format}, standard error\n{}", ended(&said.err)).unwrap();
    }
    text
}
