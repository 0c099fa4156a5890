//! What a command is about: a bicycle, or one of its joints, or one bolt of it: BIKE/JOINT#BOLT.

use super::{Failure, FailureKind};
use crate::book::Page;
use crate::store::Store;
use crate::words::{nearest, shell, short_for};
use crate::workshop::{
    Bicycle, Joint, JointVerdict, LocalInstant, Logged, StoredBicycle, StoredJoint, WorkshopSnapshot,
};

/// A joint of a bicycle, perhaps one bolt of it.
#[derive(Debug, Clone)]
pub(super) struct Target {
    pub bicycle: StoredBicycle,
    pub joint: StoredJoint,
    /// The bolt, from 1.
    pub bolt: Option<u16>,
}

/// A bicycle that must exist, retired or not; one in use may be called by a short name. The failure names those that are
/// meant, or the nearest ones.
pub(super) fn any_bicycle(store: &Store, name: &str) -> Result<StoredBicycle, Failure> {
    if let Some(found) = store.bicycle(name)? {
        return Ok(found);
    }
    let bicycles = store.bicycles(false)?;
    let named = bicycles.iter().map(|stored| (stored.bicycle.name.text(), stored));
    let found = called(name, named, "`evenclamp bike add NAME --kind KIND` takes one in");
    found
        .cloned()
        .map_err(|hint| Failure::new(FailureKind::Bike, format!("no bicycle is called `{name}`"), hint))
}

pub(super) fn bicycle(store: &Store, name: &str) -> Result<StoredBicycle, Failure> {
    let found = any_bicycle(store, name)?;
    refuse_retired(&found.bicycle)?;
    Ok(found)
}

/// Refuses a bicycle that was taken out of use.
pub(super) fn refuse_retired(bicycle: &Bicycle) -> Result<(), Failure> {
    let Some(at) = bicycle.retired else { return Ok(()) };
    let name = &bicycle.name;
    let hint = format!("take it in again with `evenclamp bike edit {name} --in-use`");
    Err(Failure::new(FailureKind::Bike, format!("{name} was retired on {}", at.date()), hint))
}

/// The bicycles that a word names, parted by commas, each once.
pub(super) fn bicycles_named(store: &Store, names: &str) -> Result<Vec<StoredBicycle>, Failure> {
    let mut named: Vec<StoredBicycle> = Vec::new();
    for name in names.split(',') {
        let found = bicycle(store, name.trim())?;
        if named.iter().all(|known| known.id != found.id) {
            named.push(found);
        }
    }
    Ok(named)
}

/// The page of an entry that must exist, perhaps called by a short name; the failure names those that are meant, or the
/// nearest ones.
pub(super) fn page(store: &Store, entry: &str) -> Result<Page, Failure> {
    if let Some(page) = store.page(&entry.trim().to_lowercase())? {
        return Ok(page);
    }
    if entry.trim().is_empty() {
        let hint = "`evenclamp find` lists every entry";
        return Err(Failure::new(FailureKind::Entry, "the name of an entry is missing", hint));
    }
    let keys = store.entry_keys()?;
    let hint = match key_meant(entry, keys.iter().map(String::as_str))? {
        Some(key) => match store.page(&key)? {
            Some(page) => return Ok(page),
            None => "`evenclamp find` lists every entry".to_owned(),
        },
        None => near_entries(store, entry)?,
    };
    Err(Failure::new(FailureKind::Entry, format!("the book has no entry `{entry}`"), hint))
}

/// The one of the keys of the book that a name is, or is short for; none where it is short for none. The failure names
/// those that it may be short for.
pub(super) fn key_meant<'a>(
    name: &str,
    keys: impl Iterator<Item = &'a str>,
) -> Result<Option<String>, Failure> {
    let meant = short_for(&name.trim().replace(' ', "-"), keys.map(|key| (key, ())));
    match meant.as_slice() {
        [] => Ok(None),
        [(key, ())] => Ok(Some((*key).to_owned())),
        several => {
            let hint =
                format!("it may be {}: write more of it", offered(several.iter().map(|(key, ())| *key)));
            Err(Failure::new(FailureKind::Entry, format!("the book has no entry `{name}`"), hint))
        }
    }
}

/// So many entries are offered where several may be meant.
const OFFERED: usize = 8;

fn offered<'a>(keys: impl ExactSizeIterator<Item = &'a str>) -> String {
    let more = keys.len().saturating_sub(OFFERED);
    let named = keys.take(OFFERED).collect::<Vec<_>>().join(", ");
    if more == 0 { named } else { format!("{named} or {more} more") }
}

/// What to do where no entry has a name.
fn near_entries(store: &Store, entry: &str) -> Result<String, Failure> {
    let found = store.find(entry)?;
    if !found.measured.is_empty() {
        return Ok(format!("it is measured: `evenclamp find {}` tells its limits", shell(entry)));
    }
    let mut near: Vec<&str> =
        found.hits.iter().filter(|hit| hit.is_whole).map(|hit| hit.entry.as_str()).take(5).collect();
    if near.is_empty() {
        near.extend(found.nearest.iter().map(String::as_str));
    }
    let hint = if near.is_empty() {
        format!("`evenclamp find {}` looks for it by other words", shell(entry))
    } else {
        format!("nearest: {}", near.join(", "))
    };
    Ok(hint)
}

/// A joint of a bicycle that must exist, perhaps called by a short name; the failure names those that are meant, or the
/// nearest ones.
pub(super) fn joint(store: &Store, bicycle: &StoredBicycle, name: &str) -> Result<StoredJoint, Failure> {
    let joints = store.joints(Some(bicycle.id))?;
    let named = joints.iter().map(|stored| (stored.joint.name.text(), stored));
    let bike = &bicycle.bicycle.name;
    let found = called(name, named, &format!("`evenclamp bike show {bike}` lists its joints"));
    found
        .cloned()
        .map_err(|hint| Failure::new(FailureKind::Joint, format!("{bike} has no joint `{name}`"), hint))
}

/// The joint of a logged reading, which must be on a bicycle in use.
pub(super) fn bicycle_of_joint(store: &Store, joint: i64, logged: &Logged) -> Result<Target, Failure> {
    let bicycle = bicycle(store, &logged.bicycle)?;
    let found = store.joints(Some(bicycle.id))?.into_iter().find(|stored| stored.id == joint);
    let joint = found.ok_or_else(|| {
        let message = format!("{}/{} was taken off", logged.bicycle, logged.joint);
        Failure::new(FailureKind::Joint, message, "its readings count for nothing any more")
    })?;
    Ok(Target { bicycle, joint, bolt: None })
}

/// What a name is that of, or is short for; else those that it may be short for, the nearest ones, or what to do
/// instead.
fn called<'a, T>(
    name: &str,
    named: impl Iterator<Item = (&'a str, T)> + Clone,
    instead: &str,
) -> Result<T, String> {
    let mut meant = short_for(name, named.clone());
    if meant.len() > 1 {
        let names: Vec<&str> = meant.into_iter().map(|(name, _)| name).collect();
        return Err(format!("it may be {}: write more of it", names.join(", ")));
    }
    meant.pop().map(|(_, thing)| thing).ok_or_else(|| {
        let near = nearest(name, named.map(|(name, _)| name), 5);
        if near.is_empty() { instead.to_owned() } else { format!("nearest: {}", near.join(", ")) }
    })
}

/// The joints that words name, each once: a bicycle and behind it its joints, or each as BIKE/JOINT. Names parted by
/// commas stand for each of them.
pub(super) fn joints_named(
    store: &Store,
    words: &[String],
) -> Result<Vec<(StoredBicycle, StoredJoint)>, Failure> {
    let paths: Vec<(&str, &str)> = match words {
        [bikes, joints @ ..] if !bikes.contains('/') && !joints.is_empty() => {
            joints.iter().map(|joint| (bikes.as_str(), joint.as_str())).collect()
        }
        paths => paths
            .iter()
            .map(|path| {
                path.split_once('/').ok_or_else(|| no_path(path, "BIKE/JOINT, such as loan-7/stem-steerer"))
            })
            .collect::<Result<_, _>>()?,
    };
    let mut named: Vec<(StoredBicycle, StoredJoint)> = Vec::new();
    for (bikes, joints) in paths {
        for bicycle in bicycles_named(store, bikes)? {
            for name in joints.split(',') {
                let found = joint(store, &bicycle, name)?;
                if named.iter().all(|(_, known)| known.id != found.id) {
                    named.push((bicycle.clone(), found));
                }
            }
        }
    }
    Ok(named)
}

fn no_path(text: &str, instead: &str) -> Failure {
    Failure::new(FailureKind::Joint, format!("`{text}` names no joint"), format!("write {instead}"))
}

/// Reads `BIKE/JOINT` or `BIKE/JOINT#BOLT`.
pub(super) fn target(store: &Store, text: &str) -> Result<Target, Failure> {
    let form = "BIKE/JOINT or BIKE/JOINT#BOLT, such as loan-7/stem-steerer#2";
    let (bike, rest) = text.split_once('/').ok_or_else(|| no_path(text, form))?;
    let (name, bolt) = rest.split_once('#').map_or((rest, None), |(name, bolt)| (name, Some(bolt)));
    let bicycle = bicycle(store, bike)?;
    let joint = joint(store, &bicycle, name)?;
    let bolt = bolt.map(|bolt| bolt_number(bolt, &joint)).transpose()?;
    Ok(Target { bicycle, joint, bolt })
}

pub(super) fn bolt_number(text: &str, joint: &StoredJoint) -> Result<u16, Failure> {
    let bolts = joint.joint.bolts;
    text.trim().parse().ok().filter(|bolt| (1..=bolts).contains(bolt)).ok_or_else(|| {
        let message = format!("{} has no bolt `{text}`", joint.joint.name);
        Failure::new(FailureKind::Joint, message, format!("its bolts are 1 to {bolts}"))
    })
}

impl Target {
    /// What it is called in full: BIKE/JOINT, or BIKE/JOINT#BOLT.
    pub(super) fn path(&self) -> String {
        let bolt = self.bolt.map_or_else(String::new, |bolt| format!("#{bolt}"));
        format!("{}/{}{bolt}", self.bicycle.bicycle.name, self.joint.joint.name)
    }

    /// The joint as it is judged now, with what that rests on, unless it was taken off meanwhile.
    pub(super) fn judge(
        &self,
        store: &Store,
        now: LocalInstant,
    ) -> Result<(WorkshopSnapshot, Joint, JointVerdict), Failure> {
        let (workshop, judged) = store.judge(&self.bicycle, now)?;
        let name = &self.joint.joint.name;
        let found = judged.joints.into_iter().find(|(joint, _)| joint.name == *name);
        let (joint, verdict) = found.ok_or_else(|| {
            let message = format!("{name} was taken off meanwhile");
            Failure::new(FailureKind::Joint, message, "its readings are kept")
        })?;
        Ok((workshop, joint, verdict))
    }
}
