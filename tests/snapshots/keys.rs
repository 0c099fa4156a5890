//! `specs/json.md`: every key of every JSON answer and every column of every CSV answer. Keys, types
//! and columns are those of the kept answers; what they mean stands in `keys.txt`.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::Path;

use serde_json::Value;

use crate::{answers, kept};

/// Units that a key may end in.
const UNITS: [(&str, &str); 9] = [
    ("_nm", "N·m"),
    ("_n", "N"),
    ("_mm2", "mm²"),
    ("_mm", "mm"),
    ("_percent", "%"),
    ("_percent_at_most", "%"),
    ("days_left", "days"),
    ("hours_left", "h"),
    ("km_left", "km"),
];

/// What stands in `keys.txt` about one kind of answer.
#[derive(Default)]
struct Section {
    title: String,
    /// The commands that give it, each as its words.
    commands: Vec<String>,
    /// What is said of the answer as a whole.
    about: Vec<String>,
    meanings: Vec<(String, String)>,
}

/// The sections in their order; the first holds what is meant wherever a key stands.
fn sections() -> Vec<Section> {
    let mut sections: Vec<Section> = Vec::new();
    for line in include_str!("keys.txt").lines() {
        if let Some(heading) = line.strip_prefix("## ") {
            let (title, commands) = heading.split_once(": ").unwrap_or((heading, ""));
            let commands = commands.split(", ").filter(|words| !words.is_empty()).map(str::to_owned);
            sections.push(Section {
                title: title.to_owned(),
                commands: commands.collect(),
                about: Vec::new(),
                meanings: Vec::new(),
            });
            continue;
        }
        if sections.is_empty() {
            sections.push(Section::default());
        }
        let section = sections.last_mut().unwrap();
        match line.split_once(" | ") {
            Some((key, meaning)) => section.meanings.push((key.to_owned(), meaning.to_owned())),
            None => section.about.push(line.trim_end().to_owned()),
        }
    }
    sections
}

/// What was seen of one key.
#[derive(Default)]
struct Seen {
    types: BTreeSet<&'static str>,
    /// In how many objects it stood, of how many that could hold it.
    there: usize,
}

/// The keys of the answers of a kind.
#[derive(Default)]
struct Keys {
    seen: BTreeMap<String, Seen>,
    /// How many objects stood at each path.
    objects: BTreeMap<String, usize>,
}

impl Keys {
    fn take(&mut self, path: &str, value: &Value) {
        match value {
            Value::Object(fields) => {
                *self.objects.entry(path.to_owned()).or_default() += 1;
                for (key, value) in fields {
                    let below = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                    self.note(&below, value).there += 1;
                    // The joint to be set first has the keys of an order.
                    let place = if below == "first" { String::new() } else { below };
                    self.take(&place, value);
                }
            }
            Value::Array(values) => {
                for value in values {
                    let each = format!("{path}[]");
                    if !value.is_object() {
                        self.note(&each, value);
                    }
                    self.take(if path.is_empty() { "" } else { &each }, value);
                }
            }
            _ => {}
        }
    }

    fn note(&mut self, path: &str, value: &Value) -> &mut Seen {
        let seen = self.seen.entry(path.to_owned()).or_default();
        seen.types.insert(match value {
            Value::Null => "null",
            Value::Bool(_) => "boolean",
            Value::Number(number) if number.is_f64() => "number",
            Value::Number(_) => "integer",
            Value::String(_) => "string",
            Value::Array(_) => "list",
            Value::Object(_) => "object",
        });
        seen
    }

    /// The keys that have a name of their own; what a list holds is told with the list.
    fn named(&self) -> impl Iterator<Item = &String> {
        self.seen.keys().filter(|key| !key.ends_with("[]"))
    }

    /// The type as it is printed: null last, and whether the key may be left out.
    fn type_of(&self, key: &str) -> String {
        let seen = &self.seen[key];
        let mut types: Vec<String> = seen.types.iter().map(|kind| self.with_elements(key, kind)).collect();
        types.sort_by_key(|kind| kind == "null");
        let parent = key.rsplit_once('.').map_or("", |(parent, _)| parent);
        let absent = if seen.there < self.objects[parent] { ", may be absent" } else { "" };
        types.join(" or ") + absent
    }

    /// A list with what it holds.
    fn with_elements(&self, key: &str, kind: &str) -> String {
        let each = format!("{key}[]");
        if kind != "list" {
            kind.to_owned()
        } else if self.objects.contains_key(&each) {
            "list of objects".to_owned()
        } else if let Some(elements) = self.seen.get(&each) {
            let names: Vec<&str> = elements.types.iter().copied().collect();
            format!("list of {}s", names.join(" or "))
        } else {
            "list".to_owned()
        }
    }
}

fn unit(key: &str) -> &'static str {
    let of = |word: &str| UNITS.iter().find(|(end, _)| word.ends_with(end)).map(|(_, unit)| *unit);
    key.rsplit('.').find_map(|word| of(word.trim_end_matches("[]"))).unwrap_or("")
}

/// Whether `end` is the whole of `key` or what follows a dot in it.
fn ends_in(key: &str, end: &str) -> bool {
    key == end || key.strip_suffix(end).is_some_and(|rest| rest.ends_with('.'))
}

/// The meaning of a key: the longest that fits, that of its own section before the one for all.
fn meaning<'a>(key: &str, section: &'a Section, everywhere: &'a Section) -> Option<(&'a str, &'a str)> {
    let own = section.meanings.iter().map(|(end, text)| (end.as_str(), true, text.as_str()));
    let common = everywhere.meanings.iter().map(|(end, text)| (end.as_str(), false, text.as_str()));
    let fitting = own.chain(common).filter(|(end, ..)| ends_in(key, end));
    fitting.max_by_key(|(end, own, _)| (end.len(), *own)).map(|(end, _, text)| (end, text))
}

/// The section whose command has the most words among those that a line fits.
fn section_of(line: &str, sections: &[Section]) -> Option<(usize, String)> {
    let fits = |words: &&String| answers::begins_with(line, &words.split(' ').collect::<Vec<_>>());
    let all = sections.iter().enumerate().flat_map(|(index, section)| {
        section.commands.iter().filter(fits).map(move |words| (index, words.clone()))
    });
    all.max_by_key(|(_, words)| words.split(' ').count())
}

/// What was collected for one section.
#[derive(Default)]
struct Collected {
    keys: Keys,
    /// Commands that gave a list of such answers and never a single one.
    lists: BTreeSet<String>,
    /// Headers of CSV with the commands that gave them.
    headers: BTreeMap<String, BTreeSet<String>>,
}

fn collected(sections: &[Section]) -> Vec<Collected> {
    let mut all: Vec<Collected> = sections.iter().map(|_| Collected::default()).collect();
    let mut singles = BTreeSet::new();
    for (line, value) in answers::json() {
        let (index, words) = section_of(&line, sections).unwrap_or_else(|| panic!("no section for `{line}`"));
        if value.is_array() {
            all[index].lists.insert(words);
        } else {
            singles.insert(words);
        }
        all[index].keys.take("", &value);
    }
    for found in &mut all {
        found.lists.retain(|words| !singles.contains(words));
    }
    let errors = sections.iter().position(|section| section.title == "Errors").unwrap();
    for value in answers::errors() {
        all[errors].keys.take("", &value);
    }
    for (line, header) in answers::headers() {
        let (index, words) = section_of(&line, sections).unwrap_or_else(|| panic!("no section for `{line}`"));
        all[index].headers.entry(header).or_default().insert(words);
    }
    all
}

#[test]
fn the_page_of_keys_names_every_key_with_its_type_and_no_other() {
    let sections = sections();
    let everywhere = &sections[0];
    let mut unused: BTreeSet<(&str, &str)> = sections
        .iter()
        .flat_map(|section| section.meanings.iter().map(|(key, _)| (section.title.as_str(), key.as_str())))
        .collect();
    let mut missing = Vec::new();
    let mut page = everywhere.about.join("\n").trim().to_owned() + "\n";
    for (section, found) in sections.iter().zip(collected(&sections)).skip(1) {
        write!(page, "\n## {}\n\n", section.title).unwrap();
        page += &heading(section, &found);
        if !found.keys.seen.is_empty() {
            page += "\n| key | type | unit | meaning |\n| --- | --- | --- | --- |\n";
        }
        for key in found.keys.named() {
            let (used, text) = meaning(key, section, everywhere).unwrap_or_else(|| {
                missing.push(format!("{}: {key}", section.title));
                ("", "?")
            });
            unused.remove(&(section.title.as_str(), used));
            if !section.meanings.iter().any(|(own, _)| own == used) {
                unused.remove(&(everywhere.title.as_str(), used));
            }
            writeln!(page, "| `{key}` | {} | {} | {text} |", found.keys.type_of(key), unit(key)).unwrap();
        }
    }
    assert_eq!(missing, Vec::<String>::new(), "keys without a meaning in tests/snapshots/keys.txt");
    assert!(unused.is_empty(), "tests/snapshots/keys.txt explains keys that no command gives: {unused:?}");
    kept::check_path(&Path::new(env!("CARGO_MANIFEST_DIR")).join("specs/json.md"), &page);
}

/// The commands of a section, what is said of it, and its columns.
fn heading(section: &Section, found: &Collected) -> String {
    let quoted = |words: &BTreeSet<String>| -> String {
        words.iter().map(|words| format!("`{words}`")).collect::<Vec<_>>().join(", ")
    };
    let mut text = String::new();
    let single: BTreeSet<String> =
        section.commands.iter().filter(|words| !found.lists.contains(*words)).cloned().collect();
    if !single.is_empty() {
        write!(text, "Given by {}", quoted(&single)).unwrap();
    }
    if !found.lists.is_empty() {
        let list = if single.is_empty() { "A list of these is given by" } else { "; a list of these by" };
        write!(text, "{list} {}", quoted(&found.lists)).unwrap();
    }
    if !section.commands.is_empty() {
        text += ". ";
    }
    text += &section.about.join(" ");
    text = text.trim_end().to_owned() + "\n";
    for (header, commands) in &found.headers {
        let whose = if found.headers.len() > 1 { format!(" of {}", quoted(commands)) } else { String::new() };
        write!(text, "\nColumns of CSV{whose}: `{}`\n", header.replace(',', "`, `")).unwrap();
    }
    text
}
