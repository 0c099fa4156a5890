//! What SVG documents have in common: their head, and text that cannot break them.

/// Opens a document of that width and height, in pixels: its title for readers who do not see it, and
/// black on a white ground. `more` are further attributes.
pub(crate) fn opened((width, height): (f64, f64), more: &str, title: &str) -> String {
    let title = escaped(title);
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" font-family=\"Arial, Helvetica, sans-serif\" \
         {more} fill=\"#000000\">\n<title>{title}</title>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>\n"
    )
}

/// Text of characters that XML 1.0 allows, in one line; what it does not allow becomes the replacement character.
pub(crate) fn printable(text: &str) -> String {
    let allowed = |character| match character {
        '\t' | '\n' | '\r' => ' ',
        '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => char::REPLACEMENT_CHARACTER,
        other => other,
    };
    text.chars().map(allowed).collect()
}

/// Text as XML and HTML write it, also between quotes; characters that XML 1.0 does not allow become the replacement character.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in printable(text).chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            other => out.push(other),
        }
    }
    out
}
