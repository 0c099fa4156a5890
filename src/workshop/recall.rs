//! Looking back: what was read with a wrench, of an entry, by a person, in a period; which of it is in doubt.

use std::cmp::Reverse;
use std::collections::HashSet;

use jiff::civil::Date;

use super::{Joint, LocalInstant, Logged, Reading, State, WorkshopSnapshot};
use crate::book::Hand;
use crate::conformity::{Doubt, Uncalibrated};
use crate::quantity::TorqueUnit;
use crate::wrench::{Line, Use, Wrench};

/// So many readings of a bolt are shown, the newest, where nobody asks for all.
const SHOWN_OF_A_BOLT: usize = 20;

/// What is asked for; all of it has to be so.
#[derive(Debug, Clone, Default)]
pub struct LookBack {
    pub wrench: Option<String>,
    pub entry: Option<String>,
    pub by: Option<String>,
    /// Number of the bicycle.
    pub bicycle: Option<i64>,
    /// Name of the joint, on whichever bicycle.
    pub joint: Option<String>,
    pub bolt: Option<u16>,
    /// The first day.
    pub since: Option<Date>,
    /// The last day.
    pub until: Option<Date>,
}

/// A reading that was looked up, and where it stands now.
#[derive(Debug, Clone)]
pub struct Recalled {
    pub logged: Logged,
    /// Number of its joint.
    pub joint: i64,
    /// The place of its joint on the way round the bicycle.
    pub order: u16,
    /// Whether it was struck, rather than corrected.
    pub struck: bool,
    /// Why its wrench is not believed; nothing where it is.
    pub doubts: Vec<Doubt>,
    /// The unit of the scale of its wrench.
    pub unit: TorqueUnit,
    /// What its joint is said to be today; none where it was taken off.
    pub now: Option<State>,
    /// When its bicycle was retired, if it was.
    pub retired: Option<LocalInstant>,
}

impl Recalled {
    /// Its joint and its line.
    pub(crate) fn told(&self) -> (i64, &Logged) {
        (self.joint, &self.logged)
    }

    /// Whether a failed calibration of that day casts doubt on it.
    pub(crate) fn is_doubted_by(&self, failed_on: Date) -> bool {
        self.doubts.iter().any(|doubt| match doubt {
            Doubt::FailedLater { failed, .. } => *failed == failed_on,
            Doubt::Uncalibrated(Uncalibrated::FailedOn(on)) => *on == failed_on,
            _ => false,
        })
    }
}

/// How many lines are not shown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct NotShown {
    /// Older readings of bolts of which newer ones are shown.
    pub older: usize,
    /// Lines that were corrected or struck, or strike others.
    pub taken_back: usize,
}

impl NotShown {
    /// Takes away all but the newest readings of each bolt that count; `told` gives the joint of a reading and its line.
    pub(crate) fn cut<T>(readings: &mut Vec<T>, told: impl Fn(&T) -> (i64, &Logged)) -> NotShown {
        let NotShown { taken_back, .. } = NotShown::taken_back(readings, &told);
        NotShown { older: keep_newest(readings, SHOWN_OF_A_BOLT, told), taken_back }
    }

    /// Takes away what does not count.
    pub(crate) fn taken_back<T>(readings: &mut Vec<T>, told: impl Fn(&T) -> (i64, &Logged)) -> NotShown {
        let before = readings.len();
        readings.retain(|one| counts(told(one).1));
        NotShown { taken_back: before - readings.len(), older: 0 }
    }
}

/// Whether a line counts: it was neither corrected nor struck, and strikes nothing itself.
fn counts(logged: &Logged) -> bool {
    logged.corrected_by.is_none() && logged.reading.strikes().is_none()
}

/// How a wrench was used for a reading of the workshop book.
pub(crate) fn use_for(reading: &Reading, left_hand_thread: bool) -> Use<'static> {
    Use {
        line: Some(Line { instant: reading.at.instant(), number: reading.id }),
        left_hand_thread,
        ..Use::on(reading.at.date())
    }
}

/// What casts doubt on a torque of a joint by its wrench, as it is judged in the verdict on the joint. What counts no
/// more is not in doubt.
pub(crate) fn doubts(logged: &Logged, joint: &Joint, workshop: &WorkshopSnapshot) -> Vec<Doubt> {
    let reading = &logged.reading;
    let wrench = reading.wrench.as_ref().filter(|_| counts(logged));
    let wrench: Option<&Wrench> = wrench.and_then(|name| workshop.wrenches.get(name));
    let (Some(wrench), Some(torque)) = (wrench, reading.torque()) else {
        return Vec::new();
    };
    wrench.doubts(torque, reading.kind, &use_for(reading, joint.turning(workshop) == Hand::Left))
}

/// Takes away all but the newest readings of each bolt, and says how many those were; `told` gives the joint of a reading
/// and its line. The rest stays in its order.
fn keep_newest<T>(readings: &mut Vec<T>, most: usize, told: impl Fn(&T) -> (i64, &Logged)) -> usize {
    let place = |one: &T| {
        let (joint, Logged { reading, .. }) = told(one);
        (joint, reading.bolt, Reverse((reading.at, reading.id)))
    };
    let mut places: Vec<_> =
        readings.iter().map(place).enumerate().map(|(index, place)| (place, index)).collect();
    places.sort_unstable();
    let of_one_bolt = places.chunk_by(|(a, _), (b, _)| (a.0, a.1) == (b.0, b.1));
    let older: HashSet<usize> =
        of_one_bolt.flat_map(|bolt| bolt.iter().skip(most)).map(|(_, index)| *index).collect();
    let mut index = 0..;
    readings.retain(|_| index.next().is_none_or(|index| !older.contains(&index)));
    older.len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::Kind;
    use jiff::civil::date;

    fn blank() -> Logged {
        Logged {
            bicycle: String::new(),
            joint: String::new(),
            entry: String::new(),
            reading: Reading::new(LocalInstant::BLANK, Kind::Tightened),
            corrected_by: None,
            recorded: LocalInstant::BLANK,
            removed: false,
        }
    }

    /// What was written down last may have been read first: the newest of a bolt is the one that was read last, of one
    /// moment the one of the greatest number.
    #[test]
    fn the_newest_readings_of_a_bolt_are_those_read_last() {
        let line = |id, bolt, day: &str| {
            let at = LocalInstant::parse(day, &jiff::tz::TimeZone::UTC).unwrap();
            let reading = Reading { id, bolt, ..Reading::new(at, Kind::Tightened) };
            Logged { reading, ..blank() }
        };
        let kept = |most| {
            let mut lines = vec![
                line(1, 1, "2026-05-03"),
                line(2, 1, "2026-05-01"),
                line(3, 2, "2026-04-01"),
                line(4, 1, "2026-05-03"),
            ];
            let older = keep_newest(&mut lines, most, |line| (1, line));
            (older, lines.iter().map(|line| line.reading.id).collect::<Vec<_>>())
        };
        assert_eq!(kept(2), (1, vec![1, 3, 4]));
        assert_eq!(kept(1), (2, vec![3, 4]));
        assert_eq!(kept(3), (0, vec![1, 2, 3, 4]));
    }

    /// What was read before a calibration that failed, and on its day or after it, is doubted by that one alone.
    #[test]
    fn a_failed_calibration_doubts_what_it_casts_doubt_on_and_no_more() {
        let (failed, other) = (date(2026, 6, 10), date(2026, 6, 20));
        let of = |doubts: &[Doubt]| Recalled {
            logged: blank(),
            joint: 1,
            order: 1,
            struck: false,
            doubts: doubts.to_vec(),
            unit: TorqueUnit::NewtonMetre,
            now: None,
            retired: None,
        };
        let last_good = Some(date(2026, 5, 1));
        let before = |failed| Doubt::FailedLater { last_good, failed };
        let after = |on| Doubt::Uncalibrated(Uncalibrated::FailedOn(on));
        let lapsed = Doubt::Uncalibrated(Uncalibrated::Lapsed { stood_until: failed });
        for (doubts, by_failed, by_other) in [
            (&[before(failed)][..], true, false),
            (&[after(failed)], true, false),
            (&[before(other)], false, true),
            (&[after(other)], false, true),
            (&[lapsed, before(other)], false, true),
            (&[lapsed], false, false),
            (&[Doubt::WrongDirection], false, false),
            (&[], false, false),
        ] {
            let found = of(doubts);
            assert_eq!(
                (found.is_doubted_by(failed), found.is_doubted_by(other)),
                (by_failed, by_other),
                "{doubts:?}"
            );
        }
    }
}
