use super::*;

fn kind_of(line: &str, check: Check) -> &'static str {
    match said(line, check) {
        Entered::AsSet => "as set",
        Entered::LeaveOut => "leave out",
        Entered::Undo => "undo",
        Entered::Wrench(_) => "wrench",
        Entered::Quit => "quit",
        Entered::Help => "help",
        Entered::Marking(_) => "marking",
        Entered::Values(..) => "values",
        Entered::Found(..) => "found",
        Entered::Unclear(_) => "unclear",
    }
}

/// What one number can be read of a wrench is a reading; what can only stand on a part is a marking.
#[test]
fn a_print_that_can_be_no_reading_is_a_marking() {
    let readings = "5|5.0 5.1 in-lb|44 in-lb|5 N·m|4.9 5.2|5,0 5,1|5 5 5 5|held 4|held 4-5|moved 4 N·m|moved|-5|5 Nm 6 Nm";
    for reading in readings.split('|') {
        assert_eq!(kind_of(reading, Check::Torque), "values", "{reading}");
    }
    let prints = "max 5 N·m|4-6 Nm|MAX. TORQUE 5 N.m|4-6Nm / 35-53 in lbs|5 ±0.5 N·m|<= 5 N·m|min 12 N·m|\
                  stem: max 5 N·m|max 5|m 5 N·m|M stem: 5 Nm|m|marking 5 Nm";
    for print in prints.split('|') {
        assert_eq!(kind_of(print, Check::Torque), "marking", "{print}");
    }
    for (line, check, kind) in [
        ("min 1.5 mm", Check::Measure, "marking"),
        ("m min 1.5 mm", Check::Measure, "marking"),
        ("1.5", Check::Measure, "values"),
        ("1.5 mm", Check::Measure, "values"),
        ("max 5 N·m", Check::Function, "unclear"),
    ] {
        assert_eq!(kind_of(line, check), kind, "{line}");
    }
}

#[test]
fn one_key_says_what_is_said_most_in_any_case() {
    for (line, kind) in [
        ("", "as set"),
        ("  ", "as set"),
        ("+", "found"),
        ("-", "leave out"),
        ("u", "undo"),
        ("U", "undo"),
        ("w", "wrench"),
        ("W mid", "wrench"),
        ("Q", "quit"),
        ("quit", "quit"),
        ("?", "help"),
        ("m", "marking"),
        ("f", "unclear"),
        ("six", "unclear"),
        ("not fine", "unclear"),
        ("u 3", "unclear"),
        ("q now", "unclear"),
    ] {
        assert_eq!(kind_of(line, Check::Torque), kind, "{line}");
    }
}

/// Every word that was typed is kept, or the question is asked again.
#[test]
fn a_finding_keeps_its_words() {
    let found = |line: &str| said(line, Check::Function);
    let cracked = |words: &str| Entered::Found(Finding::Cracked, words.to_owned());
    assert_eq!(found("cracked near the clamp, 12 mm"), cracked("near the clamp, 12 mm"));
    assert_eq!(found("F Cracked, near  the clamp"), cracked("near  the clamp"));
    assert_eq!(found("loose 4"), Entered::Found(Finding::Loose, "4".to_owned()));
    assert_eq!(found("play 5"), Entered::Found(Finding::Play, "5".to_owned()));
    assert_eq!(found("+ a scratch"), Entered::Found(Finding::Fine, "a scratch".to_owned()));
    assert_eq!(found("loose, creaks"), Entered::Found(Finding::Loose, "creaks".to_owned()));
    for contradiction in [
        "fine cracked",
        "+ cracked",
        "cracked, else fine",
        "f fine but loose",
        "+ cut in the sidewall 3 mm",
        "fine but hairline crack at valve",
        "+ broken spoke",
        "+ fork bent",
    ] {
        assert_eq!(kind_of(contradiction, Check::Function), "unclear", "{contradiction}");
    }
    assert_eq!(kind_of("f a crack", Check::Function), "unclear");
    assert_eq!(found("f bent"), Entered::Found(Finding::Bent, String::new()));
    assert_eq!(found("+ scuffed, cleaned"), Entered::Found(Finding::Fine, "scuffed, cleaned".to_owned()));
}

/// No number takes the unit of another one: 12 N·m is not 12 lbf·ft.
#[test]
fn every_number_has_the_unit_that_stands_behind_it() {
    for (line, values) in [
        ("5", &["5 "][..]),
        ("5.0 5,1 in-lb", &["5.0 in-lb", "5,1 in-lb"]),
        ("12 N·m 9 lbf·ft", &["12 N·m", "9 lbf·ft"]),
        ("12 13 N·m 9 lbf·ft", &["12 N·m", "13 N·m", "9 lbf·ft"]),
        ("5 N·m 5.1", &["5 N·m", "5.1 N·m"]),
        ("5Nm 44 in-lb", &["5Nm", "44 in-lb"]),
        ("N·m 5", &["N·m", "5 "]),
        ("12 N·m loose", &["12 N·m loose"]),
        ("1.6mm worn thin", &["1.6mm worn thin"]),
    ] {
        let words: Vec<String> = line.split(' ').map(str::to_owned).collect();
        assert_eq!(split_values(&words), values, "{line}");
    }
}
