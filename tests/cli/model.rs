//! A workshop beside a plain model of it: after any commands, corrections, strikes, edits and days that pass, the program
//! says what the model says, of today and of every earlier day, and a copy made by export and import says the same.
//!
//! The model knows no journal and no tables. It keeps lists and looks at all of them for each answer.

use std::collections::BTreeMap;

use crate::bench::Bench;
use crate::random::Random;

#[derive(Debug, Clone, Copy, PartialEq)]
enum Evidence {
    /// N·m, and whether by the registered wrench.
    Torque(f64, bool),
    Fine,
    Loose,
    Cracked,
    Replaced,
}

#[derive(Debug, Clone, Copy)]
struct Line {
    /// The number that the program gives it.
    id: u64,
    /// Which wheel it is about, counted as they are put on; none for the clamp.
    wheel: Option<u32>,
    bolt: u32,
    /// Hours since the beginning.
    hour: u64,
    evidence: Evidence,
    stands: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Happened {
    Ride,
    Crash,
}

/// The workshop as the model sees it.
#[derive(Debug, Default)]
struct Model {
    now: u64,
    readings: Vec<Line>,
    last_reading: u64,
    /// Number, hour, what, and whether it stands.
    events: Vec<(u64, u64, Happened, bool)>,
    last_event: u64,
    high_marking: bool,
    /// Days of calibrations of the wrench, and whether it passed.
    calibrations: Vec<(u64, bool)>,
    wheels: u32,
    wheel_on: bool,
}

/// The states of the model, the best first.
const STATES: [&str; 7] = ["sound", "due", "never checked", "wrench in doubt", "low", "high", "fault"];

fn rank(state: &str) -> usize {
    STATES.iter().position(|known| *known == state).unwrap()
}

impl Model {
    fn reads(&mut self, wheel: Option<u32>, bolt: u32, hour: u64, evidence: Evidence) {
        self.last_reading += 1;
        self.readings.push(Line { id: self.last_reading, wheel, bolt, hour, evidence, stands: true });
    }

    /// The newest line of what is on the bicycle.
    fn newest(&self) -> Option<u64> {
        let on = |line: &&Line| line.wheel.is_none_or(|wheel| self.wheel_on && wheel == self.wheels);
        self.readings.iter().filter(|line| line.stands).filter(on).map(|line| line.id).max()
    }

    fn tightens(&mut self, random: &mut Random) -> Vec<String> {
        let (bolt, torque) = (random.of(&[1, 2]), random.of(&[3.0, 5.0, 5.0, 8.0]));
        let (back, by_wrench) = (random.below(3) == 0, random.below(2) == 0);
        let hour = if back && !by_wrench { self.now - 13 } else { self.now };
        self.reads(None, bolt, hour, Evidence::Torque(torque, by_wrench));
        let wrench = if by_wrench { " --wrench w" } else { "" };
        words(&format!("record b/clamp#{bolt} {torque:.1} N·m --at {}{wrench}", time(hour)))
    }

    fn looks(&mut self, random: &mut Random) -> Vec<String> {
        let (evidence, finding) = random.of(&[
            (Evidence::Fine, "fine"),
            (Evidence::Fine, "fine"),
            (Evidence::Loose, "loose"),
            (Evidence::Cracked, "cracked"),
            (Evidence::Replaced, "fine --action replaced"),
        ]);
        self.reads(Some(self.wheels), 1, self.now, evidence);
        words(&format!("record b/wheel --finding {finding}"))
    }

    fn happens(&mut self, random: &mut Random) -> Vec<String> {
        let ride = (Happened::Ride, "ride b 5h");
        let (what, told) = random.of(&[ride, ride, (Happened::Crash, "event b crash")]);
        self.last_event += 1;
        self.events.push((self.last_event, self.now, what, true));
        words(told)
    }

    /// What stands of one bolt or wheel, oldest first.
    fn standing(&self, wheel: Option<u32>, bolt: u32) -> Vec<Line> {
        let of = |line: &&Line| line.stands && (line.wheel, line.bolt) == (wheel, bolt);
        let mut lines: Vec<Line> = self.readings.iter().filter(of).copied().collect();
        lines.sort_by_key(|line| (line.hour, line.id));
        lines
    }

    fn since(&self, hour: u64, what: Happened) -> usize {
        self.events.iter().filter(|event| event.3 && event.2 == what && event.1 > hour).count()
    }

    /// A failed calibration casts doubt on what was read since the last that passed, and on what is read until the next.
    fn in_doubt(&self, hour: u64) -> bool {
        let day = hour / 24;
        let before = self.calibrations.iter().rev().find(|calibration| calibration.0 <= day);
        let after = self.calibrations.iter().find(|calibration| calibration.0 > day);
        before.is_some_and(|known| !known.1) || after.is_some_and(|known| !known.1)
    }

    fn bolt(&self, bolt: u32) -> &'static str {
        let Some(newest) = self.standing(None, bolt).last().copied() else { return "never checked" };
        let Evidence::Torque(torque, by_wrench) = newest.evidence else { unreachable!() };
        let (low, high) = if self.high_marking { (7.0, 9.0) } else { (4.0, 6.0) };
        if by_wrench && self.in_doubt(newest.hour) {
            "wrench in doubt"
        } else if torque < low {
            "low"
        } else if torque > high {
            "high"
        // A ride takes five hours, and the play check comes after twenty (specs/intervals.csv).
        } else if self.since(newest.hour, Happened::Crash) > 0
            || self.since(newest.hour, Happened::Ride) * 5 > 20
            || self.now - newest.hour > 180 * 24
        {
            "due"
        } else {
            "sound"
        }
    }

    fn wheel(&self) -> &'static str {
        let lines = self.standing(Some(self.wheels), 1);
        let mut fault: Option<Evidence> = None;
        let mut fine = None;
        for line in lines {
            match line.evidence {
                Evidence::Fine | Evidence::Loose if fault == Some(Evidence::Cracked) => {}
                Evidence::Fine | Evidence::Replaced => fault = None,
                found => fault = Some(found),
            }
            if matches!(line.evidence, Evidence::Fine | Evidence::Replaced) {
                fine = Some(line.hour);
            }
        }
        match (fault, fine) {
            (Some(_), _) => "fault",
            (None, None) => "never checked",
            (None, Some(hour)) if self.since(hour, Happened::Crash) > 0 || self.now - hour > 30 * 24 => "due",
            (None, Some(_)) => "sound",
        }
    }

    /// Joints with their states, and the verdict on the bicycle.
    fn answer(&self) -> (BTreeMap<String, String>, String) {
        let clamp = [self.bolt(1), self.bolt(2)].into_iter().max_by_key(|state| rank(state)).unwrap();
        let mut joints = BTreeMap::from([("clamp".to_owned(), clamp.to_owned())]);
        if self.wheel_on {
            joints.insert("wheel".to_owned(), self.wheel().to_owned());
        }
        let worst = joints.values().map(|state| rank(state)).max().unwrap();
        let crashed = self.events.iter().any(|event| event.3 && event.2 == Happened::Crash);
        let verdict = match worst {
            4.. => "unfit",
            1..=3 => "unproven",
            // Frame, fork and the rest are no checks of this bicycle, so nobody has looked.
            _ if crashed => "unproven",
            // The wheel is a hand check of its kind, and nobody looks there any more.
            _ if !self.wheel_on => "fit with conditions",
            _ => "fit",
        };
        (joints, verdict.to_owned())
    }
}

fn time(hour: u64) -> String {
    let start: jiff::civil::DateTime = "2026-01-01T00:00:00".parse().unwrap();
    let hours = jiff::Span::new().hours(i64::try_from(hour).unwrap());
    format!("{}+00:00", start.checked_add(hours).unwrap())
}

/// A shop whose book knows one kind of bicycle: a clamp of two bolts and a wheel.
fn shop() -> Bench {
    let bench = Bench::new();
    let book = bench.exported_book();
    let row = |cells: &str| format!("bench,{cells},common-practice,common-practice\n");
    let header = "kind,position,joint,place,checked_by,entry,bolts,hand,critical,source,grade\n";
    let rows =
        row("1,wheel,front,function,,1,,yes") + &row("2,clamp,front,torque,stem-bar-clamp-unstated,2,,yes");
    std::fs::write(book.join("templates.csv"), header.to_owned() + &rows).unwrap();
    let then = time(12);
    bench.done(&then, &["book", "load", "book"]);
    bench.done(&then, &["bike", "add", "b", "--kind", "bench"]);
    bench.done(&then, &["bike", "joint", "edit", "b/clamp", "--marking", "4-6 N·m"]);
    bench.done(
        &then,
        &[
            "wrench",
            "add",
            "w",
            "--type",
            "click",
            "--scale",
            "2-12 N·m",
            "--step",
            "0.1",
            "--calibrated",
            "2026-01-01",
        ],
    );
    bench
}

/// The words of a command; `_` is a space inside an argument.
fn words(text: &str) -> Vec<String> {
    text.split(' ').map(|word| word.replace('_', " ")).collect()
}

/// One step: what the program is told, and what the model makes of it.
fn step(model: &mut Model, random: &mut Random) -> Vec<String> {
    let newest = model.newest();
    match random.below(16) {
        0..=4 => model.tightens(random),
        5..=7 if model.wheel_on => model.looks(random),
        8 => {
            model.high_marking = !model.high_marking;
            let marking = if model.high_marking { "7-9_N·m" } else { "4-6_N·m" };
            words(&format!("bike joint edit b/clamp --marking {marking}"))
        }
        9 | 10 => model.happens(random),
        11 if model.events.iter().any(|event| event.3) => {
            let struck = model.events.iter_mut().rfind(|event| event.3).unwrap();
            struck.3 = false;
            model.last_event += 1;
            words(&format!("event --strike {} --why slip", struck.0))
        }
        12 if let Some(id) = newest => {
            model.readings.iter_mut().find(|line| line.id == id).unwrap().stands = false;
            model.last_reading += 1;
            words(&format!("record --strike {id} --note slip"))
        }
        13 if let Some(id) = newest => corrected(model, id, random.of(&[3.0, 5.0, 8.0])),
        14 => {
            let passed = random.below(2) == 0;
            model.calibrations.push((model.now / 24, passed));
            words(if passed { "wrench calibrated w" } else { "wrench calibrated w --failed" })
        }
        15 if model.wheel_on => {
            model.wheel_on = false;
            words("bike joint remove b wheel --why gone")
        }
        15 => {
            model.wheel_on = true;
            model.wheels += 1;
            words("bike joint add b wheel --check function")
        }
        _ => words("bike edit b --note again"),
    }
}

/// The newest line corrected: a torque by another one, a finding by `fine`; all else is taken over.
fn corrected(model: &mut Model, id: u64, torque: f64) -> Vec<String> {
    model.last_reading += 1;
    let number = model.last_reading;
    let line = model.readings.iter_mut().find(|line| line.id == id).unwrap();
    line.stands = false;
    let (evidence, told) = match line.evidence {
        Evidence::Torque(_, by_wrench) => {
            (Evidence::Torque(torque, by_wrench), format!("record b/clamp {torque:.1} --corrects {id}"))
        }
        Evidence::Replaced => (Evidence::Replaced, format!("record b/wheel --corrects {id} --note again")),
        _ => (Evidence::Fine, format!("record b/wheel --finding fine --corrects {id}")),
    };
    let new = Line { id: number, evidence, stands: true, ..*line };
    model.readings.push(new);
    words(&told)
}

fn ready(bench: &Bench, now: u64, more: &[&str]) -> (BTreeMap<String, String>, String) {
    let (_, answer) = bench.json_at(&time(now), &[&["ready", "b"], more].concat());
    let joints = answer["joints"].as_array().unwrap().iter();
    let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
    (joints.map(|joint| (text(&joint["joint"]), text(&joint["verdict"]))).collect(), text(&answer["verdict"]))
}

/// A random life of the workshop, compared on its way, looked back at, and carried over.
fn life(seed: u64) {
    let bench = shop();
    let mut random = Random(0x9e37_79b9_7f4a_7c15 ^ (seed + 1));
    let mut model =
        Model { now: 12, wheels: 1, wheel_on: true, calibrations: vec![(0, true)], ..Model::default() };
    let (mut told, mut then) = (Vec::new(), Vec::new());
    for _ in 0..24 {
        model.now += 24 * random.of(&[1, 2, 3, 5, 20]);
        let arguments = step(&mut model, &mut random);
        let said = bench.at(&time(model.now), &arguments.iter().map(String::as_str).collect::<Vec<_>>());
        told.push(format!("{}: {}", time(model.now), arguments.join(" ")));
        assert!(said.status != 2, "seed {seed}: {}\n{}", told.join("\n"), said.err);
        then.push((model.now, model.answer()));
        assert_eq!(ready(&bench, model.now, &[]), model.answer(), "seed {seed}:\n{}", told.join("\n"));
    }
    let now = model.now;
    for (hour, answer) in then.iter().step_by(4) {
        let at = ready(&bench, now, &["--at", &time(*hour)]);
        assert_eq!(at, *answer, "seed {seed} as of {}:\n{}", time(*hour), told.join("\n"));
    }
    bench.done(&time(now), &["export", "all"]);
    bench.done(&time(now), &["import", "all", "--db", "copy.db"]);
    bench.done(&time(now), &["book", "load", "book", "--db", "copy.db"]);
    assert_eq!(ready(&bench, now, &["--db", "copy.db"]), model.answer(), "seed {seed}");
    bench.done(&time(now), &["export", "again", "--db", "copy.db"]);
    for file in std::fs::read_dir(bench.path("all")).unwrap().map(|file| file.unwrap().file_name()) {
        let read = |folder: &str| std::fs::read_to_string(bench.path(folder).join(&file)).unwrap();
        assert_eq!(read("all"), read("again"), "seed {seed}: {}", file.display());
    }
    assert_eq!(bench.at(&time(now), &["verify"]).status, 0, "seed {seed}");
}

#[test]
fn a_workshop_is_what_a_plain_model_of_it_says() {
    let lives = if std::env::var_os("EVENCLAMP_LONG_TESTS").is_some() { 40 } else { 9 };
    for seed in 0..lives {
        life(seed);
    }
}
