//! The tightening orders of flanges, wheels, rows and bicycle joints against the ordering rule.
//!
//! `tests/published/sequences.csv` holds one list a line; orders are compared exactly. `relation`
//! is `same` or, for a list that follows another convention, `differs`. A row graded `memory` shows
//! only that the rule's own output has not changed: its list was recalled, not read.

use std::error::Error;

use evenclamp::sequence::{ClosedSide, Layout, Pattern};

/// One published or recomputed list.
#[derive(Debug, serde::Deserialize)]
struct Row {
    pattern: String,
    layout: String,
    bolts: usize,
    /// `crosswise`, or the side that closes first.
    rule: String,
    /// How often the list goes round.
    rounds: usize,
    order: String,
    relation: String,
    source: String,
    place: String,
    grade: String,
    note: String,
}

impl Row {
    /// The rule's order for this row, as the list writes it.
    fn by_rule(&self) -> Result<String, Box<dyn Error>> {
        let pattern = match self.rule.as_str() {
            "crosswise" => Pattern::Crosswise,
            "closed top" => Pattern::ClosedSideFirst(ClosedSide::Top),
            other => return Err(format!("{}: unknown rule `{other}`", self.pattern).into()),
        };
        let groups = pattern.groups(&Layout::named(&self.layout, self.bolts)?)?;
        let numbers = groups.iter().flat_map(|group| group.repeat(self.rounds));
        Ok(numbers.map(|bolt| bolt.to_string()).collect::<Vec<_>>().join("-"))
    }
}

fn rows() -> Result<Vec<Row>, Box<dyn Error>> {
    let rows = csv::Reader::from_path("tests/published/sequences.csv")?.into_deserialize();
    Ok(rows.collect::<Result<_, _>>()?)
}

#[test]
fn the_rule_gives_every_list_that_follows_it() -> Result<(), Box<dyn Error>> {
    for row in rows()?.iter().filter(|row| row.relation == "same") {
        assert_eq!(row.by_rule()?, row.order, "{} of {} bolts, {}", row.pattern, row.bolts, row.source);
    }
    Ok(())
}

/// The 8-lug wheel chart steps opposite pairs round; the rule gives the 8-bolt flange order.
#[test]
fn the_list_of_another_convention_differs() -> Result<(), Box<dyn Error>> {
    let rows = rows()?;
    let others: Vec<&Row> = rows.iter().filter(|row| row.relation != "same").collect();
    assert_eq!(others.len(), 1);
    assert_eq!((others[0].pattern.as_str(), others[0].bolts), ("wheel-lug-star", 8));
    assert_eq!(others[0].relation, "differs");
    assert_ne!(others[0].by_rule()?, others[0].order);
    Ok(())
}

#[test]
fn every_row_names_its_ground() -> Result<(), Box<dyn Error>> {
    let grades = ["published", "secondhand", "common-practice", "computed", "memory"];
    for row in rows()? {
        assert!(!row.source.is_empty() && !row.place.is_empty(), "{row:?}");
        assert!(grades.contains(&row.grade.as_str()), "{row:?}");
        assert!(row.grade != "memory" || row.note.contains("recalled from memory"), "{row:?}");
    }
    Ok(())
}

/// The lists that the rule is known to give must not go missing from the table.
#[test]
fn the_table_is_complete() -> Result<(), Box<dyn Error>> {
    let rows = rows()?;
    let bolts = |pattern: &str| -> Vec<usize> {
        rows.iter().filter(|row| row.pattern == pattern).map(|row| row.bolts).collect()
    };
    assert_eq!(bolts("flange-cross-legacy"), [4, 8, 12, 16, 20, 24, 28, 32]);
    assert_eq!(bolts("wheel-lug-star"), [4, 5, 6, 8]);
    assert_eq!(bolts("generated-star"), (2..=20).collect::<Vec<_>>());
    assert_eq!(bolts("generated-row"), [3, 4, 5, 6]);
    assert_eq!(rows.len(), 48);
    Ok(())
}
