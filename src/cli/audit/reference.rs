//! What the rows of a log are judged against, taken from the store.

use std::collections::{HashMap, HashSet};

use xxhash_rust::xxh3::Xxh3;

use super::super::subject::Subject;
use super::super::{Context, Failure};
use crate::audit::{BoltLimit, LeftOut, Reference, Requirement};
use crate::book::{BareEntry, Check};
use crate::joint::Catalogue;
use crate::quantity::{Torque, TorqueUnit};
use crate::store::Store;
use crate::workshop::{Joint, StoredJoint};

/// Entries of the book, joints of bicycles and registered wrenches, with a hash that tells whether pieces
/// were judged by the same ones.
pub(super) fn reference(context: &Context) -> Result<(Reference, String), Failure> {
    let store = context.store_with_book()?.into_snapshot()?;
    let (mut reference, mut basis) = (Reference::default(), Xxh3::new());
    basis.update(store.loaded_book()?.map(|(book, _)| book).unwrap_or_default().as_bytes());
    let catalogue = store.catalogue()?;
    let mut tearing = Tearing { catalogue: &catalogue, above: HashMap::new() };
    for BareEntry { entry, thread, hand, claims } in store.bare_entries()? {
        let judged = judged_as(&entry, &Subject::of_band(&entry, hand, &claims));
        reference.add_entry(Requirement { tears_above: tearing.above(&thread), ..judged });
    }
    for item in store.measured_items()?.into_keys() {
        reference.add_other_entry(&item, LeftOut::Measure);
    }
    let (joints, others): (Vec<_>, Vec<_>) =
        all_joints(&store)?.into_iter().partition(|(_, joint)| joint.check == Check::Torque);
    for (bike, joint) in others {
        let is_measured = joint.check == Check::Measure;
        let why = if is_measured { LeftOut::Measure } else { LeftOut::HandCheck };
        reference.add_other_joint((&bike, joint.name.text()), why);
    }
    let pages = store.pages_of(joints.iter().map(|(_, joint)| joint))?;
    for (bike, joint) in joints {
        let page = pages.get(&joint.entry).cloned();
        let subject = Subject::joint_of(&joint, page);
        let bolt = Some(&catalogue).filter(|_| !joint.grade.is_empty());
        let bolt = bolt.and_then(|catalogue| bolt_limit(&subject, catalogue));
        let tears_above = tearing.above(&subject.bolt.thread);
        let subject = Requirement { bolt, tears_above, ..judged_as(&joint.entry, &subject) };
        basis.update(format!("{bike}/{}: {subject:?}", joint.name).as_bytes());
        reference.add_joint((&bike, joint.name.text()), subject, joint.damaged().next().is_none());
    }
    for registered in store.wrenches()? {
        basis.update(format!("{:?}", registered.wrench).as_bytes());
        reference.add_wrench(registered.wrench);
    }
    Ok((reference, format!("{:016x}", basis.digest())))
}

fn judged_as(entry: &str, subject: &Subject) -> Requirement {
    Requirement {
        entry: entry.to_owned(),
        limits: subject.limits(),
        left_hand: subject.is_left_hand(),
        basis: subject.basis.clone(),
        bolt: None,
        tears_above: None,
    }
}

/// The torques that tear any bolt of a thread, each worked out once: many joints share few threads.
struct Tearing<'a> {
    catalogue: &'a Catalogue,
    above: HashMap<String, Option<Torque>>,
}

impl Tearing<'_> {
    /// None where nothing is known of the thread.
    fn above(&mut self, thread: &str) -> Option<Torque> {
        if let Some(known) = self.above.get(thread) {
            return *known;
        }
        let found = self.catalogue.tears_above(thread).ok().flatten();
        self.above.insert(thread.to_owned(), found);
        found
    }
}

/// What the bolt of a joint bears; nothing at all where what is specified is too much by itself. What was noted of it
/// was checked then; what the book has dropped since is known no longer.
fn bolt_limit(subject: &Subject, catalogue: &Catalogue) -> Option<BoltLimit> {
    let known = catalogue.known_bolt(&subject.bolt).ok()??;
    let bears = known.bears()?;
    let least = subject.limits().and_then(|limits| limits.least());
    let above = if least.is_some_and(|least| least > bears) { Torque::default() } else { bears };
    Some(BoltLimit { above, why: known.bears_text(TorqueUnit::NewtonMetre) })
}

/// The joints with the names of their bicycles, retired ones as well, and those taken off whose name is free: a log may be
/// older than that.
fn all_joints(store: &Store) -> Result<Vec<(String, Joint)>, Failure> {
    let mut joints = store.joints(None)?;
    let mut names = HashMap::new();
    for stored in store.bicycles(true)? {
        if stored.bicycle.retired.is_some() {
            joints.extend(store.joints(Some(stored.id))?);
        }
        names.insert(stored.id, stored.bicycle.name.text().to_owned());
    }
    let mut taken: HashSet<(i64, String)> = joints.iter().map(place).collect();
    joints.extend(store.removed_joints()?.into_iter().filter(|stored| taken.insert(place(stored))));
    let named = joints.into_iter();
    Ok(named.filter_map(|stored| Some((names.get(&stored.bicycle)?.clone(), stored.joint))).collect())
}

/// What no two joints are found by.
fn place(stored: &StoredJoint) -> (i64, String) {
    (stored.bicycle, stored.joint.name.text().to_lowercase())
}
