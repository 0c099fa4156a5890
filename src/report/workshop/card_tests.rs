//! What a card tells a hand to do where a figure cannot be printed (practice of the trade: no figure, ask the part).

use super::*;
use crate::workshop::Name;

#[test]
fn where_no_figure_can_be_printed_the_card_says_what_to_look_at() {
    let said = |check, text: &str| {
        let joint = Joint { check, ..Joint::named(Name::new("frame").unwrap()) };
        specified_on_card(&joint, text.to_owned())
    };
    assert_eq!(said(Check::Torque, "–"), "read the part");
    assert_eq!(said(Check::Torque, "4–6 N·m"), "4–6 N·m");
    assert_eq!(said(Check::Measure, "makers differ"), "makers differ: read the part");
    assert_eq!(said(Check::Measure, "–"), "read the part");
    // A figure that cannot be read changes nothing for the hand that feels for play.
    assert_eq!([said(Check::Function, "by hand"), said(Check::Function, "–")], ["no crack, dent or bend"; 2]);
}
