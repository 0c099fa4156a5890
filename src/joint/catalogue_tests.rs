use super::*;
use crate::joint::{Condition, MaterialFamily, SourceGrade, in_megapascals, in_millimetres, in_ratio};
use crate::sheet::{Diagnostic, read_sheet};
use approx::assert_relative_eq;

/// The tables that are compiled in, in the order of [`CATALOGUE_SHEETS`].
const COMPILED_IN: [&str; 5] = [
    include_str!("../../specs/threads.csv"),
    include_str!("../../specs/grades.csv"),
    include_str!("../../specs/friction.csv"),
    include_str!("../../specs/heads.csv"),
    include_str!("../../specs/materials.csv"),
];

fn read(tables: [&str; 5]) -> Result<Catalogue, Vec<Diagnostic>> {
    let mut diagnostics = Diagnostics::default();
    let rows: Vec<Vec<Row>> = std::iter::zip(CATALOGUE_SHEETS, tables)
        .map(|(sheet, table)| read_sheet(sheet, table.as_bytes(), &mut diagnostics))
        .collect();
    let place = |sheet: &Sheet| CATALOGUE_SHEETS.iter().position(|known| known.name == sheet.name);
    let catalogue = Catalogue::from_rows(|sheet| Some(&rows[place(sheet)?]), &mut diagnostics);
    catalogue.filter(|_| !diagnostics.has_errors()).ok_or_else(|| diagnostics.into_sorted())
}

impl Catalogue {
    /// The catalogue that is compiled in.
    pub(crate) fn compiled_in() -> Catalogue {
        read(COMPILED_IN).unwrap()
    }
}

fn catalogue() -> Catalogue {
    Catalogue::compiled_in()
}

#[test]
fn threads_are_found_however_they_are_written() {
    let catalogue = catalogue();
    for (text, designation) in [
        ("M5", "M5x0.8"),
        ("m5 x 0,8", "M5x0.8"),
        ("M5×0.80", "M5x0.8"),
        ("M8*1", "M8x1"),
        ("M8", "M8x1.25"),
        ("M12 × 1.5", "M12x1.5"),
        ("9/16-20", "9/16-20"),
        ("9/16\" x 20 TPI LH", "9/16-20"),
        ("pedal", "9/16-20"),
        ("1.37x24", "1.37x24"),
        ("1.37\" x 24", "1.37x24"),
        ("36 mm × 24", "36x24"),
        ("36x24", "36x24"),
        ("1-1/8 x 26", "1.125x26"),
        ("T47", "M47x1"),
    ] {
        assert_eq!(
            catalogue.thread(text).map(|thread| thread.designation.as_str()),
            Ok(designation),
            "{text}"
        );
    }
}

/// Every designation and alias of the table leads back to its own row.
#[test]
fn every_designation_finds_its_own_row() {
    let catalogue = catalogue();
    for thread in &catalogue.threads {
        assert_eq!(catalogue.thread(&thread.designation), Ok(thread));
    }
}

#[test]
fn an_unknown_thread_is_answered_with_the_nearest_names() {
    let catalogue = catalogue();
    let nearest = |text: &str| match catalogue.thread(text) {
        Err(JointError::Unknown { nearest, .. }) => nearest,
        other => panic!("{text}: {other:?}"),
    };
    assert_eq!(nearest("M8x1.1")[..2], ["M8x1", "M8x1.25"]);
    assert_eq!(nearest("M5.5")[..2], ["M5x0.8", "M6x1"]);
    assert!(nearest("9/16-18").contains(&"9/16-20".to_owned()));
    assert_eq!(nearest("").len(), 3);
    let error = catalogue.thread("M8x1.1").unwrap_err();
    assert_eq!(error.to_string(), "unknown thread `M8x1.1`");
    assert!(error.hint().starts_with("nearest known: M8x1, M8x1.25"));
}

#[test]
fn an_axle_diameter_alone_asks_for_its_pitch() {
    let error = catalogue().thread("M15").unwrap_err();
    assert_eq!(
        error,
        JointError::PitchNeeded { text: "M15".into(), candidates: vec!["M15x1".into(), "M15x1.5".into()] }
    );
}

#[test]
fn grades_are_found_for_the_diameter() {
    let catalogue = catalogue();
    let (m5, m20) = (catalogue.thread("M5").unwrap(), catalogue.thread("M20").unwrap());
    let tensile = |text, thread| catalogue.grade(text, thread).map(|c| in_megapascals(c.tensile_strength));
    assert_relative_eq!(tensile("8.8", m5).unwrap(), 800.0);
    assert_relative_eq!(tensile("8.8", m20).unwrap(), 830.0);
    assert_relative_eq!(tensile("grade 10.9", m5).unwrap(), 1040.0);
    assert_relative_eq!(tensile("a2 70", m5).unwrap(), 700.0);
    assert_eq!(
        tensile("9.8", m20),
        Err(JointError::GradeSize { grade: "9.8".into(), thread: "M20x2.5".into() })
    );
}

/// A bare material name must not promise more than its weakest row.
#[test]
fn a_bare_metal_means_its_weakest_row() {
    let catalogue = catalogue();
    let m5 = catalogue.thread("M5").unwrap();
    for (text, family) in [("titanium", MaterialFamily::Titanium), ("aluminium", MaterialFamily::Aluminium)] {
        let found = catalogue.grade(text, m5).unwrap();
        for class in catalogue.classes.iter().filter(|class| class.family == family) {
            assert!(found.yield_stress <= class.yield_stress, "{text} against {}", class.name);
        }
    }
}

#[test]
fn an_unknown_grade_is_answered_with_the_nearest_names() {
    let catalogue = catalogue();
    let m5 = catalogue.thread("M5").unwrap();
    let nearest = |text: &str| match catalogue.grade(text, m5) {
        Err(JointError::Unknown { nearest, .. }) => nearest,
        other => panic!("{text}: {other:?}"),
    };
    assert!(nearest("8.9").contains(&"8.8".to_owned()));
    assert!(nearest("A2-75").contains(&"A2-70".to_owned()));
    assert!(nearest("stainless").iter().all(|name| name.starts_with('A')));
}

/// VDI 2230 Part 1 Table A5 class B is 0.08 to 0.16; austenitic steel is graded apart.
#[test]
fn friction_is_a_condition_or_numbers() {
    let catalogue = catalogue();
    let steel = |text: &str| catalogue.friction(text, MaterialFamily::Steel, None);
    let greased = steel("greased").unwrap();
    assert_eq!(Ok(greased.band), FrictionBand::new(0.08, 0.16));
    assert_eq!(greased.condition, Some(Condition::Greased));
    assert_eq!(greased.provenance.map(|p| p.grade), Some(SourceGrade::Published));
    assert_eq!(steel("0.10..0.16").map(|f| f.band), FrictionBand::new(0.10, 0.16));
    assert_eq!(steel("1.2"), Err(JointError::Friction(1.2)));
    assert!(matches!(steel("slimy"), Err(JointError::Unknown { .. })));
    let dry = catalogue.friction("dry", MaterialFamily::Stainless, None).unwrap();
    assert_eq!(Ok(dry.band), FrictionBand::new(0.30, 0.50));
}

/// Whatever is on the thread, it never looks safer than the rows of both metals allow: where one has no row of its
/// own for the condition, the band holds that of a thread of which nothing is known.
#[test]
fn no_lubricant_looks_safer_than_the_rows_of_both_metals() {
    let catalogue = catalogue();
    let names = ["steel", "stainless", "titanium", "aluminium", "magnesium"];
    let mut widest = 0;
    for (bolt, into) in MaterialFamily::ALL.into_iter().flat_map(|bolt| names.map(|into| (bolt, into))) {
        let into = catalogue.material(into).unwrap();
        let unknown = catalogue.friction_of(Condition::Unknown, bolt, Some(into)).unwrap().band;
        for condition in Condition::ALL {
            let found = catalogue.friction_of(condition, bolt, Some(into)).unwrap();
            let has_row = |metal: Option<MaterialFamily>| match metal {
                Some(MaterialFamily::Steel) => true,
                Some(metal) => {
                    COMPILED_IN[2].contains(&format!("\ncondition,{},{},", condition.name(), metal.name()))
                }
                None => false,
            };
            if !(has_row(Some(bolt)) && has_row(into.family)) {
                assert_eq!(
                    found.band.hull(unknown),
                    found.band,
                    "{bolt:?} into {}, {condition:?}",
                    into.name
                );
                assert!(
                    condition == Condition::Unknown || found.note.contains("widest range"),
                    "{}",
                    found.note
                );
                widest += 1;
            }
        }
    }
    assert!(widest > 50, "{widest}");
    // A greased titanium bolt is no better known than a titanium bolt.
    let titanium = |condition| catalogue.friction_of(condition, MaterialFamily::Titanium, None).unwrap().band;
    assert_eq!(titanium(Condition::Greased), titanium(Condition::Unknown));
    // VDI 2230 Part 1 Table A5, class B: lubricated light alloys.
    let aluminium = catalogue.material("aluminium").unwrap();
    let greased = catalogue.friction_of(Condition::Greased, MaterialFamily::Steel, Some(aluminium)).unwrap();
    assert_eq!(Ok(greased.band), FrictionBand::new(0.08, 0.16));
}

/// Each band named after a class in its note lies inside the hull of the published classes.
#[test]
fn condition_bands_lie_within_the_published_classes() {
    let catalogue = catalogue();
    let classes = COMPILED_IN[2].lines().filter_map(|line| line.strip_prefix("class,"));
    let lowest: Vec<f64> = classes.map(|class| class.split(',').nth(4).unwrap().parse().unwrap()).collect();
    assert_eq!(lowest.len(), 5);
    let least = lowest.into_iter().fold(1.0, f64::min);
    for condition in ["dry", "as-delivered", "oiled", "greased", "anti-seize", "threadlocker", "unknown"] {
        for family in [MaterialFamily::Steel, MaterialFamily::Stainless, MaterialFamily::Titanium] {
            let band = catalogue.friction(condition, family, None).unwrap().band;
            assert!(band.low().get() >= least && band.high().get() <= 0.5, "{condition}");
        }
    }
}

/// Published changes from dry to lubricated run from −10 % (TM 9-6115-604-34) to −55 %
/// (engineeringtoolbox.com d_1693).
#[test]
fn a_differing_condition_is_answered_with_the_disagreement_and_no_target() {
    let answer = catalogue().compare_conditions(Condition::Dry, Condition::Greased).unwrap();
    let range = answer.range.unwrap();
    assert_relative_eq!(in_ratio(range.low), -0.55);
    assert_relative_eq!(in_ratio(range.high), -0.10);
    let mut sources: Vec<&str> = answer.changes.iter().map(|c| c.provenance.source.as_str()).collect();
    sources.sort_unstable();
    sources.dedup();
    assert!(sources.len() >= 3, "{sources:?}");
    assert!(!answer.stated_factors.is_empty() && !answer.actual_factors.is_empty());
}

/// Going back, the statements of the way there are shown, but only +30 % (engineeringtoolbox.com
/// d_1693) is published for the direction asked; nothing is inverted.
#[test]
fn statements_of_the_other_direction_are_shown_and_not_inverted() {
    let catalogue = catalogue();
    let back = catalogue.compare_conditions(Condition::Oiled, Condition::Dry).unwrap();
    let range = back.range.unwrap();
    assert_relative_eq!(in_ratio(range.low), 0.30);
    assert_relative_eq!(in_ratio(range.high), 0.30);
    assert!(back.changes.iter().any(|change| change.from == Condition::Dry));
}

#[test]
fn equal_and_unknown_conditions_are_not_compared() {
    let catalogue = catalogue();
    let answer = |a, b| catalogue.compare_conditions(a, b);
    assert_eq!(answer(Condition::Dry, Condition::Dry), None);
    assert_eq!(answer(Condition::Unknown, Condition::Greased), None);
    assert_eq!(answer(Condition::Greased, Condition::Unknown), None);
    assert_eq!(answer(Condition::Threadlocker, Condition::Dry).unwrap().range, None);
}

#[test]
fn materials_give_shear_strengths() {
    let catalogue = catalogue();
    let shear = |text| catalogue.material(text).map(|m| in_megapascals(m.shear_strength));
    assert_relative_eq!(shear("Aluminum").unwrap(), 130.0);
    assert_relative_eq!(shear("7075-T6").unwrap(), 540.0 / 3f64.sqrt(), max_relative = 1e-12);
    assert!(matches!(shear("cheese"), Err(JointError::Unknown { what: "material", .. })));
}

#[test]
fn a_wrong_table_is_complained_of_with_table_line_and_column() {
    let thread = "M5x0.8,,iso-coarse,5,,,solid,4.8,,,,,,,x,published\n";
    let header = COMPILED_IN[0].lines().next().unwrap();
    let threads = format!("{header}\n{thread}M5x0.8,,odd,5,0.8,,solid,,,,,,,,x,published\n");
    let friction = COMPILED_IN[2].replace("condition,dry,any", "condition,dry,steel");
    let [_, grades, _, heads, materials] = COMPILED_IN;
    let diagnostics = read([&threads, grades, &friction, heads, materials]).unwrap_err();
    let places: Vec<String> =
        diagnostics.iter().map(|c| c.to_string().split("; ").next().unwrap().to_owned()).collect();
    assert_eq!(
        places,
        [
            "friction.csv:1:1: no row gives the friction of `dry` for any material",
            "threads.csv:2:22: one of pitch_mm and threads_per_inch is needed",
            "threads.csv:2:30: some tolerance limits are missing",
            "threads.csv:3:1: `M5x0.8` stands in another row already",
            "threads.csv:3:9: unknown system `odd`",
        ]
    );
}

#[test]
fn a_ring_thread_is_known_but_makes_no_bolt() {
    let catalogue = catalogue();
    let cup = catalogue.thread("1.37x24").unwrap();
    assert_relative_eq!(in_millimetres(cup.profile.major_diameter()), 34.798);
    let bolt = catalogue.bolt("1.37x24", "8.8", HeadKind::Hex);
    assert!(matches!(bolt, Err(JointError::Hollow { .. })), "{bolt:?}");
}
