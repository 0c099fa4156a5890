//! Fastener torque specifications for bicycle mechanics: which number counts, from whom, and what
//! a reading says about it.
//!
//! The core modules know nothing of SQLite, the command line or printing.

#[macro_use]
extern crate uom;

pub mod joint;
pub mod quantity;
