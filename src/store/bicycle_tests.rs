//! Bicycles, joints and visits: in which order, and which are left out.

use super::*;
use crate::book::{EventKind, Round};
use crate::sheet::KeptRecord as _;
use crate::store::fixture::{at, store_with_joint};

fn bicycle(name: &str) -> Bicycle {
    Bicycle { name: Name::new(name).unwrap(), kind: "road".into(), ..Bicycle::blank() }
}

fn joint(name: &str, order: u16) -> Joint {
    Joint { order, ..Joint::named(Name::new(name).unwrap()) }
}

fn names(joints: &[StoredJoint]) -> Vec<&str> {
    joints.iter().map(|stored| stored.joint.name.text()).collect()
}

#[test]
fn bicycles_come_by_name_and_joints_in_the_order_of_the_way_round() {
    let mut store = Store::in_memory().unwrap();
    let joints = [joint("last", 3), joint("first", 1), joint("middle", 2)];
    let late = store.add_bicycle(&bicycle("b"), &joints).unwrap();
    let early = store.add_bicycle(&bicycle("a"), &[joint("other", 1)]).unwrap();
    let last = store.add_bicycle(&bicycle("c"), &[]).unwrap();
    let bicycles = store.bicycles(false).unwrap();
    assert_eq!(bicycles.iter().map(|stored| stored.id).collect::<Vec<_>>(), [early, late, last]);
    assert_eq!(names(&store.joints(Some(late)).unwrap()), ["first", "middle", "last"]);
    assert_eq!(names(&store.joints(None).unwrap()), ["first", "middle", "last", "other"]);
}

#[test]
fn what_was_given_up_is_left_out_unless_asked_for() {
    let mut store = Store::in_memory().unwrap();
    let kept = store.add_bicycle(&bicycle("kept"), &[joint("a", 1), joint("off", 2)]).unwrap();
    let given_up = Bicycle { retired: Some(at("2026-06-01")), ..bicycle("given-up") };
    let given_up = store.add_bicycle(&given_up, &[joint("b", 1)]).unwrap();
    assert_eq!(store.bicycles(false).unwrap().len(), 1);
    assert_eq!(store.bicycles(true).unwrap().len(), 2);
    let off = store.joints(Some(kept)).unwrap()[1].id;
    store.remove_joint(off, true).unwrap();
    assert_eq!(names(&store.joints(None).unwrap()), ["a"]);
    assert_eq!(names(&store.joints(Some(given_up)).unwrap()), ["b"]);
}

#[test]
fn a_visit_is_open_until_it_is_ended_and_an_ended_one_stays_as_it_was() {
    let mut store = Store::in_memory().unwrap();
    let id = store.add_bicycle(&bicycle("a"), &[]).unwrap();
    for (start, end) in [("2026-06-01", "2026-06-02"), ("2026-06-03", "2026-06-04")] {
        assert_eq!(store.open_visit(id).unwrap(), None);
        store.start_visit(id, at(start), Round::After).unwrap();
        assert_eq!(store.open_visit(id).unwrap(), Some((at(start), Round::After)));
        store.end_visit(id, at(end)).unwrap();
    }
    assert_eq!(store.open_visit(id).unwrap(), None);
    let sql = "SELECT group_concat(substr(ended_at, 1, 10)) FROM visit ORDER BY started_at";
    let ended: String = store.connection.query_row(sql, [], |row| row.get(0)).unwrap();
    assert_eq!(ended, "2026-06-02,2026-06-04");
}

/// The journal grows with every reading; what was taken off is found without going through it.
#[test]
fn what_was_taken_off_is_found_without_reading_the_journal() {
    let mut store = store_with_joint(2);
    let joint = store.joints(None).unwrap().remove(0).id;
    store.remove_joint(joint, true).unwrap();
    let steps = |store: &Store| {
        let mut query = store.connection.prepare(crate::store::before::TAKEN_OFF).unwrap();
        let found = query.query_map([1], |row| row.get::<_, String>(1)).unwrap().map(Result::unwrap);
        assert_eq!(found.collect::<Vec<_>>(), ["stem"]);
        query.get_status(rusqlite::StatementStatus::VmStep)
    };
    let before = steps(&store);
    for _ in 0..200 {
        let ride = Event { kind: EventKind::Ride, km: Some(1.0), ..Event::blank() };
        store.add_event(&[1], &ride, at("2026-06-01")).unwrap();
    }
    assert_eq!(steps(&store), before);
}
