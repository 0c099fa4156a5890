//! Which way a fastener is turned to tighten it.

use crate::book::Hand;

/// The turning direction of a joint whose bolts may tighten `hand`wise.
pub fn turning_text(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "clockwise tightens",
        Hand::Left => "LEFT-HAND thread: anticlockwise tightens",
        Hand::Either => "one side has a LEFT-HAND thread: read the side first",
        Hand::Unknown => "no source says which way it turns: find out before you put force on it",
    }
}

/// The turning direction where it is not the usual one.
pub fn turning_warning(hand: Hand) -> Option<&'static str> {
    (hand != Hand::Right).then(|| turning_text(hand))
}
