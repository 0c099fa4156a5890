//! Texts that somebody typed, made safe for a terminal, a spreadsheet program and a shell.

use std::borrow::Cow;
use std::fmt::Write as _;

/// Whether a character does something to a terminal or to the order of what is read, instead of standing there: control
/// characters (Unicode, general category Cc), and those that turn the writing direction or have no width.
pub(crate) fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}')
        || matches!(c, '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The first hidden character of a text, as it is written out.
pub(crate) fn hidden_in(text: &str) -> Option<String> {
    text.chars().find(|c| is_hidden(*c)).map(|c| format!("U+{:04X}", u32::from(c)))
}

/// Where a text goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outlet {
    /// A terminal or a sheet; the codes for weight and colour pass where they are wanted.
    Text { coloured: bool },
    /// JSON, whose own escapes are used.
    Json,
}

/// A text with its hidden characters written out; line breaks part lines, and stay.
pub(crate) fn visible(text: &str, outlet: Outlet) -> Cow<'_, str> {
    if !text.contains(|c| is_hidden(c) && c != '\n') {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let colour = if outlet == (Outlet::Text { coloured: true }) { colour_code(rest) } else { 0 };
        let (taken, after) = rest.split_at(colour.max(c.len_utf8()));
        rest = after;
        if colour > 0 || c == '\n' || !is_hidden(c) {
            shown.push_str(taken);
        } else if outlet == Outlet::Json {
            for unit in c.encode_utf16(&mut [0; 2]) {
                let _ = write!(shown, "\\u{unit:04x}");
            }
        } else {
            let _ = write!(shown, "\\u{{{:x}}}", u32::from(c));
        }
    }
    Cow::Owned(shown)
}

/// The codes for weight and colour that this program writes (ECMA-48, SGR): plain, bold, faint, red, green, yellow. No
/// other one passes: some hide what stands behind them.
const COLOURS: [&str; 6] = ["\u{1b}[0m", "\u{1b}[1m", "\u{1b}[2m", "\u{1b}[31m", "\u{1b}[32m", "\u{1b}[33m"];

/// The length of the code for weight or colour that a text begins with; 0 where it begins with none.
fn colour_code(text: &str) -> usize {
    COLOURS.iter().find(|code| text.starts_with(**code)).map_or(0, |code| code.len())
}

/// What a spreadsheet program takes for the beginning of a formula.
const FORMULA: [char; 4] = ['=', '+', '-', '@'];
/// What begins a hidden character that is written out.
const WRITTEN_OUT: &str = "\\u{";

/// A text as a cell of a sheet: its hidden characters are written out, and an apostrophe stands before what a program
/// would take for a formula. [`of_cell`] gives the text again.
pub(crate) fn cell(text: &str) -> Cow<'_, str> {
    let text = if text.contains(WRITTEN_OUT) {
        Cow::Owned(text.replace(WRITTEN_OUT, "\\u{5c}u{"))
    } else {
        Cow::Borrowed(text)
    };
    let text = match visible(&text, Outlet::Text { coloured: false }) {
        Cow::Owned(shown) => Cow::Owned(shown),
        Cow::Borrowed(_) => text,
    };
    let is_formula = text.trim_start_matches('\'').starts_with(FORMULA) && text.parse::<f64>().is_err();
    if is_formula { Cow::Owned(format!("'{text}")) } else { text }
}

/// The text of which [`cell`] made a cell.
pub(crate) fn of_cell(cell: &str) -> Cow<'_, str> {
    let behind = cell.strip_prefix('\'').filter(|text| text.trim_start_matches('\'').starts_with(FORMULA));
    let mut rest = behind.unwrap_or(cell);
    if !rest.contains(WRITTEN_OUT) {
        return Cow::Borrowed(rest);
    }
    let mut text = String::new();
    while let Some((before, after)) = rest.split_once(WRITTEN_OUT) {
        text.push_str(before);
        let written = after.split_once('}').and_then(|(code, behind)| {
            let c = char::from_u32(u32::from_str_radix(code, 16).ok()?)?;
            Some((c, behind))
        });
        rest = if let Some((c, behind)) = written {
            text.push(c);
            behind
        } else {
            text.push_str(WRITTEN_OUT);
            after
        };
    }
    Cow::Owned(text + rest)
}

/// A word as it is typed at a shell.
pub(crate) fn shell(word: &str) -> Cow<'_, str> {
    let is_plain = |c: char| c.is_alphanumeric() || "-._/#:,=+@·".contains(c);
    if !word.is_empty() && word.chars().all(is_plain) && !word.starts_with(['=', '#']) {
        return Cow::Borrowed(word);
    }
    Cow::Owned(format!("'{}'", word.replace('\'', "'\\''")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const PLAIN: Outlet = Outlet::Text { coloured: false };

    #[test]
    fn what_would_act_on_a_terminal_is_written_out() {
        assert_eq!(visible("a\u{1b}[2Jb\u{9b}c\u{7}\r\n", PLAIN), "a\\u{1b}[2Jb\\u{9b}c\\u{7}\\u{d}\n");
        assert_eq!(visible("a\u{202e}b\u{200b}", PLAIN), "a\\u{202e}b\\u{200b}");
        let json = visible("\"a\u{9b}\u{2066}\u{e0041}\"", Outlet::Json).into_owned();
        assert_eq!(json, "\"a\\u009b\\u2066\\udb40\\udc41\"");
        assert_eq!(serde_json::from_str::<String>(&json).unwrap(), "a\u{9b}\u{2066}\u{e0041}");
        let coloured = Outlet::Text { coloured: true };
        assert_eq!(visible("\u{1b}[1mfit\u{1b}[0m\u{1b}[2J", coloured), "\u{1b}[1mfit\u{1b}[0m\\u{1b}[2J");
        // Concealed, black on black, and what only begins like a code of ours.
        for code in ["[8m", "[30;40m", "[3m", "[m"] {
            assert_eq!(visible(&format!("\u{1b}{code}x"), coloured), format!("\\u{{1b}}{code}x"));
        }
    }

    #[test]
    fn formulas_are_cells_of_text_and_numbers_stay_numbers() {
        for (text, made) in [
            ("=cmd", "'=cmd"),
            ("+1 turn", "'+1 turn"),
            ("@x", "'@x"),
            ("-1+2", "'-1+2"),
            ("-0.5", "-0.5"),
            ("5.1", "5.1"),
            ("'=x", "''=x"),
            ("it's", "it's"),
            ("'old'", "'old'"),
        ] {
            assert_eq!((cell(text).as_ref(), of_cell(made).as_ref()), (made, text));
        }
    }

    /// POSIX shell, single quotes: everything between two of them stands for itself.
    #[test]
    fn words_are_quoted_for_a_shell() {
        for (word, typed) in [
            ("loan-7/bar#2", "loan-7/bar#2"),
            ("my wrench", "'my wrench'"),
            ("a;b'c", "'a;b'\\''c'"),
            ("", "''"),
        ] {
            assert_eq!(shell(word), typed);
        }
    }

    proptest! {
        #[test]
        fn nothing_hidden_is_left_and_cells_come_back(text in "\\PC{0,5}[\\x00-\\x1f\u{7f}-\u{9f}\u{200b}-\u{206f}'=+@-]{0,6}.{0,5}") {
            for outlet in [PLAIN, Outlet::Json] {
                prop_assert!(!visible(&text, outlet).contains(|c| is_hidden(c) && c != '\n'));
            }
            for text in [text.clone(), text.replace('a', WRITTEN_OUT), format!("{WRITTEN_OUT}1b}}{text}")] {
                let made = cell(&text);
                prop_assert_eq!(of_cell(&made), text.as_str());
                prop_assert!(!made.starts_with(FORMULA) || text.parse::<f64>().is_ok());
                prop_assert!(!made.contains(|c| is_hidden(c) && c != '\n'));
            }
        }
    }
}
