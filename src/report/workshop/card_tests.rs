//! What a card tells a hand to do where a figure cannot be printed (practice of the trade: no figure, ask the part).

use super::*;

#[test]
fn where_no_figure_can_be_printed_the_card_says_what_to_look_at() {
    let said = |check, text: &str| specified_on_card(check, text.to_owned());
    assert_eq!(said(Check::Torque, "–"), "read the part");
    assert_eq!(said(Check::Torque, "4–6 N·m"), "4–6 N·m");
    assert_eq!(said(Check::Measure, "makers differ"), "makers differ: read the part");
    assert_eq!(said(Check::Measure, "–"), "read the part");
    // A figure that cannot be read changes nothing for the hand that feels for play.
    assert_eq!([said(Check::Function, "by hand"), said(Check::Function, "–")], ["no play, free, quiet"; 2]);
}
