use super::*;
use proptest::prelude::*;

const HEADER: &str = "kind,loss_low,loss_nominal,loss_high,decay,ladder,note,source,grade";

/// The complaints about one line under the right header.
fn complaints(line: &str) -> Vec<String> {
    match Kinds::read(&format!("{HEADER}\n{line}\n")) {
        Ok(_) => Vec::new(),
        Err(complaints) => complaints.iter().map(ToString::to_string).collect(),
    }
}

#[test]
fn the_compiled_in_table_is_whole_sorted_and_marked_as_assumed() {
    let kinds = Kinds::compiled_in().unwrap();
    let in_file: Vec<&str> =
        COMPILED_IN.lines().skip(1).map(|line| line.split(',').next().unwrap()).collect();
    assert!(in_file.is_sorted());
    assert_eq!(kinds.iter().map(|kind| kind.kind.as_str()).collect::<Vec<_>>(), in_file);
    assert!(kinds.iter().all(|kind| kind.grade == "assumption" && !kind.source.is_empty()));
}

#[test]
fn every_layout_of_several_bolts_has_its_kind() {
    let kinds = Kinds::compiled_in().unwrap();
    let free = Layout::points(Layout::ring(5).unwrap().positions().to_vec()).unwrap();
    for (layout, kind) in [
        (Layout::ring(4).unwrap(), "face-plate"),
        (Layout::ring(6).unwrap(), "ring"),
        (Layout::grid(2, 3).unwrap(), "grid"),
        (Layout::pair(), "pair"),
        (Layout::row(3).unwrap(), "row"),
        (free, "points"),
    ] {
        assert_eq!(kinds.for_layout(&layout).unwrap().kind, kind);
    }
    assert_eq!(kinds.for_layout(&Layout::single()), None);
    for gain in ["see-saw", "zero-gap"] {
        assert!(kinds.get(gain).unwrap().parameters.losses.is_gain());
    }
}

#[test]
fn faults_name_their_line_and_column() {
    let good = "a,0.1,0.2,0.3,0.4,30/60/100,n,s,assumption";
    assert_eq!(complaints(good), Vec::<String>::new());
    for (line, complaint) in [
        ("a,x,0.2,0.3,0.4,30/60/100,n,s,g", "line 2, loss_low: `x` is not a fraction such as 0.15"),
        ("a,0.1,0.2,inf,0.4,30/60/100,n,s,g", "line 2, loss_high: `inf` is not a fraction such as 0.15"),
        ("a,0.1,,0.3,0.4,30/60/100,n,s,g", "line 2, loss_nominal: is empty"),
        ("a,0.1,0.2,0.3,1.4,30/60/100,n,s,g", "line 2, decay: is not from 0 to 1"),
        (",0.1,0.2,0.3,0.4,30/60/100,n,s,g", "line 2, kind: is empty"),
        ("a,0.1,0.2,0.3,0.4,30/60/100,n,,g", "line 2, source: is empty"),
        ("a,0.1,0.2", "line 2: has 3 fields instead of 9"),
        (
            "a,0.3,0.2,0.1,0.4,30/60/100,n,s,g",
            "line 2, loss_nominal: the losses 0.3, 0.2 and 0.1 do not rise from low over nominal to high",
        ),
        (
            "a,0.1,0.2,1,0.4,30/60/100,n,s,g",
            "line 2, loss_nominal: a total loss of 100 % is not between -100 and 100 %",
        ),
        (
            "a,0.1,0.2,0.3,0.4,60/30/100,n,s,g",
            "line 2, ladder: `60/30/100` is not a list of rising percentages that ends at 100, such as 30/60/100",
        ),
    ] {
        assert_eq!(complaints(line), [complaint]);
    }
    assert_eq!(complaints(&format!("{good}\n{good}")), ["line 3, kind: `a` stands here twice"]);
    assert_eq!(complaints("a,x,y,z,w,v,,s,g").len(), 6, "every fault of a line is listed");
}

#[test]
fn faults_of_the_header_are_named() {
    let read = |header: &str| Kinds::read(header).unwrap_err();
    let missing = read(&HEADER.replace(",decay", ""));
    assert_eq!((missing[0].line, missing[0].column.as_deref()), (1, Some("decay")));
    assert_eq!(read(&HEADER.replace("decay", "decoy")).len(), 2);
    assert_eq!(read(&HEADER.replace("note", "kind")).len(), 2);
    assert_eq!(read("").len(), COLUMNS.len());
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC*", lines in "([0-9a-z./,\"-]{0,12}\\n){0,6}") {
        let _ = Kinds::read(&text);
        let _ = Kinds::read(&format!("{HEADER}\n{lines}"));
    }
}
