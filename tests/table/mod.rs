//! Reads the tables of `tests/published/`: one struct per table, columns by name.

use std::path::Path;

use serde::de::DeserializeOwned;

/// Every row of a table.
///
/// # Errors
/// A file that cannot be read, a missing column, a bad number, or no rows at all.
pub fn rows<T: DeserializeOwned>(name: &str) -> Result<Vec<T>, csv::Error> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published").join(name);
    let rows: Vec<T> = csv::Reader::from_path(path)?.deserialize().collect::<Result<_, _>>()?;
    if rows.is_empty() {
        return Err(std::io::Error::other(format!("{name} has no rows")).into());
    }
    Ok(rows)
}
