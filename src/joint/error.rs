//! What can be wrong with the inputs of a bolt calculation, and what to give instead.

/// An input from which no bolt can be computed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum JointError {
    /// A size, load or strength that is zero, negative, infinite or not a number.
    #[error("{quantity} must be above 0 and finite, not {value} {unit}")]
    NotPositive {
        /// Which input.
        quantity: &'static str,
        /// The value given, in `unit`.
        value: f64,
        /// The unit of `value`.
        unit: &'static str,
    },
    /// A pitch so coarse that nothing is left of the core.
    #[error("a pitch of {pitch_mm:.3} mm leaves no core in a thread of {major_mm:.3} mm")]
    PitchTooCoarse {
        /// Pitch in mm.
        pitch_mm: f64,
        /// Major diameter in mm.
        major_mm: f64,
    },
    /// A coefficient of friction outside 0 < μ < 1.
    #[error("a coefficient of friction lies above 0 and below 1, not at {0}")]
    Friction(f64),
    /// A friction band with its ends the wrong way round.
    #[error("the friction band {low}..{high} has its low end above its high end")]
    FrictionUpsideDown {
        /// The end given first.
        low: f64,
        /// The end given last.
        high: f64,
    },
    /// A name that no row of a table carries.
    #[error("unknown {what} `{text}`")]
    Unknown {
        /// What was looked up: thread, grade, friction, head, material.
        what: &'static str,
        /// The name as typed.
        text: String,
        /// The nearest known names, best first.
        nearest: Vec<String>,
    },
    /// A material that holds no thread of its own.
    #[error("no bolt is screwed into `{0}` itself, but into a metal insert in it")]
    NoThreadInIt(String),
    /// A diameter without a pitch, where there is no coarse thread of that diameter to stand for it.
    #[error("`{text}` needs its pitch")]
    PitchNeeded {
        /// The designation as typed.
        text: String,
        /// The threads of that diameter.
        candidates: Vec<String>,
    },
    /// A property class is not defined for a diameter.
    #[error("grade {grade} is not defined for {thread}")]
    GradeSize {
        /// Name of the property class.
        grade: String,
        /// Designation of the thread.
        thread: String,
    },
    /// A part with a bore, such as a bearing cup: the solid section would promise too much.
    #[error("{thread} is the thread of a hollow part ({part}), which has no bolt section to compute")]
    Hollow {
        /// Designation of the thread.
        thread: String,
        /// The part that carries it.
        part: String,
    },
    /// No tolerance limits are tabulated or computable for stripping.
    #[error("the tolerance limits of {0} are not known, so its stripping load is not computed")]
    NoToleranceLimits(String),
    /// A sweep of no or far too many points.
    #[error("a sweep has 2 to 1000 points, not {0}")]
    SweepPoints(usize),
}

impl JointError {
    pub(super) fn unknown(what: &'static str, text: &str, nearest: Vec<String>) -> JointError {
        JointError::Unknown { what, text: text.trim().to_owned(), nearest }
    }

    /// What to give instead; empty where the message already says it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            JointError::Unknown { nearest, .. } if !nearest.is_empty() => {
                format!("nearest known: {}", nearest.join(", "))
            }
            JointError::NoThreadInIt(_) => "name the metal of the insert, such as aluminium".to_owned(),
            JointError::PitchNeeded { candidates, .. } => format!("known: {}", candidates.join(", ")),
            JointError::Friction(_) | JointError::FrictionUpsideDown { .. } => {
                "write a band such as 0.10..0.16, or a condition such as greased".to_owned()
            }
            JointError::Hollow { .. } => "follow the maker of the part".to_owned(),
            JointError::GradeSize { .. } => "check the marking on the head and the diameter".to_owned(),
            JointError::NotPositive { .. } => {
                "give a size above 0 with its unit, such as 5 N·m or 8 mm".to_owned()
            }
            _ => String::new(),
        }
    }
}

/// `value`, when it is a size that can exist.
pub(super) fn positive(quantity: &'static str, value: f64, unit: &'static str) -> Result<f64, JointError> {
    if value.is_finite() && value > 0.0 {
        Ok(value)
    } else {
        Err(JointError::NotPositive { quantity, value, unit })
    }
}
