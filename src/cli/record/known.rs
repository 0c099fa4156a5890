//! What is known when a log is read: the joints that its rows may name, and what those take.

use std::cell::OnceCell;
use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

use jiff::tz::TimeZone;

use super::super::target::refuse_retired;
use super::super::words::too_long;
use super::super::{Failure, clock};
use super::admit::Admission;
use crate::book::MeasuredItem;
use crate::joint::Catalogue;
use crate::quantity::{Torque, TorqueUnit};
use crate::store::{Appending, Store, StoreError};
use crate::words::{hidden_in, nearest, of_cell, shell};
use crate::workshop::{Bicycle, Hardware, LocalInstant, LogColumns, LogLine, Reading, StoredJoint};
use crate::wrench::RegisteredWrench;

/// Where a log comes from.
#[derive(Debug, Clone, Copy)]
pub(in super::super) enum Origin {
    /// It was exported: what was recorded once stays as it is.
    Export,
    /// Anywhere else: every row is held to what `record` takes.
    Elsewhere {
        /// The unit of values without one, where somebody stated it.
        bare: Option<TorqueUnit>,
        /// Whether somebody is sure of values that do not look plausible.
        sure: bool,
    },
}

/// A joint, and what it takes once a row has asked for that.
struct KnownJoint {
    stored: StoredJoint,
    admission: OnceCell<Admission>,
}

/// The joints by bicycle and name, in lower case, and the numbers that the file gave to its readings.
pub(super) struct KnownNames {
    joints: HashMap<(String, String), KnownJoint>,
    bicycles: HashMap<i64, Bicycle>,
    /// What the book knows of their entries.
    hardware: HashMap<String, Hardware>,
    /// The smallest divisions of the wrenches, where known, by name in lower case.
    divisions: HashMap<String, Option<Torque>>,
    catalogue: Rc<Catalogue>,
    items: BTreeMap<String, MeasuredItem>,
    ids: HashMap<i64, i64>,
    zone: TimeZone,
    now: LocalInstant,
    origin: Origin,
}

/// Why a row is not recorded.
pub(super) enum RowError {
    /// What is wrong with it; the rows after it are read all the same.
    Rejected(String),
    Failed(StoreError),
}

impl From<String> for RowError {
    fn from(reason: String) -> RowError {
        RowError::Rejected(reason)
    }
}

/// What is refused where it is typed is refused here, in the same words.
impl From<Failure> for RowError {
    fn from(failure: Failure) -> RowError {
        let hint = failure.hint.unwrap_or_default();
        let instead = ["nothing was recorded; ", "nothing was taken: "];
        let instead = instead.iter().find_map(|told| hint.strip_prefix(told)).unwrap_or(&hint);
        RowError::Rejected([&*failure.message, instead].join("; "))
    }
}

impl From<StoreError> for RowError {
    fn from(error: StoreError) -> RowError {
        match error {
            StoreError::NotCorrectable(_) => RowError::Rejected(error.to_string()),
            _ => RowError::Failed(error),
        }
    }
}

impl KnownNames {
    pub(super) fn load(store: &Store, now: LocalInstant, origin: Origin) -> Result<KnownNames, Failure> {
        let (mut joints, mut bicycles) = (HashMap::new(), HashMap::new());
        for stored in store.bicycles(true)? {
            let bike = stored.bicycle.name.text().to_lowercase();
            for stored in store.joints(Some(stored.id))? {
                let name = stored.joint.name.text().to_lowercase();
                joints.insert((bike.clone(), name), KnownJoint { stored, admission: OnceCell::new() });
            }
            bicycles.insert(stored.id, stored.bicycle);
        }
        let pages = store.pages_of(joints.values().map(|known: &KnownJoint| &known.stored.joint))?;
        let named =
            |wrench: RegisteredWrench| (wrench.wrench.name().to_lowercase(), wrench.wrench.parts().step);
        Ok(KnownNames {
            hardware: pages.iter().map(|(entry, page)| (entry.clone(), Hardware::of(page))).collect(),
            divisions: store.wrenches()?.into_iter().map(named).collect(),
            catalogue: Rc::new(store.catalogue()?),
            items: store.measured_items()?,
            joints,
            bicycles,
            ids: HashMap::new(),
            zone: clock::zone(),
            now,
            origin,
        })
    }

    /// Takes a row in; whether it says who read it.
    pub(super) fn take(
        &mut self,
        record: &csv::StringRecord,
        fields: usize,
        columns: &LogColumns,
        appending: &mut Appending<'_>,
    ) -> Result<bool, RowError> {
        if record.len() != fields {
            return Err(format!("the row has {} fields where the header has {fields}", record.len()).into());
        }
        let bare = match self.origin {
            Origin::Export => None,
            Origin::Elsewhere { bare, .. } => bare,
        };
        if let (Origin::Elsewhere { .. }, Some(hidden)) = (self.origin, record.iter().find_map(hidden_in)) {
            return Err(format!("a field holds a character that is not seen ({hidden}); take it out").into());
        }
        if let Origin::Elsewhere { .. } = self.origin {
            record.iter().try_for_each(|field| {
                too_long(field).map_or(Ok(()), |told| Err(format!("a field {told}")))
            })?;
        }
        let cells: Vec<_> = record.iter().map(of_cell).collect();
        let line =
            LogLine::read(columns, |index| cells.get(index).map(|cell| &**cell), &self.zone, self.now, bare)?;
        let file_id = line.reading.id;
        let (place, reading) = self.place(line)?;
        let joint = place.stored.id;
        let wrench = reading.wrench.as_deref().map(|name| appending.wrench(name)).transpose()?;
        if let (Some(None), Some(name)) = (&wrench, &reading.wrench) {
            return Err(
                format!("no wrench is called `{name}`; register it with `evenclamp wrench add`").into()
            );
        }
        if let Origin::Elsewhere { sure, .. } = self.origin {
            self.admit(place, &reading, sure)?;
        }
        self.refuse_twice(file_id, appending, (joint, &reading))?;
        let id = appending.add(joint, &reading, self.now)?;
        if file_id != 0 {
            self.ids.insert(file_id, id);
        }
        Ok(!reading.who.is_empty())
    }

    /// The joint and its reading, with the number here of what it corrects; or what is wrong.
    fn place(&self, line: LogLine) -> Result<(&KnownJoint, Reading), RowError> {
        let key = (line.bike.to_lowercase(), line.joint.to_lowercase());
        let joint = self.joints.get(&key).ok_or_else(|| self.no_joint(&line))?;
        let bolts = joint.stored.joint.bolts;
        if !line.bolt_named && bolts > 1 {
            return Err(format!("bolt is empty; {} has {bolts}, write which one it is", line.joint).into());
        }
        if !(1..=bolts).contains(&line.reading.bolt) {
            let bolt = line.reading.bolt;
            return Err(format!("{} has no bolt {bolt}; its bolts are 1 to {bolts}", line.joint).into());
        }
        if clock::in_future(line.reading.at, self.now) {
            return Err(format!("{} lies in the future (now is {})", line.reading.at, self.now).into());
        }
        let corrects = line.reading.corrects.map(|id| {
            let new = self.ids.get(&id).copied();
            new.ok_or_else(|| format!("it corrects reading {id}, which stands nowhere above it in this file"))
        });
        Ok((joint, Reading { corrects: corrects.transpose()?, ..line.reading }))
    }

    /// What is wrong with a row of a joint that is not known: its bicycle, or which joint it may mean.
    fn no_joint(&self, line: &LogLine) -> String {
        let LogLine { bike, joint, .. } = line;
        let mut bicycles = self.bicycles.values().map(|bicycle| bicycle.name.text());
        let Some(known) = bicycles.find(|name| is_called(name, bike)) else {
            return format!("no joint `{bike}/{joint}`; `evenclamp bike list` names the bicycles");
        };
        let of_bicycle = |known: &&KnownJoint| {
            let bicycle = self.bicycles.get(&known.stored.bicycle);
            bicycle.is_some_and(|bicycle| is_called(bicycle.name.text(), bike))
        };
        let of_bicycle = self.joints.values().filter(of_bicycle);
        let mut names: Vec<&str> = of_bicycle.map(|known| known.stored.joint.name.text()).collect();
        names.sort_unstable();
        let near = nearest(joint, names, 3);
        let hint = match near.as_slice() {
            [] => format!("`evenclamp bike show {}` lists its joints", shell(known)),
            near => format!("nearest: {}", near.join(", ")),
        };
        format!("{known} has no joint `{joint}`; {hint}")
    }

    /// Refuses a row that is there already. A correction may say the same of the bolt as what it corrects, and has a place
    /// of its own behind it; rows of an export are told apart by their numbers.
    fn refuse_twice(
        &self,
        file_id: i64,
        appending: &Appending<'_>,
        (joint, reading): (i64, &Reading),
    ) -> Result<(), RowError> {
        if let Origin::Export = self.origin
            && file_id != 0
        {
            let stands = self.ids.contains_key(&file_id);
            return if stands { Err(format!("reading {file_id} stands twice").into()) } else { Ok(()) };
        }
        let twin = if reading.corrects.is_none() { appending.twin(joint, reading)? } else { None };
        twin.map_or(Ok(()), |twin| Err(format!("duplicate of reading {twin}").into()))
    }

    /// Refuses what is refused where it is typed.
    fn admit(&self, joint: &KnownJoint, reading: &Reading, sure: bool) -> Result<(), RowError> {
        let (stored, wrench) = (&joint.stored, reading.wrench.as_ref());
        self.bicycles.get(&stored.bicycle).map_or(Ok(()), refuse_retired)?;
        let admission = if let Some(known) = joint.admission.get() {
            known
        } else {
            let entry = &stored.joint.entry;
            let (hardware, item) = (self.hardware.get(entry), self.items.get(entry).cloned());
            let catalogue = || Ok::<_, Failure>(Rc::clone(&self.catalogue));
            let found = Admission::new(&stored.joint, hardware, item, catalogue)?;
            joint.admission.get_or_init(|| found)
        };
        let wrench = wrench.and_then(|name| self.divisions.get(&name.trim().to_lowercase()));
        admission.refuse(reading, wrench.copied().flatten())?;
        admission.doubtful(reading, sure, None)?;
        Ok(())
    }
}

/// Whether a name is that of a row, whatever its case.
fn is_called(name: &str, text: &str) -> bool {
    name.to_lowercase() == text.to_lowercase()
}
