//! The `evenclamp` program: hands the arguments to the command line and turns its answer into an
//! exit status.

use std::process::ExitCode;

fn main() -> ExitCode {
    evenclamp::run(std::env::args_os())
}
