//! Reads a published table: one CSV file per table under `tests/published`.

use std::path::Path;

use serde::de::DeserializeOwned;

/// All rows of a table.
pub fn rows<T: DeserializeOwned>(file: &str) -> Vec<T> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published").join(file);
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|error| panic!("{file}: {error}"));
    let rows: Vec<T> =
        reader.deserialize().collect::<Result<_, _>>().unwrap_or_else(|error| panic!("{file}: {error}"));
    assert!(!rows.is_empty(), "{file} is empty");
    rows
}
