//! Files that change records, as they are written and as spreadsheet programs save them.

use proptest::prelude::*;

use super::*;
use crate::book::{Check, Hand};
use crate::sheet::Diagnostic;
use crate::words::cell;
use crate::workshop::{Figure, Figures, Joint, Marking, Name};

const FILE: (&str, &str, &str) = ("joints", "bike", "joint");

fn joint() -> Joint {
    let marking = |part: &str, figure| Marking { part: part.to_owned(), figure: Figure::read(figure) };
    Joint {
        place: "stem; front, \"left\"".to_owned(),
        bolts: 4,
        hand: Some(Hand::Left),
        figures: Figures {
            markings: vec![marking("stem", "max 6 N·m"), marking("bar", "max 5 N·m")],
            shop: Some(Figure::read("4.5 N·m")),
            ..Figures::default()
        },
        grade: "8.8".to_owned(),
        ..Joint::named(Name::new("bar-clamp").unwrap())
    }
}

fn right(_: &str) -> &'static str {
    "right"
}

/// The joint as each row of a file has it, and the complaints.
fn read(bytes: &[u8], joint: &Joint) -> (Vec<Joint>, Vec<String>) {
    let mut diagnostics = Diagnostics::default();
    let rows = read_changes::<Joint>(FILE, bytes, &mut diagnostics);
    let read = rows.iter().map(|row| row.applied_to(joint, "joint", right, &mut diagnostics).unwrap());
    let read = read.collect();
    (read, diagnostics.into_sorted().iter().map(Diagnostic::to_string).collect())
}

fn written(joint: &Joint, separator: u8, crlf: bool) -> Vec<u8> {
    let end = if crlf { csv::Terminator::CRLF } else { csv::Terminator::Any(b'\n') };
    let mut writer = csv::WriterBuilder::new().delimiter(separator).terminator(end).from_writer(Vec::new());
    writer.write_record(record_header::<Joint>(Some("bike"))).unwrap();
    let fields = fillable_fields("hire-1", joint);
    writer.write_record(fields.iter().map(|field| cell(field).into_owned())).unwrap();
    writer.into_inner().unwrap()
}

/// A text that a person could have left in a field of a record.
fn text() -> impl Strategy<Value = String> {
    "[a-zN·m0-9,;\t\"' é\n=+@-]{0,8}"
}

proptest! {
    #[test]
    fn what_was_written_changes_nothing_however_it_is_parted(
        texts in proptest::collection::vec(text(), 8),
        (bolts, order, critical) in (1_u16..40, 0_u16..400, any::<bool>()),
        hand in proptest::option::of(prop_oneof![Just(Hand::Left), Just(Hand::Right)]),
        check in prop_oneof![Just(Check::Torque), Just(Check::Function), Just(Check::Measure)],
        markings in 0_usize..3,
        separator in prop_oneof![Just(b','), Just(b';'), Just(b'\t')],
        (mark, crlf) in (any::<bool>(), any::<bool>()),
    ) {
        let filled = |index: usize| Some(Figure::read(&texts[index])).filter(|it| !it.text().is_empty());
        let marked = (0..markings).filter_map(|index| {
            Some(Marking { part: texts[index + 2].clone(), figure: filled(index)? })
        });
        let joint = Joint {
            place: texts[4].clone(),
            condition: texts[5].clone(),
            figures: Figures { markings: marked.collect(), part_maker: filled(6), ..Figures::default() },
            photo: texts[7].clone(),
            bolts,
            order,
            critical,
            hand,
            check,
            ..joint()
        };
        let mut file = if mark { "\u{feff}".as_bytes().to_vec() } else { Vec::new() };
        file.extend(written(&joint, separator, crlf));
        prop_assert_eq!(read(&file, &joint), (vec![joint.clone()], Vec::new()));
        // What is not asked of the joint is in the file: it makes another joint the same.
        let other = Joint { name: joint.name.clone(), ..Joint::named(Name::new("other").unwrap()) };
        prop_assert_eq!(trimmed(read(&file, &other).0.remove(0)), trimmed(joint));
    }
}

/// The joint without the blanks around its texts, which no file brings in.
fn trimmed(mut joint: Joint) -> Joint {
    for text in [&mut joint.place, &mut joint.condition, &mut joint.photo] {
        *text = text.trim().to_owned();
    }
    joint.figures.markings.iter_mut().for_each(|marking| marking.part = marking.part.trim().to_owned());
    joint
}

/// Microsoft's knowledge base, article 77295 (from memory): a spreadsheet program leaves out separators at the end of
/// rows whose last cells are empty, in blocks of sixteen rows.
#[test]
fn rows_are_read_as_spreadsheet_programs_save_them() {
    let kept = joint();
    let changed = Joint { critical: false, bolts: 2, ..joint() };
    for (file, expected) in [
        ("joint,bolts,critical\nx,2,no\n", &changed),
        ("joint;bolts;critical\r\nx;2;no\r\n", &changed),
        ("\u{feff}joint\tbolts\tcritical\nx\t2\tNo", &changed),
        ("\u{feff}\"joint\";\"bolts\";\"critical\"\r\n\"x\";\"2\";\" no \"\r\n", &changed),
        ("critical;joint;bolts;;\n;;;;\nno;x;2;;\n;;;;\n", &changed),
        ("joint,bolts,critical,shop,photo\nx,2,FALSE\n", &changed),
        ("\u{feff}\r\n;;\r\njoint;bolts;critical\r\nx;2;no\r\n", &changed),
        ("joint\nx\n", &kept),
    ] {
        assert_eq!(read(file.as_bytes(), &kept), (vec![expected.clone()], Vec::new()), "{file:?}");
    }
}

#[test]
fn an_empty_field_takes_away_and_a_column_that_is_left_out_does_not() {
    let (read, _) = read(b"joint,marking_part,marking,shop,hand\nx,bar,4 Nm,,\n", &joint());
    let figures = &read[0].figures;
    let marked: Vec<(&str, &str)> =
        figures.markings.iter().map(|marking| (&*marking.part, marking.figure.text())).collect();
    assert_eq!(marked, [("bar", "4 Nm"), ("bar", "max 5 N·m")]);
    assert_eq!((figures.shop.as_ref(), read[0].hand, &*read[0].grade), (None, None, "8.8"));
}

#[test]
fn what_is_no_value_of_its_column_is_told_with_its_place_and_stays() {
    let (read, told) = read(b"joint;bolts;critical;hand\nx;2;maybe;up\n;1.5;;\n", &joint());
    assert_eq!(read[0], Joint { bolts: 2, ..joint() });
    assert_eq!(
        told,
        [
            "joints.csv:2:5: critical: `maybe` is not true or false; right",
            "joints.csv:2:11: hand: `up` is not a turning direction; right",
            "joints.csv:3:2: bolts: `1.5` is not a whole number; right",
            "joints.csv:3:6: critical: `` is not true or false; right",
        ]
    );
}

#[test]
fn a_file_without_the_key_or_with_an_unknown_column_is_refused() {
    for (file, start) in [
        (&b"bike;bolts\na;2\n"[..], "joints.csv:1:1: column `joint` is missing"),
        (b"joint;bolt\nx;2\n", "joints.csv:1:7: unknown column `bolt`"),
        (b"joint;bolts;bolts\nx;2;2\n", "joints.csv:1:13: column `bolts` stands twice"),
        (
            b"joint;bolts\nx;2;3\n",
            "joints.csv:2:1: the row has 3 fields where the header has 2; put fields that hold a semicolon",
        ),
        (
            b"joint;bolts\n\"x;2\n",
            "joints.csv:2:1: a double quote is opened and never closed; close it before the next semicolon",
        ),
        (b"joint;bolts\nN\xb7m;2\n", "joints.csv:2:2: the file is not UTF-8 from here on; save it as UTF-8"),
    ] {
        let (read, told) = read(file, &joint());
        assert!(read.is_empty() && told[0].starts_with(start), "{told:?}");
    }
}
