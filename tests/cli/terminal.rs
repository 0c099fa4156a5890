//! A round on a real terminal: keys, line editing, a window that changes, and every way to break off.

use std::io::{Read as _, Write as _};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

use crate::bench::Bench;

const NOW: &str = "2026-06-01T10:00:00+02:00";
const PATIENCE: Duration = Duration::from_mins(1);

fn shop() -> Bench {
    let bench = Bench::new();
    bench.at(NOW, &["bike", "add", "pine", "--kind", "trail"]);
    bench.at(NOW, &["bike", "joint", "edit", "pine", "axle-front", "--marking", "12 N·m"]);
    let add = ["wrench", "add", "mid", "--type", "click", "--scale", "5-25 N·m", "--step", "0.5"];
    bench.done(NOW, &[&add[..], &["--calibrated", "2026-05-01"]].concat());
    bench
}

/// A program on a terminal of its own.
struct Terminal {
    master: Box<dyn MasterPty + Send>,
    child: Box<dyn Child + Send + Sync>,
    keys: Box<dyn std::io::Write + Send>,
    screen: Arc<Mutex<String>>,
}

fn size(cols: u16) -> PtySize {
    PtySize { rows: 24, cols, pixel_width: 0, pixel_height: 0 }
}

impl Terminal {
    fn of(bench: &Bench, arguments: &[&str]) -> Terminal {
        Terminal::at(bench, NOW, arguments)
    }

    fn at(bench: &Bench, now: &str, arguments: &[&str]) -> Terminal {
        let pair = native_pty_system().openpty(size(80)).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_evenclamp"));
        command.args(arguments);
        command.env_clear();
        command.cwd(bench.path(""));
        for (name, value) in [("TERM", "xterm"), ("EVENCLAMP_NOW", now), ("EVENCLAMP_WHO", "Kim")] {
            command.env(name, value);
        }
        command.env("HOME", bench.path(""));
        command.env("EVENCLAMP_DB", bench.database());
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let screen = Arc::new(Mutex::new(String::new()));
        let (mut from, to) = (pair.master.try_clone_reader().unwrap(), Arc::clone(&screen));
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(read) = from.read(&mut bytes) {
                if read == 0 {
                    break;
                }
                to.lock().unwrap().push_str(&String::from_utf8_lossy(&bytes[..read]));
            }
        });
        Terminal { keys: pair.master.take_writer().unwrap(), master: pair.master, child, screen }
    }

    fn screen(&self) -> String {
        self.screen.lock().unwrap().clone()
    }

    /// Waits until the screen holds a text so many times.
    fn sees(&self, text: &str, times: usize) {
        let started = Instant::now();
        while self.screen().matches(text).count() < times {
            assert!(started.elapsed() < PATIENCE, "no {text} {times} times:\n{}", self.screen());
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    fn press(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    fn ended(&mut self) -> u32 {
        let started = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.exit_code();
            }
            assert!(started.elapsed() < PATIENCE, "it goes on:\n{}", self.screen());
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

fn readings(bench: &Bench, joint: &str) -> usize {
    let (_, history) =
        bench.json_at("2026-06-02T10:00:00+02:00", &["history", &format!("pine/{joint}"), "--all"]);
    history["readings"].as_array().unwrap().len()
}

/// Keys are edited before Enter: a wrong one is rubbed out, the cursor goes back, an older answer comes up again.
#[test]
fn an_answer_is_edited_with_real_keys() {
    let bench = shop();
    let mut terminal = Terminal::of(&bench, &["visit", "pine", "--round", "before"]);
    terminal.sees("axle-front: 12 N", 1);
    terminal.sees("> ", 1);
    // 13, rubbed out to 1, then 2: 12.
    terminal.press("13\u{7f}2\r");
    terminal.sees("recorded: tightened 12 N", 1);
    terminal.sees("wheel-front", 1);
    // Home, and a plus before the words.
    terminal.press("a scratch\u{1b}[H+ \r");
    terminal.sees("found fine (a scratch): ", 1);
    terminal.sees("tyre-front", 1);
    // The answer before, once more.
    terminal.press("\u{1b}[A\r");
    terminal.sees("found fine (a scratch): ", 2);
    terminal.press("q\r");
    assert_eq!(terminal.ended(), 3, "{}", terminal.screen());
    assert!(terminal.screen().contains("goes on from here"), "{}", terminal.screen());
    for joint in ["axle-front", "wheel-front", "tyre-front"] {
        assert_eq!(readings(&bench, joint), 1, "{joint}");
    }
}

/// Nobody who sits there is sent away for a typing error: the question is asked again with what would do.
#[test]
fn what_cannot_be_understood_is_asked_again() {
    let bench = shop();
    let mut terminal = Terminal::of(&bench, &["visit", "pine", "--round", "before"]);
    terminal.sees("> ", 1);
    terminal.press("twelve\r");
    terminal.sees("is no answer; Enter: done as set", 1);
    terminal.press("?\r");
    terminal.sees("the marking on the part;", 1);
    terminal.press("120\r");
    terminal.sees("once more to keep it", 1);
    terminal.press("12\r");
    terminal.sees("recorded: tightened 12 N", 1);
    terminal.press("\r");
    terminal.sees("nothing was set; + is fine", 1);
    terminal.press("Q\r");
    assert_eq!(terminal.ended(), 3);
    assert_eq!((readings(&bench, "axle-front"), readings(&bench, "wheel-front")), (1, 0));
}

/// Breaking off in any way keeps what was answered, and nothing else.
#[test]
fn breaking_off_loses_and_doubles_nothing() {
    let bench = shop();
    let ways = [("Ctrl-C", Some("1\u{3}")), ("Ctrl-D", Some("\u{4}")), ("kill", None)];
    for (hour, (way, keys)) in ways.into_iter().enumerate() {
        let now = format!("2026-06-01T1{hour}:00:00+02:00");
        let mut terminal = Terminal::at(&bench, &now, &["visit", "pine", "--round", "before", "--anew"]);
        terminal.sees("> ", 1);
        terminal.press("\r");
        terminal.sees("wheel-front", 1);
        terminal.sees("> ", 2);
        if let Some(keys) = keys {
            terminal.press(keys);
            assert_eq!(terminal.ended(), 3, "{way}: {}", terminal.screen());
            assert!(terminal.screen().contains("left; "), "{way}: {}", terminal.screen());
        } else {
            terminal.press("+");
            terminal.child.kill().unwrap();
            terminal.ended();
        }
        let mut again = Terminal::at(&bench, &now, &["visit", "pine"]);
        again.sees("going on with the before round", 1);
        again.sees("wheel-front", 1);
        assert!(!again.screen().contains("axle-front"), "{way}: {}", again.screen());
        again.press("q\r");
        again.ended();
    }
    assert_eq!((readings(&bench, "axle-front"), readings(&bench, "wheel-front")), (3, 0));
}

/// A window that is made narrower while somebody types loses nothing of the line.
#[test]
fn a_window_that_changes_keeps_the_line() {
    let bench = shop();
    let mut terminal = Terminal::of(&bench, &["visit", "pine", "--round", "before"]);
    terminal.sees("> ", 1);
    terminal.press("m 10-");
    terminal.master.resize(size(44)).unwrap();
    terminal.press("13 N·m\r");
    terminal.sees("axle-front: 10–13 N", 1);
    terminal.press("q\r");
    assert_eq!(terminal.ended(), 3);
    let (_, shown) = bench.json_at(NOW, &["bike", "show", "pine"]);
    let axle =
        shown["joints"].as_array().unwrap().iter().find(|joint| joint["joint"] == "axle-front").unwrap();
    assert_eq!(axle["specified"], "10–13 N·m");
}

/// Without an answering terminal there is nothing to edit with, and no codes in what is written.
#[test]
fn a_plain_terminal_gets_plain_lines() {
    let bench = shop();
    let said = bench.piped(NOW, &["visit", "pine", "--round", "before"], "\nq\n");
    assert!(!said.err.contains('\u{1b}') && !said.out.contains('\u{1b}'), "{}", said.err);
}
