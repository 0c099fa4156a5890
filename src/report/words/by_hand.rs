//! What is looked for where no torque decides, by what the joint is called in the templates.

/// Joints as the templates call them, without their side, and what the hand, the eye and the ear look for.
const LOOKED_FOR: [(&str, &str); 13] = [
    ("battery-lock", "locked, no rattle, contacts clean and dry"),
    ("braking", "lever firm, bites early and evenly, nothing rubs or leaks"),
    ("cockpit", "bar and stem without crack, dent or bend, nothing creaks or slips"),
    ("fork", "no crack, dent or bend, no play"),
    ("frame", "no crack, dent or bend"),
    ("headset", "no knock with the front brake held, turns freely"),
    ("motor", "sits tight, no crack at its mounts, no new noise"),
    ("pedals", "turn freely, no crack or bend, no play in the thread"),
    ("seat", "does not turn, tip or sink"),
    ("seat-post", "no crack, dent or bend, in past its mark"),
    ("steering", "bar straight and firm, turns freely from stop to stop"),
    ("tyre", "no cut or bulge, seated all round, rim whole, pressure as marked"),
    ("wheel", "no play, runs true, no spoke loose or broken"),
];

/// What is looked for in a check by hand.
pub fn by_hand_text(joint: &str) -> &'static str {
    // A name that a torque joint had already.
    let joint = joint.strip_suffix("-by-hand").unwrap_or(joint);
    let part = joint.strip_suffix("-front").or_else(|| joint.strip_suffix("-rear")).unwrap_or(joint);
    let known = LOOKED_FOR.iter().find(|(name, _)| *name == part);
    known.map_or("no play, turns freely, quiet, sits tight", |(_, text)| text)
}
