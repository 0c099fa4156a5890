//! The copy of `specs/` that the program carries, so that a new user types no set-up command.

use super::Files;

macro_rules! carried {
    ($($name:literal),+ $(,)?) => {
        /// The files of the compiled-in book.
        pub fn compiled_in() -> Files {
            Files::from_iter([
                $((concat!($name, ".csv").to_owned(),
                   include_bytes!(concat!("../../specs/", $name, ".csv")).as_slice()),)+
            ])
        }
    };
}

carried!(
    "aliases",
    "entries",
    "evidence",
    "friction",
    "grades",
    "heads",
    "intervals",
    "layouts",
    "limits",
    "materials",
    "sources",
    "steps",
    "templates",
    "threads",
);
