use super::super::quoted::{LONGEST_QUOTED, QuotedRecord, last_end};
use super::*;
use proptest::prelude::*;

/// Every record's raw bytes and fields, the careful way round.
fn read(data: &[u8]) -> Vec<(Vec<u8>, Vec<Vec<u8>>)> {
    let mut scratch = Scratch::new(b',');
    let mut records = Records::new(data, &mut scratch);
    let mut all = Vec::new();
    while let Some(record) = records.next() {
        let texts = (0..record.count()).map(|column| record.field(column).bytes().to_vec()).collect();
        all.push((data[record.start..record.end].to_vec(), texts));
    }
    all
}

fn texts(data: &str) -> Vec<Vec<String>> {
    let text = |field: Vec<u8>| String::from_utf8(field).unwrap();
    read(data.as_bytes()).into_iter().map(|(_, fields)| fields.into_iter().map(text).collect()).collect()
}

#[test]
fn line_ends_of_both_kinds_and_none_at_the_end() {
    assert_eq!(texts("a,b\r\n,d\n\n\r\ne"), [vec!["a", "b"], vec!["", "d"], vec!["e"]]);
    assert_eq!(texts(""), Vec::<Vec<String>>::new());
    assert_eq!(texts("a,"), [vec!["a", ""]]);
}

/// A spreadsheet program writes an empty row as its separators.
#[test]
fn lines_of_separators_alone_are_passed_over() {
    assert_eq!(texts(",,\n , \r\na,b,\n,,\r\n,,c\n   \n,,"), [vec!["a", "b", ""], vec!["", "", "c"]]);
    let mut scratch = Scratch::new(b';');
    let mut records = Records::new(b";;;\n,;\n", &mut scratch);
    assert_eq!(records.next().map(|record| (record.start, record.count())), Some((4, 2)));
}

#[test]
fn quoted_fields_hold_commas_quotes_and_line_ends() {
    assert_eq!(texts("a,\"b,\n\"\"c\"\"\",d\ne,f,g"), [vec!["a", "b,\n\"c\"", "d"], vec!["e", "f", "g"]]);
    assert_eq!(texts("5\" bolt,b\nc,d\n"), [vec!["5\" bolt", "b"], vec!["c", "d"]]);
    assert_eq!(texts("\"a\"b\"c,\"d\"\"\"\r\n\"e\r\"\n"), [vec!["ab\"c", "d\""], vec!["e\r"]]);
}

#[test]
fn an_unclosed_quote_takes_its_own_line_only() {
    let data = b"a,\"b\nc,d\ne,f\n";
    let mut scratch = Scratch::new(b',');
    let mut records = Records::new(data, &mut scratch);
    let first = records.next().unwrap();
    assert!(first.is_unclosed && first.next == 5, "{first:?}");
    assert!(!records.next().unwrap().is_unclosed);
    assert_eq!(read(data).len(), 3);
    let long = [b"a,\"b\n".as_slice(), &b"c,d\n".repeat(LONGEST_QUOTED)].concat();
    assert_eq!(read(&long).len(), LONGEST_QUOTED + 1);
}

#[test]
fn fields_that_a_record_lacks_are_empty() {
    for line in [vec!["x"; 500].join(","), vec!["\"x\""; 500].join(",")] {
        let mut scratch = Scratch::new(b',');
        let mut records = Records::new(line.as_bytes(), &mut scratch);
        let record = records.next().unwrap();
        assert_eq!(record.count(), 500);
        let fields = [0, 499, 500, 501, usize::MAX].map(|column| record.field(column).bytes());
        assert_eq!(fields, [&b"x"[..], b"x", b"", b"", b""]);
    }
}

/// Rows of a log with everything that makes reading hard.
fn hard_bytes() -> impl Strategy<Value = Vec<u8>> {
    let piece = prop_oneof![
        4 => "[a-z0-9. ]{0,30}".prop_map(String::into_bytes),
        3 => Just(b",".to_vec()),
        2 => Just(b"\n".to_vec()),
        1 => Just(b"\r\n".to_vec()),
        1 => Just(b"\"".to_vec()),
        1 => Just(b"\"\"".to_vec()),
        1 => proptest::collection::vec(any::<u8>(), 0..20),
    ];
    proptest::collection::vec(piece, 0..120).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    /// Every byte belongs to one record or a blank line, whatever the bytes.
    #[test]
    fn no_byte_is_lost(data in hard_bytes()) {
        let mut scratch = Scratch::new(b',');
        let mut records = Records::new(&data, &mut scratch);
        let mut at = 0;
        while let Some(record) = records.next() {
            prop_assert!(data[at..record.start].iter().all(|byte| b"\r\n, ".contains(byte)));
            prop_assert!(record.start < record.end && record.end <= record.next && record.next > at);
            at = record.next;
        }
        prop_assert!(data[at..].iter().all(|byte| b"\r\n, ".contains(byte)));
    }

    /// Cut at a record's end, the pieces have the records of the whole.
    #[test]
    fn a_cut_changes_nothing(data in hard_bytes(), cut in any::<prop::sample::Index>()) {
        let head = cut.index(data.len() + 1);
        let cut = last_end(&data[..head], &mut QuotedRecord::new(b','));
        let pieces = [read(&data[..cut]), read(&data[cut..])].concat();
        prop_assert_eq!(pieces, read(&data));
    }

    /// Where every quote is closed, the fields are those of the `csv` crate.
    #[test]
    fn fields_are_those_of_the_csv_crate(rows in proptest::collection::vec(proptest::collection::vec("[a-z,\"\n 0-9]{0,70}", 2..5), 0..8)) {
        let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
        for row in &rows {
            writer.write_record(row).unwrap();
        }
        let data = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        let is_blank = |row: &[String]| row.iter().all(|field| field.chars().all(|c| c == ' '));
        let filled: Vec<Vec<String>> = rows.into_iter().filter(|row| !is_blank(row)).collect();
        prop_assert_eq!(texts(&data), filled);
    }
}
