//! Which number counts for every clamp, axle, pivot and rotor bolt of a bicycle, on whose word, and what a
//! reading says about it.
//!
//! Public is what is checked against published figures, and what makes a log for the benchmarks. The program
//! `evenclamp` is one call of [`run`]; what it does stands in README.md. This library is what it is made of. The
//! rules that it keeps, and the function that keeps each, stand in `specs/rules.md`; how to change things stands
//! in DEVELOPERS.md.
//!
//! # Map
//!
//! The core computes. It knows no database, command line, printing, clock, file or environment:
//!
//! * [`quantity`](mod@quantity): torques, their units, the forms in which a torque is specified, the only rounding.
//! * `sheet`: strict CSV sheets; [`book`]: the spec book that they make up, and the band of an entry.
//! * [`joint`]: what a bolt can stand.
//! * [`conformity`]: limits, uncertainty, the verdict on a reading, the aim, slips of unit.
//! * [`wrench`]: registered wrenches, their calibrations, and which one to take.
//! * [`sequence`]: the order of several bolts, passes and settings.
//! * `workshop`: bicycles, joints and readings; which figure counts; fit to ride or not.
//! * `audit`: a whole log in one pass.
//!
//! The edges: [`store`] keeps what is known in SQLite, `report` writes what was found as text, JSON and CSV,
//! `cli` takes arguments and hands out the exit status.
//!
//! # From a name to a verdict
//!
//! ```
//! use evenclamp::book::{BandState, Book, compiled_in};
//! use evenclamp::conformity::{Accuracy, Deviation, Instrument, Label, Limits, judge};
//! use evenclamp::quantity::{TorqueUnit, parse_reading};
//! use evenclamp::store::{BookOrigin, Store};
//!
//! // The spec book that the program carries, in a database that is gone afterwards.
//! let book = Book::read(&compiled_in()).expect("the compiled-in book has no faults");
//! let mut store = Store::in_memory()?;
//! store.load_book(&book, &BookOrigin::CompiledIn)?;
//!
//! // What the bolt is called, and what the issuers of its figures agree on.
//! let found = store.find("crank pinch")?;
//! assert_eq!(found.hits[0].entry, "crank-pinch-bolts");
//! let page = store.page(&found.hits[0].entry)?.expect("it was just found");
//! let consensus = page.consensus();
//! assert_eq!(consensus.state, BandState::Agreed);
//!
//! // A value read in another unit, with a wrench that is good to 4 %.
//! let limits = Limits::new(consensus.spec.expect("an agreed entry has a band"));
//! let wrench = Instrument::of_accuracy(Accuracy::given(Deviation::FOUR_PERCENT));
//! let reading = parse_reading("120 lbf·in")?;
//! let verdict = judge(Some(&limits), reading.torque, &wrench, &[]);
//! assert_eq!(verdict.label, Label::Inside);
//! assert_eq!(format!("{:.2}", TorqueUnit::NewtonMetre.value_of(verdict.budget.expanded())), "0.63");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#[macro_use]
extern crate uom;

mod audit;
pub mod book;
mod cli;
pub mod conformity;
pub mod joint;
pub mod quantity;
mod report;
pub mod sequence;
mod sheet;
pub mod store;
mod words;
mod workshop;
pub mod wrench;

pub use cli::{command, run};
pub use report::spec_text;
pub use workshop::{TrendLine, falling_chance};
