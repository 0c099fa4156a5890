//! When a part that wears reaches its limit: the trend of its measures, as an interval of days and of riding
//! (`specs/rules.md`, "Wear").

use jiff::civil::Date;

use super::event::Ridden;
use super::expanded::STEP_SHARE;
use super::{Joint, JudgingContext, LocalInstant, Reading, TrendLine};
use crate::book::MeasuredItem;
use crate::quantity::{Against, Measure, MeasureLimit, MeasureUnit};

/// Fewest measures that can show a trend, as of re-checks.
const FEWEST: usize = 4;
/// Most measures that are looked at: the newest ones.
const MOST: usize = 50;
/// A limit that is further off than this is not foreseen; ten years (own choice).
const FORESEEN_DAYS: f64 = 3652.5;
/// The share of the wear that a measure takes back where it is one of a new part (own choice): less is how a hand holds
/// the gauge.
const TAKEN_BACK: f64 = 0.5;
/// What wears is lengths and shares; a pressure or a tension is set anew (own choice).
const WEARING: [MeasureUnit; 3] = [MeasureUnit::Millimetre, MeasureUnit::Inch, MeasureUnit::Percent];

/// When a limit is reached by the trend of the measures, at 95 %.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wear {
    pub(crate) bolt: u16,
    /// The end of the limit that is reached first.
    pub(crate) limit: Measure,
    /// Measures that the trend rests on.
    pub(crate) count: usize,
    /// The day on which it measured like a new part although nobody recorded one: the trend begins there.
    pub(crate) anew: Option<Date>,
    /// The first and the last day on which it may be reached.
    pub(crate) days: (Date, Date),
    /// The day that was asked about.
    pub(crate) today: Date,
    /// Riding from now on after which it may be reached, where rides are known: hours.
    pub(crate) hours: Option<(f64, f64)>,
    /// The same in km.
    pub(crate) km: Option<(f64, f64)>,
}

/// The trend of the measures of one bolt, newest first, towards the limits that count for it; none where there is no trend,
/// a limit is passed already, or is too far off to be foreseen.
pub(super) fn wear(
    joint: &Joint,
    bolt: u16,
    newest_first: &[&Reading],
    judging: &JudgingContext<'_>,
) -> Option<Wear> {
    let mut limits = joint.measure_limits(judging.workshop.items.get(&joint.entry));
    let unit = limits.first()?.unit().filter(|unit| WEARING.contains(unit))?;
    let mut series = series(newest_first, unit);
    let anew = like_new(&series, wears_down(&limits, unit));
    series.truncate(anew.map_or(series.len(), |index| index + 1));
    let (&(_, newest), &(first, _)) = series.first().zip(series.last())?;
    // Where makers differ, the next limit that is not passed.
    limits.retain(|limit| limit.compare(newest) == Against::Within);
    if series.len() < FEWEST || limits.is_empty() {
        return None;
    }
    let blur = series.iter().map(|(_, measure)| measure.step()).fold(0.0, f64::max) * STEP_SHARE;
    let now = judging.workshop.now;
    let line = |place: &dyn Fn(LocalInstant) -> f64| {
        let points: Vec<(f64, f64)> =
            series.iter().map(|(at, measure)| (place(*at), measure.compared())).collect();
        TrendLine::through(&points, blur)
    };
    let by_day = line(&|at| at.days_since(first))?;
    let limit = nearest(&limits, by_day.slope())?;
    let reached = |line: TrendLine| line.reaching(limit.compared());
    let (from, to) = reached(by_day).filter(|(_, to)| *to < FORESEEN_DAYS)?;
    #[expect(clippy::cast_possible_truncation, reason = "ten years are some 3e11 milliseconds")]
    let day = |days: f64| first.later_by_ms((days * 86_400_000.0) as i64).date();
    // Counted back from now, which has the sums of the rides up to now.
    let ridden = |of: fn(Ridden) -> f64| {
        let place = |at: LocalInstant| -of(judging.usage.ridden(at, now));
        reached(line(&place)?).map(|(from, to)| (from.max(0.0), to.max(0.0)))
    };
    Some(Wear {
        bolt,
        limit,
        count: series.len(),
        anew: anew.map(|_| first.date()),
        days: (day(from), day(to)),
        today: now.date(),
        hours: ridden(|sums| sums.hours),
        km: ridden(|sums| sums.km),
    })
}

impl Joint {
    /// What counts for what is measured: the limit on the part, else those that the makers give; none where there is none.
    pub(crate) fn measure_limits(&self, item: Option<&MeasuredItem>) -> Vec<MeasureLimit> {
        let own = self.figures.markings.iter().find_map(|marking| marking.figure.limit());
        let of_makers = || item.into_iter().flat_map(|item| &item.limits).map(|known| known.limit).collect();
        own.map_or_else(of_makers, |own| vec![own])
    }
}

/// The measures in a unit since the part was fitted, newest first.
fn series(newest_first: &[&Reading], unit: MeasureUnit) -> Vec<(LocalInstant, Measure)> {
    let fitted = newest_first.iter().position(|reading| reading.begins_anew());
    // A value that stands in the line of a new part is one of the new part.
    let current =
        newest_first.get(..fitted.map_or(newest_first.len(), |index| index + 1)).unwrap_or_default();
    let measures = current.iter().filter_map(|reading| Some((reading.at, reading.measure()?)));
    measures.filter(|(_, measure)| measure.unit.compares_with(unit)).take(MOST).collect()
}

/// Whether a part gets less by wear, as its limits have it; of a length that has both, it does.
fn wears_down(limits: &[MeasureLimit], unit: MeasureUnit) -> bool {
    let has_high = limits.iter().any(|limit| limit.high.is_some());
    limits.iter().any(|limit| limit.low.is_some()) && !(has_high && unit == MeasureUnit::Percent)
}

/// Where in a series, newest first, the newest measure stands that takes back what was worn before: nothing grows, so that
/// it is one of another part. It differs by more than its uncertainty and the one's before, and by no less than a share of
/// the wear.
fn like_new(newest_first: &[(LocalInstant, Measure)], wears_down: bool) -> Option<usize> {
    let left = |measure: Measure| if wears_down { measure.compared() } else { -measure.compared() };
    let mut found = None;
    let mut most = f64::NEG_INFINITY;
    for (index, pair) in newest_first.windows(2).enumerate().rev() {
        let [(_, newer), (_, older)] = *pair else { continue };
        most = most.max(left(older));
        let (gained, worn) = (left(newer) - left(older), most - left(older));
        let uncertainty = 2.0 * STEP_SHARE * newer.step().hypot(older.step());
        if gained > uncertainty && gained >= TAKEN_BACK * worn {
            (found, most) = (Some(index), f64::NEG_INFINITY);
        }
    }
    found
}

/// Of the ends towards which a slope goes, the one that is reached first.
fn nearest(limits: &[MeasureLimit], slope: f64) -> Option<Measure> {
    let by_value = |a: &Measure, b: &Measure| a.compared().total_cmp(&b.compared());
    if slope < 0.0 {
        limits.iter().filter_map(|limit| limit.low).max_by(by_value)
    } else {
        limits.iter().filter_map(|limit| limit.high).min_by(by_value)
    }
}

#[cfg(test)]
#[path = "wear_tests.rs"]
mod tests;
