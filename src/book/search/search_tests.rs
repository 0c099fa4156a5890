//! Search in a small invented book.

use super::*;
use crate::book::Commonness;

fn named(entry: &str, name: &str, aliases: &[&str], size: &str, hardware: &str) -> CalledEntry {
    CalledEntry {
        entry: entry.to_owned(),
        name: name.to_owned(),
        aliases: aliases.iter().map(|alias| (*alias).to_owned()).collect(),
        size: size.to_owned(),
        hardware: hardware.to_owned(),
        ridden: if name.contains("early") { Commonness::Era } else { Commonness::Today },
    }
}

fn search() -> NameSearch {
    NameSearch::new(&[
        named(
            "cap-screw",
            "Reservoir cap screw, early brake",
            &["brake fluid cap screw"],
            "",
            "Screw of a lid.",
        ),
        named("chain-guide", "Chain guide bolt", &["iscg"], "M6", ""),
        named("clamp-old", "Saddle clamp, early 2000s", &["saddle bolt"], "", ""),
        named("clamp-two", "Saddle clamp, two bolts", &["saddle bolt"], "M6", "Clamp of a post."),
        named("clamp-any", "Any clamp on a carbon bar", &[], "", ""),
        named("hanger", "Derailleur hanger", &[], "", ""),
        named("mudguard-front", "Front mudguard bolt", &["fender bolt"], "M5", ""),
        named("mudguard-rear", "Rear mudguard bolt", &["fender bolt"], "M5", ""),
        named("pad-pin", "Disc pad pin", &["brake pad bolt"], "", ""),
        named("pad-rim", "Rim brake shoe, type not stated", &["brake pad"], "", ""),
        named("pedal", "Pedal in the crank arm", &[], "9/16-20", ""),
        named(
            "rotor",
            "Disc rotor bolt, six-bolt",
            &["disc bolts"],
            "M5 T25",
            "Bolt of a rotor of any lever.",
        ),
    ])
}

/// Every key that is found for a question in a book of those entries, in order.
fn hits_of(entries: &[CalledEntry], question: &str) -> Vec<String> {
    NameSearch::new(entries).find(question).hits.into_iter().map(|hit| hit.entry).collect()
}

fn whole(question: &str) -> Vec<String> {
    let found = search().find(question);
    found.hits.into_iter().filter(|hit| hit.is_whole).map(|hit| hit.entry).collect()
}

#[test]
fn every_word_that_names_something_must_fit() {
    assert_eq!(whole("How tight should the disc's rotor bolts be?"), ["rotor"]);
    assert_eq!(whole("6 bolt rotors"), ["rotor"]);
    assert_eq!(whole("rotor lever"), Vec::<String>::new());
    assert_eq!(whole("rotor M5"), ["rotor"]);
    assert_eq!(whole("torque"), Vec::<String>::new());
}

#[test]
fn the_beginning_of_another_parts_name_is_not_that_part() {
    assert_eq!(whole("brake fluid"), Vec::<String>::new());
    assert_eq!(whole("chain"), Vec::<String>::new());
    assert_eq!(search().find("chain").nearest, ["Chain guide bolt"]);
    assert_eq!(whole("chain guide"), ["chain-guide"]);
    assert_eq!(whole("hanger"), ["hanger"]);
    assert_eq!(whole("clamp"), Vec::<String>::new());
}

#[test]
fn what_most_ride_comes_before_what_is_old() {
    assert_eq!(whole("saddle bolts"), ["clamp-two", "clamp-old"]);
    assert_eq!(whole("early saddle clamp"), ["clamp-old"]);
}

#[test]
fn what_most_ride_comes_first_and_what_few_ride_last_whatever_their_keys() {
    let called = |entry: &str, ridden| CalledEntry { ridden, ..named(entry, "Saddle clamp, x", &[], "", "") };
    let search = NameSearch::new(&[
        called("a", Commonness::Era),
        called("b", Commonness::Special),
        called("c", Commonness::Today),
        called("d", Commonness::Most),
    ]);
    let hits = search.find("saddle clamp").hits;
    assert_eq!(hits.iter().map(|hit| &*hit.entry).collect::<Vec<_>>(), ["d", "c", "b", "a"]);
}

/// `fitting` and `race` are parts to some, and a habit of speech to others.
#[test]
fn a_word_that_is_often_said_for_nothing_counts_only_where_a_part_is_called_so() {
    let search = NameSearch::new(&[
        named("hose", "Brake hose fitting", &[], "", ""),
        named("nipple", "Brake hose nipple", &["brake hose"], "", ""),
        named("pedal", "Pedal", &[], "", ""),
    ]);
    let first = |asked: &str| search.find(asked).hits.first().map(|hit| hit.entry.clone());
    assert_eq!(first("brake hose fitting").as_deref(), Some("hose"));
    assert_eq!(first("brake hose").as_deref(), Some("nipple"));
    assert_eq!(first("fitting new pedals").as_deref(), Some("pedal"));
    assert_eq!(search.find("fitting a pedla").corrected, [("pedla".to_owned(), "pedal".to_owned())]);
    assert_eq!(first("fitting"), None);
}

/// What takes grease is no word of the part that it is asked for, and a grease nipple is no nipple.
#[test]
fn grease_and_threadlock_say_nothing_but_a_grease_nipple_is_a_part() {
    assert_eq!(whole("do I grease the rotor bolts?"), ["rotor"]);
    assert_eq!(whole("thread locker on rotor bolts pls"), ["rotor"]);
    let search = NameSearch::new(&[named("nipple", "Nipple", &[], "", "")]);
    assert!(search.find("grease nipple").hits.is_empty() && !search.find("greased nipple").hits.is_empty());
}

/// A name that was said in full with more is no loose fit: what few ride comes behind it, however exact its own name is.
#[test]
fn what_few_ride_comes_behind_a_name_said_in_full() {
    let entries = [
        named("clamp", "Saddle clamp with a black spring", &[], "", ""),
        named("assembly", "Saddle clamp spring, early", &[], "", ""),
    ];
    assert_eq!(hits_of(&entries, "saddle clamp spring"), ["clamp", "assembly"]);
}

/// Of two that fit alike comes first the one that says where it is.
#[test]
fn a_place_that_was_said_brings_its_part_forward() {
    let entries = [
        named("any-mudguard", "Mudguard bolt", &[], "", ""),
        named("mudguard-front", "Front mudguard bolt", &[], "", ""),
    ];
    assert_eq!(hits_of(&entries, "front mudguard"), ["mudguard-front", "any-mudguard"]);
    assert_eq!(hits_of(&entries, "mudguard"), ["any-mudguard", "mudguard-front"]);
}

/// Unless nothing else is ridden, or the ring is what was asked for.
#[test]
fn a_ring_is_left_out_where_a_bolt_is_asked_for() {
    let ring = || named("ring", "Rotor lockring", &["rotor"], "", "Ring of a hub.");
    let bolt = || named("screw", "Rotor screw", &[], "", "");
    let early = || CalledEntry { ridden: Commonness::Era, ..bolt() };
    let whole = |entries: &[CalledEntry], asked| -> Vec<String> {
        let hits = NameSearch::new(entries).find(asked).hits.into_iter();
        hits.filter(|hit| hit.is_whole).map(|hit| hit.entry).collect()
    };
    assert_eq!(whole(&[ring(), bolt()], "rotor bolts"), ["screw"]);
    assert_eq!(whole(&[ring(), bolt()], "rotor"), ["ring", "screw"]);
    assert_eq!(whole(&[ring(), early()], "rotor bolts"), ["ring", "screw"]);
    assert_eq!(whole(&[ring(), bolt()], "rotor lockring bolt"), ["ring"]);
}

/// Of two that fit alike comes first the one of whose name nothing was left out, be it `bolt`.
#[test]
fn a_name_that_was_said_in_full_comes_before_one_that_was_cut() {
    assert_eq!(whole("brake pads"), ["pad-rim", "pad-pin"]);
    assert_eq!(whole("What torque for brake pads?"), ["pad-rim", "pad-pin"]);
    assert_eq!(whole("brake pad bolts"), ["pad-pin", "pad-rim"]);
}

#[test]
fn the_other_end_of_the_bicycle_is_another_part() {
    assert_eq!(whole("fenders"), ["mudguard-front", "mudguard-rear"]);
    assert_eq!(whole("rear fender"), ["mudguard-rear"]);
    assert_eq!(whole("back mud guard"), ["mudguard-rear"]);
    assert_eq!(whole("front pedal"), ["pedal"]);
}

#[test]
fn a_thread_finds_its_bolts() {
    assert_eq!(whole("M6"), ["chain-guide", "clamp-two"]);
    assert_eq!(whole("9/16-20"), ["pedal"]);
    assert_eq!(whole("20"), Vec::<String>::new());
    // The sixteenth of a thread is no number of bolts.
    assert_eq!(whole("16 bolt pedal"), Vec::<String>::new());
}

/// One edit from five letters on, two from eight on, and neither from nor to a common word.
#[test]
fn a_slip_is_corrected_by_as_many_letters_as_its_length_allows() {
    for (typed, read) in [("rotro", "rotor"), ("hangre", "hanger"), ("derialleru hanger", "derailleur")] {
        let corrected = search().find(typed).corrected;
        assert_eq!(corrected.iter().map(|(_, read)| read).collect::<Vec<_>>(), [read], "{typed}");
    }
    for typed in ["rotr", "xotox", "paddle", "chair guide", "earyl saddle clamp", "rotro hangre"] {
        assert_eq!(whole(typed), Vec::<String>::new(), "{typed}");
    }
    let found = search().find("rotor hangre");
    assert!(found.hits.is_empty() && !found.nearest.is_empty(), "{found:?}");
}

/// The nearest word is meant; of two that are as near neither is, and both are offered.
#[test]
fn a_slip_is_corrected_to_the_nearest_word_alone() {
    let entries = [
        named("motor", "Motor screw", &[], "", ""),
        named("rotor", "Rotor screw", &[], "", ""),
        named("tensioner", "Tensioner screw", &[], "", ""),
        named("pensioner", "Pensioner screw", &[], "", ""),
    ];
    assert_eq!(hits_of(&entries, "tensionar"), ["tensioner"]);
    let found = NameSearch::new(&entries).find("dotor");
    assert!(found.hits.is_empty() && found.corrected.is_empty(), "{found:?}");
    for near in ["motor", "rotor"] {
        assert!(found.nearest.iter().any(|word| word == near), "{found:?}");
    }
}

#[test]
fn a_beginning_of_four_letters_stands_for_its_word_and_says_so() {
    let found = search().find("moun");
    assert!(found.hits.is_empty());
    assert_eq!(search().find("mudg").corrected, [("mudg".to_owned(), "mudguard".to_owned())]);
    assert_eq!(whole("mud"), Vec::<String>::new());
}

#[test]
fn what_fits_in_part_comes_behind_and_says_what_it_lacks() {
    let hits = search().find("front mudguard M5").hits;
    let part: Vec<_> = hits.iter().filter(|hit| !hit.is_whole).collect();
    assert_eq!(hits[0].entry, "mudguard-front");
    assert_eq!((part[0].entry.as_str(), part[0].missing.len()), ("mudguard-rear", 0));
    assert_eq!((part[1].entry.as_str(), &part[1].missing[..]), ("rotor", &["mudguard".to_owned()][..]));
}

/// Of what lacks as much comes first what is called so, then what only mentions it.
#[test]
fn a_name_comes_before_a_mention() {
    let entries = [
        named("a", "Screw", &[], "", "Beside a rotor and a lever."),
        named("b", "Rotor screw", &[], "", "Beside a lever."),
        named("c", "Rotor lever", &[], "", ""),
    ];
    assert_eq!(hits_of(&entries, "rotor lever"), ["c", "b", "a"]);
}

/// Both lists are searched by halving.
#[test]
fn the_words_of_english_are_in_order() {
    assert!(IS_ENGLISH.is_sorted() && english::PLAIN.is_sorted());
}
