use super::*;

fn catalogue() -> Catalogue {
    Catalogue::compiled_in()
}

fn of(thread: &str, grade: &str) -> BoltWords {
    BoltWords { thread: thread.into(), grade: grade.into(), ..BoltWords::default() }
}

fn known(words: &BoltWords) -> KnownBolt {
    catalogue().known_bolt(words).unwrap().unwrap()
}

#[test]
fn without_a_class_the_strongest_of_the_metal_stands_in() {
    let class = |thread, material| {
        let metal = MaterialFamily::of_bolt(material);
        let found = known(&BoltWords { metal, ..of(thread, "") });
        assert!(found.class_assumed);
        found.bolt.class.name.clone()
    };
    assert_eq!(class("M5", ""), "12.9");
    assert_eq!(class("M20x1.5", "steel"), "12.9");
    assert_eq!(class("M8x0.75", "aluminium"), "7075-T6-bar");
    assert_eq!(class("M5", "stainless screw"), "A2-80");
    // The metal of the part that is clamped says nothing of the bolt.
    assert_eq!(class("M5", "aluminium bar"), "12.9");
    assert_eq!(class("M5", "carbon post"), "12.9");
}

#[test]
fn a_stated_class_and_condition_are_taken() {
    let found = known(&BoltWords { condition: "greased".into(), ..of("M5", "8.8") });
    assert!(!found.class_assumed);
    assert_eq!(found.bolt.class.name, "8.8");
    assert_eq!(Ok(found.friction), FrictionBand::new(0.08, 0.16));
}

#[test]
fn nothing_is_known_of_a_hollow_part_or_without_a_thread() {
    for thread in ["", "1.37x24", "M24x1"] {
        assert_eq!(catalogue().known_bolt(&of(thread, "")), Ok(None), "{thread}");
    }
    let unknown = catalogue().known_bolt(&of("M5.5", ""));
    assert!(matches!(unknown, Err(JointError::Unknown { .. })));
}

#[test]
fn past_yield_is_a_warning_and_names_the_limit_rounded_down() {
    let bolt = known(&of("M5", "8.8"));
    let limit = bolt.bolt.torque_limit(bolt.friction.low());
    let doubt = bolt.doubt(6.0, TorqueUnit::NewtonMetre).unwrap().unwrap();
    assert!(!doubt.is_impossible);
    let text = doubt.text(TorqueUnit::NewtonMetre);
    let named: f64 = text.split("reached at ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!(crate::quantity::newton_metres(named) <= limit, "{text}");
    assert!(bolt.doubt(0.0, TorqueUnit::NewtonMetre).is_err());
}
