//! End-to-end tests: the program as a mechanic or a script runs it. A module per theme.

// A test that cannot set itself up has failed, and says so by panicking.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod audit;
mod bench;
mod book;
mod check;
mod convert;
mod database;
mod find;
mod order;
mod shell;
mod show;
mod wrench;
