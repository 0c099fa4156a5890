//! End-to-end tests: the program as a mechanic or a script runs it. A module per theme.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot set itself up, or read its table, has failed, and says so by panicking"
)]

mod advice;
mod audit;
mod bench;
mod bike;
mod bolt;
mod book;
mod card;
mod check;
mod convert;
mod crash;
mod cycles;
mod database;
mod docs;
mod due;
mod elsewhere;
mod fields;
mod figures;
mod find;
mod fleet;
mod formats;
mod history;
mod imported;
mod in_hand;
mod journal;
mod keeping;
mod log;
mod measures;
mod model;
mod names;
mod order;
mod own;
mod plain_text;
mod random;
mod ready;
mod recall;
mod record;
mod round;
mod set_values;
mod settings;
mod sheet;
mod shell;
mod show;
#[path = "../published/table.rs"]
mod table;
mod terminal;
mod too_much;
mod typed;
mod visit;
mod wrench;
