//! Waiting for another process that is writing: who has waited longest asks most often, so that of many writers none is
//! passed over again and again.

use std::time::{Duration, Instant};

/// How long a command waits for another one that is writing.
pub(super) const BUSY_WAIT: Duration = Duration::from_secs(30);

/// The pause of one that has just come. Longer than a write takes, so that those who came before get in between.
const LONGEST_PAUSE: Duration = Duration::from_millis(20);

/// The pause of one that has waited for [`PATIENCE`] or more.
const SHORTEST_PAUSE: Duration = Duration::from_millis(1);

/// How long it takes until one asks as often as can be.
const PATIENCE: Duration = Duration::from_secs(1);

/// The pause before asking again of one that has waited so long; none when it gives up.
fn pause_after(waited: Duration) -> Option<Duration> {
    let eagerness = waited.as_secs_f64() / PATIENCE.as_secs_f64();
    let pause = LONGEST_PAUSE.mul_f64((1.0 - eagerness).max(0.0)).max(SHORTEST_PAUSE);
    (waited < BUSY_WAIT).then_some(pause)
}

/// What SQLite asks each time that it finds the database busy, with how often it has asked before in this wait: whether
/// to try again.
pub(super) fn busy_handler() -> impl FnMut(i32) -> bool + Send + 'static {
    let mut since = Instant::now();
    move |asked| pause_when(asked, &mut since, Instant::now()).map(std::thread::sleep).is_some()
}

/// The pause of one that has asked so often in this wait, which began at `since`; none when it gives up. Every wait
/// begins anew: a connection may have been open for hours.
fn pause_when(asked: i32, since: &mut Instant, now: Instant) -> Option<Duration> {
    if asked == 0 {
        *since = now;
    }
    pause_after(now.duration_since(*since))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_has_waited_longest_asks_most_often_and_gives_up_at_last() {
        let pauses =
            [0, 250, 500, 1000, 29_999].map(|waited| pause_after(Duration::from_millis(waited)).unwrap());
        assert_eq!(pauses.map(|pause| pause.as_millis()), [20, 15, 10, 1, 1]);
        assert_eq!(pause_after(BUSY_WAIT), None);
    }

    #[test]
    fn a_wait_begins_with_its_first_question_however_long_the_connection_is_open() {
        let opened = Instant::now();
        let (mut since, began) = (opened, opened + Duration::from_hours(1));
        let mut pause = |asked, after| pause_when(asked, &mut since, began + Duration::from_millis(after));
        let pauses = [(0, 0), (1, 500), (2, 29_999), (3, 30_000)].map(|(asked, after)| pause(asked, after));
        let told = [Some(20), Some(10), Some(1), None].map(|pause| pause.map(Duration::from_millis));
        assert_eq!(pauses, told);
    }
}
