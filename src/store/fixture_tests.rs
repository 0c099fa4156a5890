//! A store to test with.

use jiff::tz::TimeZone;

use super::Store;
use crate::sheet::KeptRecord as _;
use crate::workshop::{Bicycle, Joint, LocalInstant, Name};

pub(super) fn at(text: &str) -> LocalInstant {
    LocalInstant::parse(text, &TimeZone::UTC).unwrap()
}

/// A store with one bicycle of one joint of so many bolts.
pub(super) fn store_with_joint(bolts: u16) -> Store {
    let mut store = Store::in_memory().unwrap();
    let bicycle = Bicycle {
        name: Name::new("loan-7").unwrap(),
        kind: "hardtail".into(),
        added: at("2026-01-01"),
        ..Bicycle::blank()
    };
    let joint = Joint {
        place: "stem".into(),
        order: 1,
        entry: "stem-steerer-clamp-two-bolt".into(),
        bolts,
        ..Joint::named(Name::new("stem").unwrap())
    };
    store.add_bicycle(&bicycle, &[joint]).unwrap();
    store
}
