//! Where answers come from: a line editor on a terminal, plain lines from a pipe.

use std::io::{BufRead as _, IsTerminal as _, Write as _};

use rustyline::DefaultEditor;
use rustyline::error::ReadlineError;

use super::super::{Context, Failure, FailureKind, OrFail as _};
use crate::report::Style;
use crate::words::{Outlet, visible};

/// Reads answers and says what is asked. Prompts and remarks go to standard error, so that the verdict alone is the
/// result; only the line editor, which needs a terminal at both ends, writes its prompt on that terminal.
pub(super) struct Reader {
    editor: Option<DefaultEditor>,
    pub(super) style: Style,
    lines: usize,
    is_piped: bool,
}

impl Reader {
    pub(super) fn new(context: &Context) -> Reader {
        let is_terminal = std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
        let editor = is_terminal.then(DefaultEditor::new).and_then(Result::ok);
        let colour = context.style.colour && std::io::stderr().is_terminal();
        let is_piped = !std::io::stdin().is_terminal();
        Reader { editor, style: Style { colour, ..context.style }, lines: 0, is_piped }
    }

    /// Whether the answers stand in a file or come from another program: nobody is there to be asked again.
    pub(super) fn is_piped(&self) -> bool {
        self.is_piped
    }

    /// How many answers were read.
    pub(super) fn lines(&self) -> usize {
        self.lines
    }

    /// The next answer; none at the end of the input, and where somebody breaks off.
    pub(super) fn ask(&mut self, prompt: &str) -> Result<Option<String>, Failure> {
        self.lines += 1;
        if let Some(editor) = &mut self.editor {
            return match editor.readline(prompt) {
                Ok(line) => {
                    let _ = editor.add_history_entry(line.as_str());
                    Ok(Some(line))
                }
                Err(ReadlineError::Eof | ReadlineError::Interrupted) => Ok(None),
                Err(error) => Err(Failure::new(FailureKind::Input, unreadable(&error), RESUMED)),
            };
        }
        self.write(prompt);
        let mut line = String::new();
        let read = std::io::stdin().lock().read_line(&mut line);
        let read = read.map_err(|error| unreadable(&error)).or_fail(FailureKind::Input, RESUMED)?;
        if read == 0 {
            self.write("\n");
            return Ok(None);
        }
        let line = line.trim_end_matches(['\n', '\r']).to_owned();
        if self.is_piped() {
            // The answers are to stand beside their questions.
            self.say(&line);
        }
        Ok(Some(line))
    }

    pub(super) fn say(&self, text: &str) {
        self.write(&format!("{text}\n"));
    }

    fn write(&self, text: &str) {
        let mut errors = std::io::stderr().lock();
        let _ = write!(errors, "{}", visible(text, Outlet::Text { coloured: self.style.colour }));
        let _ = errors.flush();
    }
}

const RESUMED: &str = "what was said before is kept; the same command goes on from here";

fn unreadable(error: &dyn std::fmt::Display) -> String {
    format!("cannot read the answer: {error}")
}
