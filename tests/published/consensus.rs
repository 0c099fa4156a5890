//! Marzullo's sweep against its published examples (`published/consensus.csv`, each row with its
//! source and grade).

use evenclamp::book::best_intervals;
use evenclamp::quantity::{Torque, newton_metres};

fn intervals(text: &str) -> Vec<(Option<Torque>, Option<Torque>)> {
    text.split(' ')
        .map(|interval| {
            let (low, high) = interval.split_once('-').expect("interval");
            let end = |text: &str| Some(newton_metres(text.parse().expect("number")));
            (end(low), end(high))
        })
        .collect()
}

#[test]
fn the_sweep_finds_the_published_stretches() {
    let mut table = csv::Reader::from_path("tests/published/consensus.csv").expect("fixture");
    let mut rows = 0;
    for row in table.records() {
        let row = row.expect("row");
        let found = best_intervals(&intervals(&row[1]));
        let ends: Vec<_> = found.iter().map(|stretch| (stretch.low, stretch.high)).collect();
        assert_eq!(ends, intervals(&row[2]), "{}", &row[0]);
        for stretch in found {
            assert_eq!(stretch.issuers.to_string(), row[3], "{}", &row[0]);
        }
        rows += 1;
    }
    assert_eq!(rows, 5);
}
