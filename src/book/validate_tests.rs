//! The book as a whole: it reads, writes back the same bytes, and complains precisely.

use super::*;
use crate::book::{BandState, compiled_in, consensus, write_sheet};

const SOURCES_CSV: &str = "source,title,issuer,year,kind,url,note\n\
    manual-a,Manual A,Maker A,2020,owners-manual,,\n\
    manual-b,Manual B,Maker B,,owners-manual,,\n";
const ENTRIES_CSV: &str = "entry,name,family,hardware,thread,tool,bolts,layout,hand,critical,procedure,kind,needs,ridden\n\
    test-clamp,Test clamp,cockpit,Two M5 bolts,M5,4 mm hex,2,pair,right,yes,clamp,pair,,today\n";
const EVIDENCE_CSV: &str = "entry,variant,form,low_nm,high_nm,printed_value,printed_unit,condition,material,source,locator,grade,not_counted\n\
    test-clamp,,range,4.000,6.000,4-6,Nm,,,manual-a,p. 1,published,\n\
    test-clamp,,range,4.971,6.779,44-60,in-lb,,,manual-b,p. 2,published,\n";
const ALIASES_CSV: &str = "alias,entry\nthe clamp,test-clamp\n";
const STEPS_CSV: &str = "procedure,phase,step,text,source\nclamp,prepare,1,Clean it.,common-practice\n";
const LIMITS_CSV: &str = "item,name,measured,variant,allowed,plausible,source,locator,grade\n\
    rotor-thickness,Rotor thickness,thinnest point,steel,min 1.5 mm,0.5-3 mm,manual-a,p. 3,published\n";
const INTERVALS_CSV: &str = "interval,name,kinds,scope,due_by,hours_low,hours_high,days,km,hires,decides,text,source,grade\n\
    full-check,Full check,,test-clamp,every,,,365,,,yes,Check it.,manual-b,published\n";
const TEMPLATES_CSV: &str = "kind,position,joint,place,checked_by,entry,bolts,hand,critical,source,grade,rounds\n\
    hardtail,1,bar-clamp,stem,torque,test-clamp,2,,yes,common-practice,common-practice,before\n\
    hardtail,2,rotor,wheel,measure,rotor-thickness,1,,no,common-practice,common-practice,\n";

const LAYOUTS_CSV: &str = "kind,pattern,loss_low,loss_nominal,loss_high,decay,ladder,note,source,grade\n\
    face-plate,crosswise,0.05,0.15,0.35,0.4,30/60/100,Plate,Own choice,assumption\n\
    grid,crosswise,0.05,0.15,0.35,0.4,30/60/100,Grid,Own choice,assumption\n\
    pair,crosswise,0.05,0.15,0.35,0.4,30/60/100,Pair,Own choice,assumption\n\
    points,crosswise,0.05,0.15,0.35,0.4,30/60/100,Points,Own choice,assumption\n\
    ring,crosswise,0.02,0.05,0.15,0.4,30/60/100,Ring,Own choice,assumption\n\
    row,crosswise,0.05,0.15,0.35,0.4,30/60/100,Row,Own choice,assumption\n\
    single-clamp,crosswise,0,0,0,0.4,60/100,One bolt,Own choice,assumption\n\
    zero-gap,closed-side-first,-0.3,-0.2,0.05,0.4,50/75/90/100,Plate,Own choice,assumption\n";

/// A book as files in canonical order and form.
fn written(book: &Book) -> Files {
    SHEETS.iter().map(|sheet| (sheet.file(), write_sheet(sheet, book.rows(sheet)).unwrap())).collect()
}

/// A small book with the bolt sheets of the carried one, changed.
fn files(changes: &[(&str, &str, &str)]) -> Files {
    let texts = [
        ("sources.csv", SOURCES_CSV.to_owned()),
        ("entries.csv", ENTRIES_CSV.to_owned()),
        ("evidence.csv", EVIDENCE_CSV.to_owned()),
        ("aliases.csv", ALIASES_CSV.to_owned()),
        ("steps.csv", STEPS_CSV.to_owned()),
        ("layouts.csv", LAYOUTS_CSV.to_owned()),
        ("limits.csv", LIMITS_CSV.to_owned()),
        ("intervals.csv", INTERVALS_CSV.to_owned()),
        ("templates.csv", TEMPLATES_CSV.to_owned()),
    ];
    let carried = compiled_in();
    let of_bolts = carried.iter().filter(|(name, _)| !texts.iter().any(|(known, _)| known == name));
    let of_bolts = of_bolts.map(|(name, bytes)| (name.to_owned(), bytes.to_vec()));
    let texts = texts.iter().map(|(name, text)| ((*name).to_owned(), text.clone().into_bytes()));
    let mut files: BTreeMap<String, Vec<u8>> = of_bolts.chain(texts).collect();
    for (file, from, to) in changes {
        let text = String::from_utf8(files[*file].clone()).unwrap();
        assert!(text.contains(from), "{file} has no {from}");
        files.insert((*file).to_owned(), text.replacen(from, to, 1).into_bytes());
    }
    files.into_iter().collect()
}

#[test]
fn a_sound_book_is_read_without_a_word() {
    let book = Book::read(&files(&[])).unwrap();
    assert!(book.warnings.is_empty());
    assert_eq!(written(&book), files(&[]));
}

/// File, what is replaced, by what, and how the one diagnostic begins.
const FAULTS: &[(&str, &str, &str, &str)] = &[
    ("evidence.csv", "manual-b,p. 2", "manual-x,p. 2", "evidence.csv:3:45: unknown source `manual-x`"),
    (
        "evidence.csv",
        "range,4.000,6.000,4-6",
        "range,6.000,4.000,4-6",
        "evidence.csv:2:19: low_nm 6 is above high_nm 4",
    ),
    (
        "evidence.csv",
        "4.971,6.779",
        "4.971,6.979",
        "evidence.csv:3:25: high_nm `6.979` disagrees with the printed value `44-60 in-lb`",
    ),
    ("evidence.csv", "44-60,in-lb", "44-60,in/lb", "evidence.csv:3:31: `in/lb` is not a unit of torque"),
    ("evidence.csv", "44-60,in-lb", "44-60,furlong", "evidence.csv:3:31: unknown unit `furlong`"),
    ("evidence.csv", "44-60,in-lb", "44-60,", "evidence.csv:3:37: the printed value has no unit"),
    ("evidence.csv", "44-60,in-lb", ",", "evidence.csv:3:31: a value that was read has no printed form"),
    (
        "evidence.csv",
        "range,4.971,6.779,44-60",
        "set,4.971,4.971,44-60",
        "evidence.csv:3:13: form `set` does not fit the printed value `44-60`",
    ),
    (
        "evidence.csv",
        "range,4.971,6.779,44-60",
        "max,4.971,6.779,44-60",
        "evidence.csv:3:17: a max has high_nm only",
    ),
    ("evidence.csv", "range,4.971", "span,4.971", "evidence.csv:3:13: unknown form `span`"),
    ("evidence.csv", "4.971", "four", "evidence.csv:3:19: low_nm `four` is not a torque"),
    (
        "evidence.csv",
        "manual-a,p. 1,published",
        "manual-a,p. 1,rumour",
        "evidence.csv:2:54: unknown grade `rumour`",
    ),
    (
        "evidence.csv",
        "test-clamp,,range,4.000",
        "test-clmap,,range,4.000",
        "evidence.csv:2:1: unknown entry `test-clmap`",
    ),
    (
        "evidence.csv",
        "test-clamp,,range,4.971,6.779,44-60,in-lb,,,manual-b,p. 2",
        "test-clamp,,range,4.000,6.000,4-6,Nm,,,manual-a,p. 1",
        "evidence.csv:3:1: the same entry",
    ),
    ("evidence.csv", "high_nm,", "", "evidence.csv:1:1: column `high_nm` is missing"),
    ("entries.csv", ",critical,procedure,", ",critical,", "entries.csv:1:1: column `procedure` is missing"),
    ("entries.csv", ",critical", ",critical,colour", "entries.csv:1:67: unknown column `colour`"),
    ("entries.csv", "cockpit", "kitchen", "entries.csv:2:23: unknown family `kitchen`"),
    ("entries.csv", ",2,pair", ",0,pair", "entries.csv:2:58: a layout of 0 bolts has nothing to tighten"),
    ("entries.csv", "right", "upper", "entries.csv:2:63: unknown hand `upper`"),
    ("entries.csv", "yes", "maybe", "entries.csv:2:69: unknown critical `maybe`"),
    (
        "entries.csv",
        "yes,clamp,pair,,today\n",
        "yes,clamp,pair,,today\nBad Key,N,seat,H,,,1,single,right,no,clamp,single-clamp,,today\n",
        "entries.csv:3:1: `Bad Key` is not a key",
    ),
    ("entries.csv", ",today", ",old", "entries.csv:2:85: unknown ridden `old`"),
    ("entries.csv", "Test clamp", "", "entries.csv:2:12: `name` is empty"),
    (
        "entries.csv",
        "clamp,pair,,today\n",
        "clamp,pear,,today\n",
        "entries.csv:2:79: unknown kind `pear`; layouts.csv has `pair`",
    ),
    ("entries.csv", "clamp,pair,,today\n", "clamp,,,today\n", "entries.csv:2:79: unknown kind ``"),
    (
        "entries.csv",
        "clamp,pair,,today\n",
        "clamp,single-clamp,,today\n",
        "entries.csv:2:79: kind `single-clamp` is for one bolt, not for 2; such a joint may be `pair`",
    ),
    (
        "entries.csv",
        "clamp,pair,,today\n",
        "clamp,zero-gap,,today\n",
        "entries.csv:2:79: kind `zero-gap` does not fit: only a joint of two bolts above two bolts",
    ),
    (
        "entries.csv",
        "clamp,pair,,today\n",
        "clamp,pair,test-clmap,today\n",
        "entries.csv:2:84: unknown needs `test-clmap`; entries.csv has `test-clamp`",
    ),
    (
        "entries.csv",
        "clamp,pair,,today\n",
        "clamp,pair,test-clamp,today\n",
        "entries.csv:2:84: `test-clamp` needs itself to be set first",
    ),
    (
        "layouts.csv",
        "pair,crosswise,0.05",
        "pair,crosswise,five",
        "layouts.csv:4:16: `five` is not a fraction; use one such as 0.15",
    ),
    (
        "layouts.csv",
        "pair,crosswise,0.05,0.15,0.35",
        "pair,crosswise,0.05,0.15,inf",
        "layouts.csv:4:26: `inf` is not a fraction",
    ),
    (
        "layouts.csv",
        "pair,crosswise,0.05,0.15",
        "pair,crosswise,0.35,0.15",
        "layouts.csv:4:21: the losses 0.35, 0.15 and 0.35 do not rise",
    ),
    (
        "layouts.csv",
        "pair,crosswise,0.05,0.15,0.35",
        "pair,crosswise,0.05,0.15,1",
        "layouts.csv:4:21: a total loss of 100 % is not between -100 and 100 %",
    ),
    (
        "layouts.csv",
        "pair,crosswise,0.05,0.15,0.35,0.4",
        "pair,crosswise,0.05,0.15,0.35,1.4",
        "layouts.csv:4:31: a decay is not above 1 nor below 0",
    ),
    (
        "layouts.csv",
        "30/60/100,Pair",
        "60/30/100,Pair",
        "layouts.csv:4:35: `60/30/100` is not a list of rising percentages",
    ),
    ("layouts.csv", "30/60/100,Pair", "30/60/100,", "layouts.csv:4:45: `note` is empty"),
    ("layouts.csv", "Pair,Own choice", "Pair,", "layouts.csv:4:50: `source` is empty"),
    (
        "layouts.csv",
        "Pair,Own choice,assumption",
        "Pair,Own choice,hope",
        "layouts.csv:4:61: unknown grade `hope`",
    ),
    ("layouts.csv", "pair,crosswise", "pair,anyhow", "layouts.csv:4:6: unknown pattern `anyhow`"),
    ("layouts.csv", "grid,", "grids,", "layouts.csv:1:1: the kind `grid` is missing"),
    (
        "layouts.csv",
        "points,crosswise",
        "pair,crosswise,0.05,0.15,0.35,0.4,30/60/100,Pair,Own choice,assumption\npoints,crosswise",
        "layouts.csv:5:1: the same kind stands in line 4 already",
    ),
    ("entries.csv", "yes,clamp", "yes,clamps", "entries.csv:2:73: unknown procedure `clamps`"),
    ("sources.csv", "2020", "2020,x", "sources.csv:2:1: the row has 8 fields"),
    ("sources.csv", "Maker A", "", "sources.csv:2:19: `issuer` is empty"),
    (
        "sources.csv",
        "manual-b,",
        "manual-b,Manual B,Maker B,,,,\nmanual-b,",
        "sources.csv:4:1: the same source stands in line 3",
    ),
    ("aliases.csv", "the clamp", "The clamp", "aliases.csv:2:1: alias `The clamp` has capitals"),
    ("steps.csv", "prepare", "afterwards", "steps.csv:2:7: unknown phase `afterwards`"),
    ("steps.csv", "1,Clean", "one,Clean", "steps.csv:2:15: `one` is not a step number"),
    ("steps.csv", "Clean it.", "\"Clean it.", "steps.csv:2:17: a double quote is opened and never closed"),
    (
        "entries.csv",
        "bolts,M5,",
        "bolts,M5.5,",
        "entries.csv:2:44: unknown thread `M5.5`; nearest known: M5x0.8",
    ),
    (
        "evidence.csv",
        "4.971,6.779,44-60,in-lb",
        "44.000,60.000,44-60,Nm",
        "evidence.csv:3:26: 60 N·m would tear the M5x0.8 bolt even in class 12.9",
    ),
    ("threads.csv", "iso-coarse,3,0.5", "iso-coarse,3,x", "threads.csv:2:22: pitch_mm `x` is not a number"),
    (
        "threads.csv",
        "iso-coarse,3,0.5",
        "iso-coarse,3,2.5",
        "threads.csv:2:22: a pitch of 2.500 mm leaves no core",
    ),
    (
        "threads.csv",
        "iso-coarse,3,0.5",
        "iso-coarse,3,",
        "threads.csv:2:22: one of pitch_mm and threads_per_inch",
    ),
    ("threads.csv", "iso-coarse,3,", "iso-rough,3,", "threads.csv:2:9: unknown system `iso-rough`"),
    ("threads.csv", "4.826,4.605", "4.826,", "threads.csv:4:33: some tolerance limits are missing"),
    ("threads.csv", "M4x0.7,", "M3x0.5,", "threads.csv:3:1: `M3x0.5` stands in another row already"),
    (
        "grades.csv",
        "1220,1100",
        "1100,1220",
        "grades.csv:19:32: the yield stress is above the tensile strength",
    ),
    ("grades.csv", "12.9,,steel", "12.9,,iron", "grades.csv:19:7: unknown family `iron`"),
    ("friction.csv", "0.08,0.16,mu", "0.16,0.08,mu", "friction.csv:3:12: low 0.16 is above high 0.08"),
    (
        "friction.csv",
        "0.04,0.10,mu",
        "0.04,0.10,K",
        "friction.csv:2:22: unit `K` does not fit this kind of row",
    ),
    (
        "heads.csv",
        "socket,5,8.03",
        "socket,5,4.03",
        "heads.csv:27:10: the diameter is not above the nominal one",
    ),
    ("heads.csv", "socket,5,8.03", "socket,5,wide", "heads.csv:27:10: diameter_mm `wide` is not a number"),
    (
        "materials.csv",
        "7075,aluminium,,540",
        "7075,aluminium,100,540",
        "materials.csv:3:24: one of shear_strength_mpa and tensile",
    ),
    ("materials.csv", "recalled\",memory", "recalled\",rumour", "materials.csv:2:95: unknown grade `rumour`"),
    ("limits.csv", "min 1.5 mm", "1.5 mm", "limits.csv:2:54: `1.5 mm` is not a limit"),
    ("limits.csv", "min 1.5 mm", "min 1.5 furlong", "limits.csv:2:54: `furlong` is not a unit"),
    ("limits.csv", "manual-a", "manual-x", "limits.csv:2:74: unknown source `manual-x`"),
    ("limits.csv", "thinnest point", "", "limits.csv:2:33: `measured` is empty"),
    ("limits.csv", "published", "rumour", "limits.csv:2:88: unknown grade `rumour`"),
    ("intervals.csv", ",every,", ",sometimes,", "intervals.csv:2:35: unknown due_by `sometimes`"),
    ("intervals.csv", "365", "-1", "intervals.csv:2:43: days `-1` is not an amount"),
    ("intervals.csv", ",365,", ",,", "intervals.csv:2:1: nothing makes the interval due"),
    ("intervals.csv", ",test-clamp,", ",test-clmap,", "intervals.csv:2:24: `test-clmap` is neither an entry"),
    ("intervals.csv", "manual-b", "manual-x", "intervals.csv:2:63: unknown source `manual-x`"),
    ("templates.csv", ",torque,", ",weight,", "templates.csv:2:27: unknown checked_by `weight`"),
    ("templates.csv", "test-clamp,2", "test-clmap,2", "templates.csv:2:34: unknown entry `test-clmap`"),
    ("templates.csv", "rotor-thickness,1", "test-clamp,1", "templates.csv:3:32: unknown entry `test-clamp`"),
    ("templates.csv", ",2,,yes", ",0,,yes", "templates.csv:2:45: bolts `0` is not a count"),
    ("templates.csv", "practice,before", "practice,during", "templates.csv:2:84: unknown rounds `during`"),
    (
        "templates.csv",
        "hardtail,2,rotor",
        "hardtail,1,rotor",
        "templates.csv:3:1: the same kind, position stands",
    ),
    // A unit of the last of three decimals is forgiven, two are not.
    ("evidence.csv", "4.971,6.779", "4.973,6.779", "evidence.csv:3:19: low_nm `4.973` disagrees"),
    (
        "templates.csv",
        "yes,common-practice,common-practice",
        "yes,common-practice,rumour",
        "templates.csv:2:68: unknown grade `rumour`",
    ),
    (
        "templates.csv",
        "torque,test-clamp,2",
        "function,test-clmap,2",
        "templates.csv:2:36: unknown entry `test-clmap`",
    ),
    ("threads.csv", "M4x0.7,", "m3X0.5,", "threads.csv:3:1: `m3X0.5` stands in another row already"),
    // What a sheet lacks is not told of while one of its rows cannot be read.
    (
        "layouts.csv",
        "grid,crosswise,0.05,0.15,0.35,0.4,30/60/100,Grid,Own choice,assumption",
        "grid,crosswise",
        "layouts.csv:3:1: the row has 2 fields",
    ),
];

/// One fault at a time: exactly one diagnostic, at its place, naming what is wrong.
#[test]
fn every_fault_gives_one_precise_complaint() {
    let mut wrong = Vec::new();
    for (file, from, to, expected) in FAULTS {
        let diagnostics = Book::read(&files(&[(file, from, to)])).err().unwrap_or_default();
        let texts: Vec<String> = diagnostics.iter().map(ToString::to_string).collect();
        if !(texts.len() == 1 && texts[0].starts_with(expected)) {
            wrong.push(format!("wanted {expected}, got {texts:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Only where no load can be lost a kind is for one bolt.
#[test]
fn a_kind_that_may_lose_load_is_for_several_bolts() {
    let loses = ("layouts.csv", "single-clamp,crosswise,0,0,0,", "single-clamp,crosswise,0,0,0.1,");
    let of_two = ("entries.csv", "clamp,pair,,today\n", "clamp,single-clamp,,today\n");
    assert!(Book::read(&files(&[of_two])).is_err());
    assert!(Book::read(&files(&[of_two, loses])).is_ok());
}

#[test]
fn all_complaints_come_at_once_and_in_order() {
    let diagnostics = Book::read(&files(&[
        ("evidence.csv", "published,\n", "rumour,\n"),
        ("entries.csv", "cockpit", "kitchen"),
        ("steps.csv", "prepare", "never"),
    ]))
    .unwrap_err();
    let places: Vec<String> = diagnostics.iter().map(|diagnostic| diagnostic.at.to_string()).collect();
    assert_eq!(places, ["entries.csv:2:23", "evidence.csv:2:54", "steps.csv:2:7"]);
}

/// Three entries that need one another in a circle: each of them is named, and one that only leads
/// into the circle is not.
#[test]
fn a_circle_of_needs_is_found() {
    let row = |key: &str, needs: &str| format!("{key},N,seat,H,,,2,pair,right,no,clamp,pair,{needs},today\n");
    let rows = [row("a", "b"), row("b", "c"), row("c", "a"), row("d", "a")].concat();
    let to = format!("clamp,pair,,today\n{rows}");
    let diagnostics = Book::read(&files(&[("entries.csv", "clamp,pair,,today\n", &to)])).unwrap_err();
    let texts: Vec<String> = diagnostics.iter().map(ToString::to_string).collect();
    assert_eq!(texts.len(), 3, "{texts:#?}");
    for (text, key) in texts.iter().zip(["a", "b", "c"]) {
        assert!(text.contains(&format!("`{key}` needs itself to be set first")), "{text}");
    }
}

/// It may be what a shop means, so it does not stop the load.
#[test]
fn a_template_that_gives_what_few_ride_is_pointed_out() {
    let warned = |ridden, kind| {
        let changes = [("entries.csv", ",today", ridden), ("templates.csv", "\nhardtail,1", kind)];
        let name = ("entries.csv", "Test clamp", "Clamp of a folding bicycle");
        let book = Book::read(&files(&[changes[0], changes[1], name])).unwrap();
        book.warnings.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let said =
        "templates.csv:2:34: warning: few ride `test-clamp` today: it is nothing to give to every `hardtail`";
    for ridden in [",special", ",era"] {
        let warnings = warned(ridden, "\nhardtail,1");
        assert!(warnings.len() == 1 && warnings[0].starts_with(said), "{warnings:?}");
    }
    assert!(warned(",most", "\nhardtail,1").is_empty());
    assert!(warned(",special", "\nfolding,1").is_empty());
    assert_eq!(warned(",era", "\nfolding,1").len(), 1);
}

#[test]
fn every_fault_of_a_kind_is_listed() {
    let diagnostics = Book::read(&files(&[(
        "layouts.csv",
        "ring,crosswise,0.02,0.05,0.15,0.4,30/60/100,Ring,Own choice,assumption",
        "ring,round,x,y,z,w,30,,,hope",
    )]))
    .unwrap_err();
    assert_eq!(diagnostics.len(), 9, "{diagnostics:#?}");
}

#[test]
fn a_missing_or_broken_file_is_named() {
    let but_steps = || {
        let all = files(&[]);
        let kept = all.iter().filter(|(name, _)| *name != "steps.csv");
        kept.map(|(name, bytes)| (name.to_owned(), bytes.to_vec())).collect::<Vec<_>>()
    };
    let without: Files = but_steps().into_iter().collect();
    assert!(
        Book::read(&without).unwrap_err()[0].to_string().starts_with("steps.csv:1:1: the file is missing")
    );
    let broken = ("steps.csv".to_owned(), b"procedure\xff".to_vec());
    let broken: Files = but_steps().into_iter().chain([broken]).collect();
    assert!(
        Book::read(&broken).unwrap_err()[0].to_string().starts_with("steps.csv:1:10: the file is not UTF-8")
    );
}

#[test]
fn sources_and_procedures_that_nothing_names_are_complained_of() {
    let diagnostics = Book::read(&files(&[(
        "sources.csv",
        "manual-b,Manual B",
        "manual-c,Manual C,Maker C,,owners-manual,,\nmanual-b,Manual B",
    )]))
    .unwrap_err();
    assert_eq!(diagnostics.len(), 1);
    assert!(diagnostics[0].to_string().starts_with("sources.csv:3:1: nothing cites the source `manual-c`"));
}

#[test]
fn the_compiled_in_book_is_sound_and_canonical() {
    let files = compiled_in();
    let book = Book::read(&files).unwrap_or_else(|diagnostics| {
        let lines: Vec<String> = diagnostics.iter().map(ToString::to_string).collect();
        panic!("{} complaints:\n{}", lines.len(), lines.join("\n"))
    });
    let canonical_files = written(&book);
    for (name, bytes) in files.iter() {
        let ours = String::from_utf8_lossy(bytes);
        let canonical = String::from_utf8_lossy(canonical_files.get(name).unwrap());
        for (line, (a, b)) in ours.lines().zip(canonical.lines()).enumerate() {
            assert_eq!(a, b, "{name}:{}", line + 1);
        }
        assert_eq!(ours, canonical, "{name}");
    }
}

/// 10 N·m takes M5 past 90 % of yield even in class 12.9 where friction is low, but tears nothing.
#[test]
fn a_value_past_yield_is_warned_of_and_the_book_loads() {
    let changed = [("evidence.csv", "4.971,6.779,44-60,in-lb", "8.000,10.000,8-10,Nm")];
    let book = Book::read(&files(&changed)).unwrap();
    let warnings: Vec<String> = book.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(warnings.len(), 1, "{warnings:#?}");
    assert!(
        warnings[0].starts_with("evidence.csv:3:25: warning: 10 N·m takes the M5x0.8 bolt"),
        "{}",
        warnings[0]
    );
}

/// Loads that a finished joint must bear stand in the book, set aside; hollow parts and entries
/// without a thread have no bolt to hold a value against.
#[test]
fn a_row_set_aside_or_without_a_bolt_is_not_held_against_one() {
    let high = ("evidence.csv", "4.971,6.779,44-60,in-lb", "44.000,60.000,44-60,Nm");
    for other in [
        ("evidence.csv", "manual-b,p. 2,published,", "manual-b,p. 2,published,a test load"),
        ("entries.csv", "bolts,M5,", "bolts,,"),
        ("entries.csv", "bolts,M5,", "bolts,1.37x24,"),
    ] {
        let book = Book::read(&files(&[high, other])).unwrap();
        assert!(book.warnings.is_empty(), "{:?}", book.warnings);
    }
}

/// The joints of a bicycle that a procedure must not be missing for, each from the preparation to the
/// caution, with a word on when to look again.
#[test]
fn every_usual_joint_has_its_whole_procedure() {
    let book = Book::read(&compiled_in()).unwrap();
    let again =
        ["again", "monthly", "before every ride", "hours", "next out", "first hard ride", "first ride"];
    for procedure in [
        "bar-controls",
        "bottom-bracket-cups",
        "caliper-mount",
        "cassette-lockring",
        "chainring-bolts",
        "crank-pinch-pair",
        "crank-preload-cap",
        "derailleur-hanger",
        "face-plate-even-gap",
        "face-plate-two-bolt",
        "face-plate-zero-gap",
        "fork-axle-pinch",
        "headset-top-cap",
        "pedals",
        "rotor-lockring",
        "rotor-six-bolt",
        "saddle-clamp-one-bolt",
        "saddle-clamp-two-bolt",
        "seat-collar",
        "shock-mount",
        "stem-steerer-clamp",
        "suspension-link-pivots",
        "suspension-main-pivot",
        "thru-axle-key",
        "thru-axle-lever",
    ] {
        let steps: Vec<StepCells<'_>> = book.rows(&STEPS).iter().map(StepCells::of).collect();
        let rows: Vec<_> = steps.iter().filter(|cells| cells.procedure.text == procedure).collect();
        for phase in ["prepare", "before", "during", "after", "caution"] {
            assert!(rows.iter().any(|row| row.phase.text == phase), "{procedure} has no {phase}");
        }
        let recheck = rows.iter().any(|row| again.iter().any(|word| row.text.text.contains(word)));
        assert!(recheck, "{procedure} does not say when to look again");
    }
}

/// The book is broad enough and honest: many entries, and not all of them agreed.
#[test]
fn the_compiled_in_book_covers_the_bicycle() {
    let book = Book::read(&compiled_in()).unwrap();
    assert!(book.rows(&ENTRIES).len() >= 50);
    assert!(book.rows(&EVIDENCE).len() >= 250);
    let mut states = BTreeSet::new();
    let mut diagnostics = Diagnostics::default();
    let sources: BTreeMap<&str, Arc<Source>> = book
        .rows(&SOURCES)
        .iter()
        .map(SourceCells::of)
        .map(|cells| {
            let source = built(&mut diagnostics, |fields| Some(Source::from_cells(&cells, fields))).unwrap();
            (cells.source.text, Arc::new(source))
        })
        .collect();
    let mut evidence: BTreeMap<&str, Vec<Evidence>> = BTreeMap::new();
    for cells in book.rows(&EVIDENCE).iter().map(EvidenceCells::of) {
        let source = sources[cells.source.text].clone();
        let value = built(&mut diagnostics, |fields| Evidence::from_cells(&cells, source, fields)).unwrap();
        evidence.entry(cells.entry.text).or_default().push(value);
    }
    for cells in book.rows(&ENTRIES).iter().map(EntryCells::of) {
        let evidence = evidence.remove(cells.entry.text).unwrap_or_default();
        states.insert(consensus(&evidence).state.word());
    }
    for state in [BandState::Agreed, BandState::Thin, BandState::Disputed, BandState::None] {
        assert!(states.contains(state.word()), "no entry is {}", state.word());
    }
}
