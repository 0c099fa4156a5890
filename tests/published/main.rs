//! Figures typed in from standards, handbooks and manuals, and what the program makes of them. A module
//! for each thing that is checked; the tables stand beside it, a source and grade in every row.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot set itself up, or read its table, has failed, and says so by panicking"
)]

mod bolt_strength;
mod book;
mod conformity;
mod consensus;
mod extension;
mod interaction;
mod mann_kendall;
mod risk;
mod rounding;
mod sequences;
mod table;
mod templates;
mod thread_geometry;
mod thread_stripping;
mod torque_preload;
mod trend_line;
mod units;

use evenclamp::book::{Book, compiled_in};
use evenclamp::conformity::normal;
use evenclamp::joint::Catalogue;
use evenclamp::store::{BookOrigin, Store};

/// The bolt tables of the book that the program carries, as commands find them.
fn catalogue() -> Catalogue {
    let mut store = Store::in_memory().unwrap();
    store.load_book(&Book::read(&compiled_in()).unwrap(), &BookOrigin::CompiledIn).unwrap();
    store.catalogue().unwrap()
}

/// The z at which the library's Φ(z) is `p`, found by halving: what tables print the other way round.
fn quantile(p: f64) -> f64 {
    let (mut below, mut above) = (-40.0, 40.0);
    for _ in 0..100 {
        let middle = f64::midpoint(below, above);
        if normal::cumulative(middle).value() < p { below = middle } else { above = middle }
    }
    above
}
