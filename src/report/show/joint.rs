//! The joint of a bicycle that an entry is shown for.

use serde_json::{Value, json};

use crate::report::Style;

/// What counts for the joint of a bicycle.
#[derive(Debug)]
pub struct ShownJoint {
    /// BIKE/JOINT.
    pub path: String,
    /// The figure that counts, with its unit; none where nobody gives one.
    pub specified: Option<String>,
    /// On whose word.
    pub ground: String,
    /// Other figures that contradict it.
    pub notes: Vec<String>,
}

impl ShownJoint {
    pub(super) fn text(&self, style: &Style) -> String {
        let figure = self.specified.as_deref().unwrap_or("no figure");
        let mut said = vec![format!("{}: {figure} ({})", self.path, self.ground)];
        said.extend(self.notes.iter().cloned());
        style.listed("Counts", &[said.join("; ")])
    }

    pub(super) fn json(&self) -> Value {
        json!({
            "joint": self.path,
            "specified": self.specified,
            "ground": self.ground,
            "notes": self.notes,
        })
    }
}
