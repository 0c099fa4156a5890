//! What templates give to every bicycle of a kind, beside what the papers of those entries speak of.

use std::collections::{BTreeMap, BTreeSet};

use evenclamp::book::{Evidence, consensus};

use crate::book::entries;

/// Nothing of an era, nor special but to the kind of bicycle that its name tells of.
#[test]
fn no_template_gives_what_few_ride() {
    let rare: BTreeMap<String, String> = entries()
        .into_iter()
        .filter(|(entry, _)| entry.ridden.is_rare())
        .map(|(entry, _)| (entry.entry, entry.name))
        .collect();
    let mut templates = csv::Reader::from_path("specs/templates.csv").unwrap();
    let mut kinds = BTreeSet::new();
    for row in templates.records().map(|row| row.unwrap()) {
        let of_its_kind =
            rare.get(&row[5]).is_none_or(|name| &row[0] == "folding" && name.contains("olding"));
        assert!(of_its_kind, "{}: {}", &row[0], &row[5]);
        kinds.insert(row[0].to_owned());
    }
    assert_eq!(kinds.len(), 15);
}

/// What is thin and still given to every bicycle of a kind: looked at one by one, hardware that such bicycles mostly
/// have, by papers that tell of no other.
const THIN_IN_TEMPLATES: [&str; 11] = [
    "axle-nut-front-solid",
    "bottom-bracket-cup-cartridge",
    "bottom-bracket-cup-external",
    "brake-cable-anchor-rim",
    "brake-lever-drop-bar",
    "brake-lever-flat-bar",
    "crank-bolt-square-taper",
    "derailleur-cable-anchor-front",
    "disc-caliper-mount",
    "rim-brake-pad-road-caliper",
    "speed-sensor-screw",
];

/// Why a thin entry is no figure for every bicycle of a kind; none where nothing speaks against it. A reprint of which
/// no year is known does not make papers of an era papers of today.
fn no_figure_for_all(evidence: &[Evidence]) -> Option<&'static str> {
    let mut issuers: BTreeMap<&str, (bool, bool)> = BTreeMap::new();
    for row in evidence.iter().filter(|row| row.claim.counted) {
        let (first_hand, of_an_era) = issuers.entry(&row.source.issuer).or_default();
        *first_hand |= row.claim.grade.word() != "secondhand";
        *of_an_era |= row.source.year.parse().is_ok_and(|year: u16| year < 2010);
    }
    let is_today = |row: &&Evidence| row.source.year.parse().is_ok_and(|year: u16| year >= 2010);
    let counted = || evidence.iter().filter(|row| row.claim.counted);
    if issuers.values().all(|(_, of_an_era)| *of_an_era) && counted().filter(is_today).count() == 0 {
        return Some("papers of an era");
    }
    let alone = issuers.len() == 1 && issuers.values().all(|(first_hand, _)| !first_hand);
    alone.then_some("one issuer, at second hand")
}

/// Nobody is told to tighten to the figure of an era, of one product or of hearsay because a template gave the joint.
#[test]
fn what_templates_tell_to_tighten_to_on_one_word_was_looked_at() {
    let thin: BTreeMap<String, Vec<Evidence>> = entries()
        .into_iter()
        .filter(|(_, evidence)| consensus(evidence).state.word() == "thin")
        .map(|(entry, evidence)| (entry.entry, evidence))
        .collect();
    for known in
        ["rim-brake-arm", "seat-collar-dropper-post", "rim-brake-caliper-fork", "low-rider-rack-screw-m5"]
    {
        assert!(no_figure_for_all(&thin[known]).is_some(), "{known}");
    }
    let mut templates = csv::Reader::from_path("specs/templates.csv").unwrap();
    let mut given = BTreeSet::new();
    for row in templates.records().map(|row| row.unwrap()).filter(|row| &row[4] == "torque") {
        let Some(evidence) = thin.get(&row[5]) else { continue };
        assert_eq!(no_figure_for_all(evidence), None, "{}: {}", &row[0], &row[5]);
        given.insert(row[5].to_owned());
    }
    assert_eq!(given.iter().map(String::as_str).collect::<Vec<_>>(), THIN_IN_TEMPLATES);
}

/// The hand checks without which no bicycle goes out, and what decides safety among what is measured.
#[test]
fn every_template_has_its_hand_checks() {
    let mut templates = csv::Reader::from_path("specs/templates.csv").unwrap();
    let rows: Vec<_> = templates.records().map(|row| row.unwrap()).collect();
    for kind in rows.iter().map(|row| &row[0]).collect::<BTreeSet<_>>() {
        let of_kind = || rows.iter().filter(|row| &row[0] == kind);
        let by_hand =
            |joint: &str| of_kind().any(|row| (&row[2], &row[4], &row[8]) == (joint, "function", "yes"));
        for joint in [
            "braking-front",
            "braking-rear",
            "wheel-front",
            "wheel-rear",
            "tyre-front",
            "tyre-rear",
            "steering",
            "headset",
            "frame",
            "fork",
            "seat",
        ] {
            assert!(by_hand(joint), "{kind}: {joint}");
        }
        if kind.starts_with("e-bike") || kind == "cargo" {
            assert!(by_hand("battery-lock") && by_hand("motor"), "{kind}");
        }
        let worn = ["rotor-thickness", "pad-thickness"];
        assert!(of_kind().filter(|row| worn.contains(&&row[5])).all(|row| &row[8] == "yes"), "{kind}");
        let hydraulic = of_kind().any(|row| &row[5] == "pad-thickness");
        let cable = of_kind().any(|row| &row[5] == "brake-lever-flat-bar");
        assert!(!(hydraulic && cable), "{kind}: levers of cable brakes on hydraulic ones");
    }
}
