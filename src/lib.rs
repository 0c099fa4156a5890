//! Fastener torque specifications for bicycle mechanics: which number counts, from whom, and what
//! a reading says about it.
//!
//! The core modules (`quantity`, `sheet`, `joint`, `conformity`, `sequence`, `book`) know nothing of
//! SQLite, the command line or printing.

#[macro_use]
extern crate uom;

pub mod audit;
pub mod book;
pub mod cli;
pub mod conformity;
pub mod joint;
pub mod quantity;
pub mod report;
pub mod sequence;
pub mod sheet;
pub mod store;
mod words;
pub mod workshop;
pub mod wrench;
