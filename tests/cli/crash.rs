//! What was acknowledged survives kill -9 at any moment of every command that writes, and many writers at once.
//!
//! The journal is the witness: each call signs its lines with a reason of its own, and has either all of them there or
//! none.

use std::collections::HashMap;
use std::process::Stdio;
use std::time::Duration;

use crate::bench::{Bench, said};
use crate::keeping::{assert_sound, count, open, shop};
use crate::random::Random;

const NOW: &str = "2026-06-01T10:00:00+02:00";

/// Calls in each round; one in three is killed.
const CALLS: u64 = 100;

/// Rounds of the crash test: 200 calls in all, or 6 400 where `EVENCLAMP_LONG_TESTS` is set, as it is in CI.
fn rounds() -> u64 {
    if std::env::var_os("EVENCLAMP_LONG_TESTS").is_some() { 64 } else { 2 }
}

/// Every way to write, one behind the other; `{}` is the number of the call,
/// from 0, and `_` a space inside an argument.
const WAYS: [&str; 18] = [
    "record loan-7/crank-left 13 13 N·m",
    "record loan-7/headset --finding fine",
    "record loan-7/plate 5.{} N·m --corrects {first}",
    "record --strike {second} --note call-{}",
    "record --from log-{}.csv",
    "ride loan-7,errand 1h --km {km}",
    "event loan-7,errand wash",
    "event --strike {event}",
    "bike add new-{} --kind children",
    "bike edit errand --note call-{}",
    "bike joint add loan-7 joint-{} --entry general-m5",
    "bike joint edit loan-7,errand/seat-collar --marking max_{}.5_lbf·in",
    "bike joint remove loan-7 spare-{}",
    "wrench add wrench-{} --type click --scale 2-10_N·m",
    "wrench edit small --owner call-{}",
    "wrench calibrated small --on 2026-05-01 --note call-{}",
    "book add general-m5 5.{}_N·m --issuer issuer-{} --source paper --where p.{}",
    "import other",
];

fn way(call: u64) -> usize {
    usize::try_from(call).unwrap() % WAYS.len()
}

fn calls_that(write: &str) -> impl Iterator<Item = u64> {
    (0..CALLS).filter(move |call| WAYS[way(*call)].contains(write))
}

/// The arguments of a call.
fn arguments(call: u64) -> Vec<String> {
    let nth = call / u64::try_from(WAYS.len()).unwrap() + 1;
    let filled = WAYS[way(call)]
        .replace("{first}", &nth.to_string())
        .replace("{second}", &(nth + 10).to_string())
        .replace("{event}", &nth.to_string())
        .replace("{km}", &(call + 1).to_string())
        .replace("{}", &call.to_string());
    filled.split(' ').map(|word| word.replace('_', " ")).collect()
}

/// A workshop with something for each way to write: readings and events to correct and strike, joints to take off, a
/// log, and the journal of another workshop.
fn before() -> Bench {
    let bench = shop();
    bench.done(NOW, &["bike", "add", "errand", "--kind", "city"]);
    bench.done(NOW, &["wrench", "add", "small", "--type", "click", "--scale", "2-10 N·m"]);
    for spare in
        (0..CALLS).filter(|call| WAYS[usize::try_from(*call).unwrap() % WAYS.len()].contains("remove"))
    {
        bench
            .done(NOW, &["bike", "joint", "add", "loan-7", &format!("spare-{spare}"), "--check", "function"]);
    }
    for _ in 0..2 {
        bench.at(NOW, &["record", "loan-7/plate", "5", "5", "5", "5", "5", "5", "5", "5", "5", "5", "N·m"]);
    }
    for _ in 0..10 {
        bench.done(NOW, &["event", "loan-7", "wash"]);
    }
    for log in calls_that("--from") {
        let line =
            |bolt| format!("2026-05-01T10:{:02}:{:02}+02:00,loan-7,plate,{bolt},5,N·m\n", log / 60, log % 60);
        let lines = (1..=10).map(line).collect::<String>();
        let file = bench.path(&format!("log-{log}.csv"));
        std::fs::write(file, format!("taken_at,bike,joint,bolt,value,unit\n{lines}")).unwrap();
    }
    bench.done(NOW, &["bike", "add", "elsewhere", "--kind", "city", "--why", "other", "--db", "other.db"]);
    bench.done(NOW, &["export", "other", "--db", "other.db"]);
    bench
}

/// How many lines each way to write leaves, by what it leaves where nothing disturbs it.
fn lines_by_way(bench: &Bench) -> Vec<i64> {
    let lines = |why: &str| {
        let sql = format!("SELECT count(*) FROM journal WHERE why = '{why}'");
        count(&open(bench), &sql)
    };
    (0..u64::try_from(WAYS.len()).unwrap())
        .map(|way| {
            let arguments = arguments(way);
            let arguments: Vec<&str> =
                arguments.iter().map(String::as_str).chain(["--why", "sample"]).collect();
            let (before, other) = (lines("sample"), lines("other"));
            let answer = bench.at(NOW, &arguments);
            assert!(answer.status != 2 && !answer.out.is_empty(), "{arguments:?}: {}", answer.err);
            lines("sample") - before + lines("other") - other
        })
        .collect()
}

/// One round on a database of its own: how many calls were killed, and how many acknowledged.
fn crash_round(round: u64, lines_by_way: &[i64]) -> (usize, usize) {
    let bench = before();
    let mut random = Random(0x2545_f491_4f6c_dd1d ^ (round + 1));
    let (mut acknowledged, mut killed) = (Vec::new(), 0);
    for call in 0..CALLS {
        let why = format!("call {call}");
        let arguments = arguments(call);
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).chain(["--why", &why]).collect();
        let mut command = bench.command(&arguments);
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
        if random.below(3) == 0 {
            std::thread::sleep(Duration::from_micros(random.below(60_000)));
            child.kill().unwrap();
            killed += 1;
        }
        // What says anything on standard output has done what it says.
        if !said(&child.wait_with_output().unwrap()).out.is_empty() {
            acknowledged.push(call);
        }
    }
    let connection = open(&bench);
    assert_sound(&connection);
    let mut found = connection.prepare("SELECT why, count(*) FROM journal GROUP BY why").unwrap();
    let found: HashMap<String, i64> =
        found.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap().map(Result::unwrap).collect();
    for call in 0..CALLS {
        let way = way(call);
        let why = if WAYS[way].starts_with("import") { "other".to_owned() } else { format!("call {call}") };
        let lines = found.get(&why).copied().unwrap_or(0);
        let whole = lines_by_way[way];
        assert!(lines == whole || lines == 0, "{lines} of {whole} lines: {:?}", arguments(call));
        assert!(lines == whole || !acknowledged.contains(&call), "lost: {:?}", arguments(call));
    }
    let (status, whole) = bench.json_at(NOW, &["verify"]);
    assert_eq!(status, 0, "{whole}");
    (killed, acknowledged.len())
}

#[test]
fn what_was_acknowledged_survives_kill_9_whatever_writes() {
    let whole = lines_by_way(&before());
    assert!(whole.iter().all(|lines| *lines > 0), "every way writes: {whole:?}");
    let half =
        |rounds: std::ops::Range<u64>| rounds.map(|round| crash_round(round, &whole)).collect::<Vec<_>>();
    let all = rounds();
    let outcomes = std::thread::scope(|scope| {
        let first = scope.spawn(|| half(0..all / 2));
        let second = half(all / 2..all);
        [first.join().unwrap(), second].concat()
    });
    let killed: usize = outcomes.iter().map(|round| round.0).sum();
    let acknowledged: usize = outcomes.iter().map(|round| round.1).sum();
    let calls = usize::try_from(all * CALLS).unwrap();
    assert!(killed * 5 > calls && acknowledged * 2 > calls, "{killed} killed, {acknowledged} acknowledged");
}

/// Processes that write at once, and how often each does.
const WRITERS: usize = 32;
const BATCHES: usize = 3;

#[test]
fn many_processes_at_once_lose_nothing_and_write_nothing_twice() {
    let bench = shop();
    std::thread::scope(|scope| {
        for writer in 0..WRITERS {
            let bench = &bench;
            scope.spawn(move || {
                for batch in 0..BATCHES {
                    let answer = if writer % 2 == 0 {
                        five_entries(bench, writer, batch)
                    } else {
                        let line = |line: usize| {
                            let bolt = line % 10 + 1;
                            format!("loan-7,plate,{bolt},5.{line},N·m,{writer}-{batch}-{line}")
                        };
                        let lines = (0..50).map(line).collect::<Vec<_>>().join("\n");
                        let log = format!("bike,joint,bolt,value,unit,note\n{lines}");
                        // Each batch has its own moment, so that no line looks like another's twin.
                        let now = format!("2026-06-01T10:00:00.{:03}+02:00", writer * BATCHES + batch);
                        bench.piped(&now, &["record", "--from", "-"], &log)
                    };
                    assert!(answer.status != 2 && answer.status >= 0, "{}{}", answer.out, answer.err);
                }
            });
        }
    });
    let connection = open(&bench);
    assert_sound(&connection);
    assert_eq!(
        count(&connection, "SELECT count(*) FROM reading"),
        i64::try_from(WRITERS * BATCHES * 50).unwrap()
    );
    assert_eq!(
        count(&connection, "SELECT count(DISTINCT note || ':' || bolt) FROM reading"),
        i64::try_from(WRITERS * BATCHES * 50).unwrap()
    );
}

/// Five entries of ten bolts each; the last answer.
fn five_entries(bench: &Bench, writer: usize, batch: usize) -> crate::bench::Said {
    let mut last = None;
    for entry in 0..5 {
        let note = format!("{writer}-{batch}-{entry}");
        let values = ["5"; 10];
        let arguments = [&["record", "loan-7/plate"], &values[..], &["N·m", "--note", &note]].concat();
        let answer = bench.at(NOW, &arguments);
        assert!(answer.out.starts_with("recorded 10"), "{}{}", answer.out, answer.err);
        last = Some(answer);
    }
    last.unwrap()
}
