//! The `evenclamp` program.

fn main() {}
