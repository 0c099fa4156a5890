//! How far a long command has come, on a terminal and nowhere else.

use std::io::{IsTerminal as _, Write as _};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// How often the line is written anew.
const PAUSE: Duration = Duration::from_millis(100);
const WIDTH: u64 = 30;

/// One line on standard error.
pub(super) struct Progress {
    shown: bool,
    read: Arc<AtomicU64>,
    size: Option<u64>,
    last: Mutex<Instant>,
}

impl Progress {
    /// Rows of a file whose bytes nobody counts.
    pub(super) fn of_rows() -> Progress {
        Progress::new(Arc::default(), None)
    }

    /// A bar for `read` bytes of `size`, where that is known.
    pub(super) fn new(read: Arc<AtomicU64>, size: Option<u64>) -> Progress {
        let shown = std::io::stderr().is_terminal();
        Progress { shown, read, size: size.filter(|size| *size > 0), last: Mutex::new(Instant::now()) }
    }

    /// Shows how far it has come, now and then.
    pub(super) fn show(&self, rows: u64) {
        if !self.shown {
            return;
        }
        let Ok(mut last) = self.last.lock() else { return };
        if last.elapsed() < PAUSE {
            return;
        }
        *last = Instant::now();
        let line = line(rows, self.read.load(Ordering::Relaxed), self.size);
        let _ = write!(std::io::stderr(), "\r{line}");
    }

    pub(super) fn clear(&self) {
        if self.shown {
            let _ = write!(std::io::stderr(), "\r{:1$}\r", "", 60);
        }
    }
}

fn line(rows: u64, read: u64, size: Option<u64>) -> String {
    let Some(size) = size else { return format!("{rows} rows") };
    let done = (read * WIDTH / size).min(WIDTH);
    let bar: String = (0..WIDTH).map(|place| if place < done { '=' } else { ' ' }).collect();
    format!("[{bar}] {:>3} %  {rows} rows", (read * 100 / size).min(100))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_fills_up() {
        assert_eq!(line(7, 0, None), "7 rows");
        assert_eq!(line(7, 50, Some(100)), format!("[{}{}]  50 %  7 rows", "=".repeat(15), " ".repeat(15)));
        assert_eq!(line(7, 101, Some(100)), format!("[{}] 100 %  7 rows", "=".repeat(30)));
    }
}
