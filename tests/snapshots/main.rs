//! What the program answers, word for word: every command on one fixed workshop that holds every
//! state, as text at three widths, with and without colour, as JSON and as CSV.
//!
//! `fixture.txt` builds the workshop by the program itself, `cases/` lists the commands, `said/` holds
//! the answers. `UPDATE_SNAPSHOTS=1 cargo test --test snapshots` writes the answers anew; whoever does
//! so reads the difference before committing it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot set itself up, or read its table, has failed, and says so by panicking"
)]

mod advice;
mod answers;
mod cases;
mod coverage;
mod kept;
mod keys;
mod rendered;
mod width;
mod workshop;

/// A test for each file of cases, so that they run side by side.
macro_rules! groups {
    ($($group:ident),* $(,)?) => {
        $(#[test]
        fn $group() {
            rendered::check_group(stringify!($group));
        })*

        /// The names of the files under `cases/`.
        const GROUPS: &[&str] = &[$(stringify!($group)),*];
    };
}

groups!(
    audit, bike, bolt, book, card, check, convert, due, errors, find, help, history, keeping, order, ready,
    record, show, visit, wrench,
);
