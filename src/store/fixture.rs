//! A store to test with.

use jiff::tz::TimeZone;

use super::Store;
use crate::book::Check;
use crate::workshop::{Bicycle, Figures, Joint, LocalInstant, Name};

pub(super) fn at(text: &str) -> LocalInstant {
    LocalInstant::parse(text, &TimeZone::UTC).unwrap()
}

/// A store with one bicycle of one joint of so many bolts.
pub(super) fn store_with_joint(bolts: u16) -> Store {
    let mut store = Store::in_memory().unwrap();
    let text = String::new;
    let bicycle = Bicycle {
        name: Name::new("loan-7").unwrap(),
        kind: "hardtail".into(),
        frame: text(),
        owner: text(),
        note: text(),
        added: at("2026-01-01"),
        retired: None,
    };
    let joint = Joint {
        name: Name::new("stem").unwrap(),
        place: "stem".into(),
        order: 1,
        check: Check::Torque,
        entry: "stem-steerer-clamp-two-bolt".into(),
        bolts,
        critical: true,
        hand: None,
        figures: Figures::default(),
        thread: text(),
        condition: text(),
        photo: text(),
    };
    store.add_bicycle(&bicycle, &[joint]).unwrap();
    store
}
