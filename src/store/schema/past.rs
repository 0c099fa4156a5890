//! The journal of what was written before there was one: the tables as lines, so that nothing is told apart by its age.
//!
//! What a damaged row holds is taken over as it stands: a journal is begun for every database, and says no more than it
//! did.

use jiff::tz::TimeZone;
use rusqlite::{Connection, Params, Row};

use super::super::StoreError;
use super::super::journal::{Journal, key_of};
use super::super::record::{columns, kept};
use crate::book::OwnFigure;
use crate::sheet::KeptRecord;
use crate::workshop::{Bicycle, Content, Deed, Event, Joint, JournalSubject, LocalInstant, Signature};
use crate::wrench::WrenchRecord;

/// Where a line stands: deed, thing, and what it is a part of.
type Stand = (Deed, (JournalSubject, i64), Option<(JournalSubject, i64)>);

pub(super) fn write_down(connection: &Connection) -> Result<(), StoreError> {
    let past = Past { connection, journal: Journal::open(connection, Signature::default())? };
    past.wrenches()?;
    past.figures()?;
    past.bicycles()?;
    past.joints()?;
    past.events_and_visits()?;
    past.readings()
}

struct Past<'a> {
    connection: &'a Connection,
    journal: Journal,
}

impl Past<'_> {
    fn wrenches(&self) -> Result<(), StoreError> {
        let sql = format!(
            "SELECT id, added_on, (SELECT group_concat(length_mm, ';') FROM wrench_adapter WHERE wrench = wrench.id), {}
             FROM wrench ORDER BY id",
            columns::<WrenchRecord>()
        );
        self.each(&sql, [], |row| {
            let adapters: Option<String> = row.get(2)?;
            let adapters = adapters.map(|list| list.replace(".0;", ";").trim_end_matches(".0").to_owned());
            let own = fields::<WrenchRecord>(row, 3)?.into_iter();
            let content = Content::of(own.chain([("adapters_mm", adapters.unwrap_or_default())]));
            self.line(
                &row.get::<_, String>(1)?,
                "",
                (Deed::Added, (JournalSubject::Wrench, row.get(0)?), None),
                content,
            )
        })?;
        let sql = "SELECT id, wrench, done_on, result, note FROM calibration ORDER BY id";
        self.each(sql, [], |row| {
            let content =
                Content::of([("done_on", row.get(2)?), ("result", row.get(3)?), ("note", row.get(4)?)]);
            let whole = Some((JournalSubject::Wrench, row.get(1)?));
            let stand = (Deed::Added, (JournalSubject::Calibration, row.get(0)?), whole);
            self.line(&row.get::<_, String>(2)?, "", stand, content)
        })
    }

    fn figures(&self) -> Result<(), StoreError> {
        let sql = format!("SELECT id, added_on, {} FROM own_evidence ORDER BY id", columns::<OwnFigure>());
        self.each(&sql, [], |row| {
            let content = Content::of(fields::<OwnFigure>(row, 2)?);
            self.line(
                &row.get::<_, String>(1)?,
                "",
                (Deed::Added, (JournalSubject::Figure, row.get(0)?), None),
                content,
            )
        })
    }

    fn bicycles(&self) -> Result<(), StoreError> {
        let sql = format!("SELECT id, added_at, {} FROM bicycle ORDER BY id", columns::<Bicycle>());
        self.each(&sql, [], |row| {
            let content = Content::of(fields::<Bicycle>(row, 2)?);
            self.line(
                &row.get::<_, String>(1)?,
                "",
                (Deed::Added, (JournalSubject::Bicycle, row.get(0)?), None),
                content,
            )
        })
    }

    fn joints(&self) -> Result<(), StoreError> {
        let marking = |number: u8, column: &str| {
            format!("(SELECT {column} FROM marking WHERE joint = joint.id AND number = {number})")
        };
        let sql = format!(
            "SELECT id, bicycle, (SELECT added_at FROM bicycle WHERE id = joint.bicycle), removed_at, {}, {}, {}, {}, {}
             FROM joint ORDER BY id",
            marking(1, "part"),
            marking(1, "figure"),
            marking(2, "part"),
            marking(2, "figure"),
            columns::<Joint>(),
        );
        self.each(&sql, [], |row| {
            let marked =
                |index: usize| Ok::<_, StoreError>(row.get::<_, Option<String>>(index)?.unwrap_or_default());
            let markings = [
                ("marking_part", marked(4)?),
                ("marking", marked(5)?),
                ("second_marking_part", marked(6)?),
                ("second_marking", marked(7)?),
            ];
            let content = Content::of(fields::<Joint>(row, 8)?.into_iter().chain(markings));
            let joint = (JournalSubject::Joint, row.get(0)?);
            let whole = Some((JournalSubject::Bicycle, row.get(1)?));
            self.line(&row.get::<_, String>(2)?, "", (Deed::Added, joint, whole), content)?;
            match row.get::<_, Option<String>>(3)? {
                Some(removed) => self.line(&removed, "", (Deed::Removed, joint, None), Content::default()),
                None => Ok(()),
            }
        })
    }

    fn events_and_visits(&self) -> Result<(), StoreError> {
        let sql = format!("SELECT id, bicycle, recorded_at, {} FROM event ORDER BY id", columns::<Event>());
        self.each(&sql, [], |row| {
            let whole = Some((JournalSubject::Bicycle, row.get(1)?));
            let stand = (Deed::Added, (JournalSubject::Event, row.get(0)?), whole);
            self.line(&row.get::<_, String>(2)?, "", stand, Content::of(fields::<Event>(row, 3)?))
        })?;
        let sql = "SELECT id, bicycle, started_at, ended_at FROM visit ORDER BY id";
        self.each(sql, [], |row| {
            let (visit, started) = ((JournalSubject::Visit, row.get(0)?), row.get::<_, String>(2)?);
            let whole = Some((JournalSubject::Bicycle, row.get(1)?));
            let content = Content::of([("started_at", started.clone())]);
            self.line(&started, "", (Deed::Added, visit, whole), content)?;
            let Some(ended) = row.get::<_, Option<String>>(3)? else { return Ok(()) };
            let content = Content::between([("ended_at", String::new(), ended.clone())]).unwrap_or_default();
            self.line(&ended, "", (Deed::Changed, visit, None), content)
        })
    }

    fn readings(&self) -> Result<(), StoreError> {
        let sql = "SELECT id, joint, recorded_at, who, wrench, corrects, taken_at, bolt,
               CASE WHEN value IS NULL THEN '' ELSE printf('%.*f', coalesce(decimals, 0), value) END, unit, kind,
               who, note, finding, action
             FROM reading ORDER BY id";
        let names = ["taken_at", "bolt", "value", "unit", "kind", "who", "note", "finding", "action"];
        self.each(sql, [], |row| {
            let key = |subject, index: usize| {
                let row: Option<i64> = row.get(index)?;
                row.map_or(Ok(String::new()), |row| key_of(self.connection, (subject, row)))
            };
            let mut said = Vec::with_capacity(names.len() + 2);
            for (index, name) in (6..).zip(names) {
                said.push((name, kept(row.get_ref(index)?).field()));
            }
            said.insert(6, ("wrench", key(JournalSubject::Wrench, 4)?));
            said.push(("corrects", key(JournalSubject::Reading, 5)?));
            let whole = Some((JournalSubject::Joint, row.get(1)?));
            let stand = (Deed::Added, (JournalSubject::Reading, row.get(0)?), whole);
            self.line(&row.get::<_, String>(2)?, &row.get::<_, String>(3)?, stand, Content::of(said))
        })
    }

    fn each(
        &self,
        sql: &str,
        parameters: impl Params,
        mut take: impl FnMut(&Row<'_>) -> Result<(), StoreError>,
    ) -> Result<(), StoreError> {
        let mut statement = self.connection.prepare(sql)?;
        let mut rows = statement.query(parameters)?;
        while let Some(row) = rows.next()? {
            take(row)?;
        }
        Ok(())
    }

    fn line(&self, at: &str, who: &str, stand: Stand, content: Content) -> Result<(), StoreError> {
        let at = LocalInstant::parse(at, &TimeZone::UTC).unwrap_or(LocalInstant::BLANK);
        let signature = Signature { at, who: who.to_owned(), why: String::new() };
        self.journal.append(self.connection, signature, stand, content)
    }
}

/// The fields of a record as they would be exported; what its column cannot read stays as it is kept.
fn fields<R: KeptRecord>(row: &Row<'_>, first: usize) -> Result<Vec<(&'static str, String)>, StoreError> {
    let mut fields = Vec::new();
    for (index, (_, column)) in (first..).zip(R::stored()) {
        let (value, mut record) = (kept(row.get_ref(index)?), R::blank());
        let raw = value.field();
        let field = (column.set)(&mut record, value).map(|()| (column.get)(&record).field());
        fields.push((column.file, field.unwrap_or(raw)));
    }
    Ok(fields)
}
