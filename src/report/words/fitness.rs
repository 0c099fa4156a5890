//! What stands behind the verdict on a bicycle, in words.

use serde_json::{Value, json};

use crate::words::counted;
use crate::workshop::{Fitness, JudgedBicycle, Less, OldestEvidence, TakenOff, Unexamined};

/// What was not examined since the newest crash.
pub fn unexamined_text(open: &Unexamined) -> String {
    let parts: Vec<&str> = open
        .parts
        .iter()
        .map(|part| if *part == "cockpit" { "cockpit (bar and stem)" } else { part })
        .collect();
    format!("not examined since the crash of {}: {}", open.crash.date(), parts.join(", "))
}

/// The hand checks of its kind that a bicycle lacks.
pub fn lacking_text(judged: &JudgedBicycle) -> String {
    format!(
        "nobody is asked for, on a bicycle of the kind {}: {}",
        judged.stored.bicycle.kind,
        judged.lacking.join(", ")
    )
}

/// The oldest evidence; null where nothing was checked.
pub fn oldest_json(oldest: Option<&OldestEvidence>) -> Value {
    json!(oldest.map(|oldest| json!({
        "joint": oldest.joint.text(),
        "checked_at": oldest.at.to_string(),
        "days": oldest.days,
    })))
}

/// The oldest evidence in words.
pub fn oldest_text(oldest: &OldestEvidence) -> String {
    let age = match oldest.days {
        0 => "less than a day old".to_owned(),
        days => format!("{} old", counted(usize::try_from(days).unwrap_or(usize::MAX), "day")),
    };
    format!("{age} ({}, {})", oldest.joint, oldest.at.date())
}

/// A remark where torques were taken on trust.
pub fn without_wrench_text(joints: usize) -> String {
    let joints = counted(joints, "sound joint");
    format!("{joints} judged without a known wrench: its accuracy is assumed; name it with --wrench")
}

/// A joint that is there no more, with who took it off and why.
pub fn taken_off_text(taken: &TakenOff) -> String {
    let who = if taken.who.is_empty() { "nobody named" } else { &taken.who };
    let why = if taken.why.is_empty() { "no reason given" } else { &taken.why };
    format!("{} {}: {who}, {}: {why}", taken.joint, less_text(taken.less), taken.at.short())
}

/// How less is asked of a joint that decided safety.
pub fn less_text(less: Less) -> String {
    match less {
        Less::TakenOff => "was taken off".to_owned(),
        Less::NotFitted => "is not fitted".to_owned(),
        Less::DecidesNoMore => "decides safety no more".to_owned(),
        Less::FewerBolts { from, to } => format!("has {} instead of {from}", counted(to, "bolt")),
    }
}

/// What the verdict means for the next hour.
pub fn fitness_text(fitness: Fitness, judged: &JudgedBicycle) -> String {
    let meaning = match fitness {
        Fitness::Fit => "every joint is checked and sound",
        Fitness::FitWithConditions if !judged.waived.is_empty() => return waived_text(judged),
        Fitness::FitWithConditions => "only joints that do not decide safety are open",
        Fitness::Unproven => "do not ride yet: joints that decide safety have no current evidence",
        Fitness::Unfit => "do not ride: a joint that decides safety is bad",
    };
    meaning.to_owned()
}

/// The hand checks of its kind that nobody is asked for any more.
pub fn waived_text(judged: &JudgedBicycle) -> String {
    format!("nobody looks there any more: {}", judged.waived.join(", "))
}
