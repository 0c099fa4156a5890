//! Free positions of bolts: `x,y` on the command line, or a CSV file with the columns x and y.

use std::path::Path;

use super::{Failure, FailureKind};
use crate::cli::file::unreadable;
use crate::sequence::{MAX_BOLTS, Point};

const HINT: &str = "give two numbers, to the right and up, such as 20,-15";

/// A place such as `20,-15`.
pub(super) fn place(text: &str) -> Result<Point, Failure> {
    let place = text.split_once([',', ';']).and_then(|(x, y)| point(x, y));
    place.ok_or_else(|| Failure::new(FailureKind::Layout, format!("`{text}` is not a place"), HINT))
}

/// The places in a file.
pub(super) fn read(path: &Path) -> Result<Vec<Point>, Failure> {
    let shown = path.display();
    let unreadable = |error: csv::Error| {
        let hint = "a header x,y and one line for each bolt, as CSV in UTF-8";
        let failure = unreadable(path, &error, hint);
        match error.position() {
            Some(position) => failure.at(format!("{shown}:{}", position.line())),
            None => failure,
        }
    };
    let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).from_path(path).map_err(unreadable)?;
    let header = reader.headers().map_err(unreadable)?;
    let column = |name: &str| header.iter().position(|column| column.trim_start_matches('\u{feff}') == name);
    let (Some(x), Some(y), 2) = (column("x"), column("y"), header.len()) else {
        return Err(Failure::new(FailureKind::Layout, "the header is not x,y", HINT).at(format!("{shown}:1")));
    };
    let mut places = Vec::new();
    // One more than a layout can have, so that it is the layout that says how many are too many.
    for record in reader.records().take(MAX_BOLTS + 1) {
        let record = record.map_err(unreadable)?;
        let line = record.position().map_or(0, csv::Position::line);
        let fields = (record.get(x).unwrap_or_default(), record.get(y).unwrap_or_default());
        let found = point(fields.0, fields.1).ok_or_else(|| {
            let message = format!("`{},{}` is not a place", fields.0, fields.1);
            Failure::new(FailureKind::Layout, message, HINT).at(format!("{shown}:{line}"))
        })?;
        places.push(found);
    }
    Ok(places)
}

fn point(x: &str, y: &str) -> Option<Point> {
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    Some(Point { x: number(x)?, y: number(y)? })
}
