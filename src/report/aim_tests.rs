//! A chance is never told as a certainty.

use super::*;

#[test]
fn a_chance_near_its_ends_is_told_as_a_bound() {
    let text = |value| chance_text(Probability::clamped(value));
    assert_eq!(text(0.99991), "over 99.9 %");
    assert_eq!(text(1.0), "over 99.9 %");
    assert_eq!(text(0.0009), "under 0.1 %");
    assert_eq!(text(0.0), "under 0.1 %");
    assert_eq!([0.998, 0.5, 0.002].map(text), ["99.8 %", "50.0 %", "0.2 %"]);
}
