//! A whole log judged at speed.

mod number;
mod record;
