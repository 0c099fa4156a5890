use super::*;

const NM: TorqueUnit = TorqueUnit::NewtonMetre;

/// M5 in class 12.9: As = 14.2 mm² and Rm = 1220 MPa (ISO 898-1) hold 17.3 kN; at μ = 0.35, the highest of VDI 2230's
/// classes for steel, that is some 39 N·m. M8: 44.7 kN and 155 N·m.
#[test]
fn what_tears_the_strongest_bolt_at_the_highest_friction_cannot_be_meant() {
    let catalogue = Catalogue::compiled_in();
    let tears = |thread, number| catalogue.tears_any(thread, number, NM).unwrap();
    for (thread, number) in [("M5", 50.0), ("M5", 55.0), ("M6", 100.0), ("M8", 200.0)] {
        assert!(tears(thread, number).is_some(), "{thread} {number}");
    }
    // Published for crank bolts of M8: 35 to 50 N·m.
    for (thread, number) in [("M5", 30.0), ("M8", 50.0), ("M8", 140.0), ("", 500.0), ("M24x1", 500.0)] {
        assert_eq!(tears(thread, number), None, "{thread} {number}");
    }
    let above = |thread| catalogue.tears_above(thread).unwrap().map(|above| NM.value_of(above));
    let m5 = above("M5").unwrap();
    assert!((m5 - 39.0).abs() < 1.0, "{m5}");
    assert!(tears("M5", m5 + 0.01).is_some() && tears("M5", m5 - 0.01).is_none());
    assert_eq!([above(""), above("M24x1")], [None, None]);
    let text = tears("M5", 55.0).unwrap().text(NM);
    assert!(text.contains("55 lbf·in would be 6.2 N·m"), "{text}");
    assert!(catalogue.tears_any("M5.5", 5.0, NM).is_err());
}

#[test]
fn what_is_a_small_part_of_what_is_expected_cannot_be_meant() {
    let catalogue = Catalogue::compiled_in();
    let little = |number, unit, band, thread| catalogue.too_little((number, unit), band, thread).unwrap();
    let six = Some(Spec::Set(NM.of(6.0)));
    let text = little(6.0, TorqueUnit::PoundForceInch, six, "M5").unwrap().text(NM);
    assert!(text.contains("a fifth of the 6.0 N·m that the book has"), "{text}");
    assert!(text.contains("perhaps 6 N·m was meant"), "{text}");
    assert_eq!(little(1.2, NM, six, "M5"), None);
    assert!(little(1.19, NM, six, "M5").is_some());
    // The weakest M5 bolt, of class 4.6, bears 1.0 N·m at μ = 0.04, the lowest of VDI 2230's classes.
    assert!(little(0.15, NM, None, "M5").is_some());
    assert_eq!(little(0.6, NM, None, "M5"), None);
    assert_eq!(little(0.01, NM, None, ""), None);
}

/// The five times are an own choice; 100 lbf·in are 11.3 N·m (1 lbf·in is 0.112985 N·m).
#[test]
fn what_is_many_times_of_what_is_expected_cannot_be_meant() {
    let nm = |number| NM.of(number);
    let great = |number, band, greatest| {
        let expected = Expected { band, greatest };
        too_great((number, NM), expected).map(|unmeant| unmeant.text(NM))
    };
    let band = Some(Spec::Range { low: nm(10.0), high: nm(12.0) });
    let told = great(100.0, band, None).unwrap();
    assert!(told.starts_with("100 N·m is more than five times the 12 N·m that the book has here"), "{told}");
    assert!(told.ends_with("100 lbf·in would be 11 N·m"), "{told}");
    assert_eq!(great(60.0, band, None), None);
    // What anybody gives beside a band is no measure, and without a band it is.
    assert!(great(61.0, band, Some(nm(40.0))).is_some());
    for band in [None, Some(Spec::Floor(nm(10.0)))] {
        let told = great(100.0, band, Some(nm(12.0))).unwrap();
        assert!(told.contains("five times the 12 N·m that is the greatest figure read for this"), "{told}");
        assert_eq!(great(60.0, band, Some(nm(12.0))), None);
        assert_eq!(great(1000.0, band, None), None);
    }
}
