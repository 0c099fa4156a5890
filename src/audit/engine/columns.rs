//! The columns of a log, by name and in any order.

use super::super::AuditError;
use super::record::{Records, Scratch};
use crate::sheet::Separator;

const MOST_COLUMNS: usize = 128;

/// Where the columns that count stand; those that the log does not have stand beyond its last one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::audit) struct AuditColumns {
    pub(super) taken_at: usize,
    pub(super) bike: usize,
    pub(super) joint: usize,
    pub(super) entry: usize,
    pub(super) value: usize,
    pub(super) unit: usize,
    pub(super) kind: usize,
    pub(super) wrench: usize,
    pub(super) finding: usize,
    pub(super) action: usize,
    pub(super) id: usize,
    pub(super) corrects: usize,
    pub(super) count: usize,
    pub(in crate::audit) separator: Separator,
}

const ABSENT: usize = usize::MAX;
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

impl AuditColumns {
    /// Reads the header at the front of `data`; where the rows begin, and the columns.
    pub(super) fn read(data: &[u8]) -> Result<(usize, AuditColumns), AuditError> {
        if data.starts_with(b"\xff\xfe") || data.starts_with(b"\xfe\xff") {
            return Err(AuditError::NotUtf8);
        }
        let mark = if data.starts_with(BYTE_ORDER_MARK) { BYTE_ORDER_MARK.len() } else { 0 };
        let rest = data.get(mark..).unwrap_or_default();
        let separator = Separator::of_header(rest);
        let mut scratch = Scratch::new(separator.byte());
        let mut records = Records::new(rest, &mut scratch);
        let record = records.next().ok_or(AuditError::Empty)?;
        if record.count() > MOST_COLUMNS {
            return Err(AuditError::ManyColumns { most: MOST_COLUMNS });
        }
        let names: Vec<String> = (0..record.count())
            .map(|column| String::from_utf8_lossy(record.field(column).bytes()).trim().to_lowercase())
            .collect();
        Ok((mark + record.next, AuditColumns::named(&names, separator)?))
    }

    fn named(names: &[String], separator: Separator) -> Result<AuditColumns, AuditError> {
        let find = |wanted: &str| -> Result<usize, AuditError> {
            let mut places = names.iter().enumerate().filter(|(_, name)| *name == wanted).map(|(at, _)| at);
            match (places.next(), places.next()) {
                (_, Some(_)) => Err(AuditError::TwoColumns { name: wanted.to_owned() }),
                (place, None) => Ok(place.unwrap_or(ABSENT)),
            }
        };
        let columns = AuditColumns {
            taken_at: find("taken_at")?,
            bike: find("bike")?,
            joint: find("joint")?,
            entry: find("entry")?,
            value: find("value")?,
            unit: find("unit")?,
            kind: find("kind")?,
            wrench: find("wrench")?,
            finding: find("finding")?,
            action: find("action")?,
            id: find("id")?,
            corrects: find("corrects")?,
            count: names.len(),
            separator,
        };
        let by_joint = columns.has_joints();
        let missing: Vec<&'static str> = [
            ("entry (or bike and joint)", columns.entry == ABSENT && !by_joint),
            ("value", columns.value == ABSENT),
            ("unit", columns.unit == ABSENT),
        ]
        .into_iter()
        .filter_map(|(name, missing)| missing.then_some(name))
        .collect();
        if missing.is_empty() {
            return Ok(columns);
        }
        Err(AuditError::MissingColumns { missing, found: names.to_vec() })
    }

    /// Whether rows may correct or strike others.
    pub(in crate::audit) fn has_corrections(&self) -> bool {
        self.id != ABSENT && self.corrects != ABSENT
    }

    pub(super) fn has_joints(&self) -> bool {
        self.bike != ABSENT && self.joint != ABSENT
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_in_any_order_and_some_may_be_missing() {
        let (rows, columns) = AuditColumns::read(b"\xef\xbb\xbf Unit ,\"Value\",note,ENTRY\r\nx").unwrap();
        assert_eq!((rows, columns.unit, columns.value, columns.entry), (30, 0, 1, 3));
        assert_eq!((columns.kind, columns.count), (ABSENT, 4));
        assert!(AuditColumns::read(b"bike,joint,value,unit").unwrap().1.has_joints());
    }

    #[test]
    fn semicolons_and_tabs_part_a_header_as_well() {
        for header in ["entry;value;unit", "entry\tvalue\tunit", "entry,value,unit"] {
            let (_, columns) = AuditColumns::read(header.as_bytes()).unwrap();
            assert_eq!((columns.entry, columns.unit, columns.count), (0, 2, 3), "{header}");
        }
    }

    #[test]
    fn a_header_that_is_none_says_what_is_missing() {
        for (header, message) in [
            ("bike,entry,unit", "value"),
            ("entry/value/unit", "entry (or bike and joint), value, unit"),
            ("bike,value,unit", "entry (or bike and joint)"),
            ("entry,value,unit,value", "twice"),
            ("", "empty"),
            ("\n\n", "empty"),
        ] {
            let error = AuditColumns::read(header.as_bytes()).unwrap_err();
            assert!(error.to_string().contains(message), "{header}: {error}");
            assert!(!error.hint().is_empty());
        }
        assert!(matches!(AuditColumns::read(b"\xff\xfee\0n\0"), Err(AuditError::NotUtf8)));
    }
}
