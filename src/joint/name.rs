//! Finding a row by a name as people type it, and the nearest names when there is none.

/// Lower case, without the blanks and hyphens that people place differently.
pub(super) fn folded(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && !"-_".contains(*c)).flat_map(char::to_lowercase).collect()
}

/// True when `text` is one of `names`, but for case, blanks and hyphens.
pub(super) fn is_one_of<'a>(text: &str, mut names: impl Iterator<Item = &'a str>) -> bool {
    let wanted = folded(text);
    names.any(|name| folded(name) == wanted)
}

/// The three names nearest to `text`, best first, each once.
pub(super) fn nearest<'a>(text: &str, names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let wanted = folded(text);
    let mut scored: Vec<(f64, &str)> =
        names.map(|name| (strsim::jaro_winkler(&wanted, &folded(name)), name)).collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut best: Vec<String> = Vec::new();
    for (_, name) in scored {
        if best.len() < 3 && !best.iter().any(|known| known == name) {
            best.push(name.to_owned());
        }
    }
    best
}
