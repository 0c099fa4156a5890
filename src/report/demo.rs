//! The demonstration: what is said, what is typed, what comes back.

use serde::Serialize;
use serde_json::{Value, json};

use super::{Report, Style};

/// The steps of the demonstration.
#[derive(Debug, Serialize)]
pub struct DemoReport {
    pub steps: Vec<DemoStep>,
}

#[derive(Debug, Serialize)]
pub struct DemoStep {
    /// What leads to the command.
    pub said: &'static str,
    pub command: String,
    pub output: String,
    pub status: u8,
}

impl DemoReport {
    /// What stands before each line of an answer.
    pub const INDENT: &str = "  ";
}

impl Report for DemoReport {
    const SHEET: (&'static str, &'static str) = ("steps", "said,command,output,status");

    fn json(&self) -> Value {
        json!(self)
    }

    fn text(&self, style: &Style) -> String {
        let mut text = String::new();
        for step in &self.steps {
            text += &style.wrapped("", step.said);
            text += &format!("{}\n", style.strong(&format!("$ {}", step.command)));
            text += &step
                .output
                .lines()
                .map(|line| format!("{}{line}", DemoReport::INDENT).trim_end().to_owned() + "\n")
                .collect::<String>();
            if step.status != 0 {
                text += &style.faint(&format!("  (exit status {})\n", step.status));
            }
            text += "\n";
        }
        text += &style.wrapped(
            "",
            "That was the bench job. The bicycle and its readings are invented, and its list of joints was cut \
             short beforehand; every answer came from the commands shown.",
        );
        text
    }
}
