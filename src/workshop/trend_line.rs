//! A straight line through measured points, and where it reaches a level: an interval, not a point.
//!
//! Least squares, then every place at which the true line may cross the level, at 95 %: E. C. Fieller, "Some problems in
//! interval estimation", J. R. Statist. Soc. B 16 (1954), 175–185; as inverse estimation in N. R. Draper and H. Smith,
//! Applied Regression Analysis, 3rd ed. (1998), 3.2. Checked in `tests/published/trend_line.csv`.

use std::f64::consts::{FRAC_2_PI, FRAC_PI_2};

/// The share of intervals that hold the true place.
const CONFIDENCE: f64 = 0.95;

/// A line through points, with how well they hold it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrendLine {
    /// How many points are more than the line needs.
    freedom: u32,
    count: f64,
    centre: (f64, f64),
    slope: f64,
    /// Sum of squares of the distances from the centre, along x.
    spread: f64,
    /// Standard deviation of the points about the line.
    scatter: f64,
}

impl TrendLine {
    /// The line through three points or more that do not all stand at one place; none through fewer. `least_scatter` is
    /// what is known to blur each point, however well they agree: that of a scale read in steps of d is d/√12 (JCGM
    /// 100:2008, F.2.2.1).
    #[must_use]
    pub fn through(points: &[(f64, f64)], least_scatter: f64) -> Option<TrendLine> {
        let freedom = u32::try_from(points.len()).ok()?.checked_sub(2).filter(|freedom| *freedom > 0)?;
        let count = f64::from(freedom + 2);
        let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
        let centre = (mean(|point| point.0), mean(|point| point.1));
        let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
            points.iter().map(|(x, y)| of(x - centre.0, y - centre.1)).sum()
        };
        let spread = sum(&|x, _| x * x);
        if spread <= 0.0 {
            return None;
        }
        let slope = sum(&|x, y| x * y) / spread;
        let left = sum(&|x, y| (y - slope * x).powi(2)) / f64::from(freedom);
        Some(TrendLine { freedom, count, centre, slope, spread, scatter: left.sqrt().max(least_scatter) })
    }

    /// How much y changes with x.
    #[must_use]
    pub fn slope(&self) -> f64 {
        self.slope
    }

    /// Between which x the true line reaches `level`; none where the points do not show that it rises or falls at all.
    ///
    /// ```
    /// use evenclamp::TrendLine;
    /// // A pad of 4.0 mm that loses a tenth of a millimetre every ten days, read to the tenth.
    /// let points = [(0.0, 4.0), (10.0, 3.9), (20.0, 3.8), (30.0, 3.7), (40.0, 3.6)];
    /// let line = TrendLine::through(&points, 0.1 / 12f64.sqrt()).unwrap();
    /// let (from, to) = line.reaching(3.0).unwrap();
    /// assert!(from < 100.0 && 100.0 < to);
    /// ```
    #[must_use]
    pub fn reaching(&self, level: f64) -> Option<(f64, f64)> {
        let blur = student(self.freedom) * self.scatter;
        let rise = level - self.centre.1;
        // The x for which (slope·x − rise)² is at most blur²·(1/count + x²/spread), counted from the centre.
        let steep = self.slope * self.slope - blur * blur / self.spread;
        if steep <= 0.0 {
            return None;
        }
        let half = blur * (steep / self.count + rise * rise / self.spread).sqrt();
        let at = |side: f64| self.centre.0 + (self.slope * rise + side * half) / steep;
        Some((at(-1.0), at(1.0)))
    }
}

/// How many standard deviations on both sides hold 95 % of Student's t with so many degrees of freedom, by halving.
fn student(freedom: u32) -> f64 {
    let (mut low, mut high) = (0.0, FRAC_PI_2);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if within(middle, freedom) < CONFIDENCE { low = middle } else { high = middle }
    }
    f64::from(freedom).sqrt() * low.tan()
}

/// The chance that Student's t lies within ±√freedom·tan(angle): M. Abramowitz and I. A. Stegun, Handbook of Mathematical
/// Functions (1964), 26.7.3 and 26.7.4.
fn within(angle: f64, freedom: u32) -> f64 {
    let (sine, cosine) = angle.sin_cos();
    let is_odd = !freedom.is_multiple_of(2);
    let mut term = match (is_odd, freedom) {
        (true, 1) => 0.0,
        (true, _) => cosine,
        (false, _) => 1.0,
    };
    let (mut sum, mut factor) = (term, if is_odd { 3 } else { 2 });
    while factor + 2 <= freedom {
        term *= f64::from(factor - 1) / f64::from(factor) * cosine * cosine;
        sum += term;
        factor += 2;
    }
    if is_odd { FRAC_2_PI * (angle + sine * sum) } else { sine * sum }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Student's table as every handbook has it (NIST/SEMATECH e-Handbook, 1.3.6.7.2, from memory), with the digits of
    /// scipy 1.17.1, `stats.t.ppf(0.975, df)`.
    #[test]
    fn the_quantiles_are_those_of_the_table() {
        for (freedom, printed, scipy) in [
            (1, 12.706, 12.706204736174694),
            (2, 4.303, 4.302652729749462),
            (3, 3.182, 3.1824463052837078),
            (4, 2.776, 2.7764451051977934),
            (5, 2.571, 2.5705818356363146),
            (8, 2.306, 2.306004135204166),
            (10, 2.228, 2.228138851986274),
            (30, 2.042, 2.0422724563012378),
            (58, 2.002, 2.0017174841452356),
            (100, 1.984, 1.9839715185235518),
        ] {
            let got = student(freedom);
            assert!((got - scipy).abs() < 1e-9 && (got - printed).abs() <= 5e-4, "{freedom}: {got}");
        }
    }

    #[test]
    fn too_few_points_one_place_and_no_trend_reach_nothing() {
        assert!(TrendLine::through(&[(0.0, 4.0), (10.0, 3.0)], 0.0).is_none());
        assert!(TrendLine::through(&[(5.0, 4.0), (5.0, 3.0), (5.0, 2.0)], 0.0).is_none());
        let noise = [(0.0, 4.0), (20.0, 3.1), (50.0, 3.9), (60.0, 3.0)];
        assert_eq!(TrendLine::through(&noise, 0.0).unwrap().reaching(2.5), None);
    }

    #[test]
    fn what_blurs_every_point_keeps_perfect_points_from_giving_one_day() {
        let points = [(0.0, 3.0), (10.0, 2.9), (20.0, 2.8), (30.0, 2.7)];
        let width = |scatter| {
            let (from, to) = TrendLine::through(&points, scatter).unwrap().reaching(2.0).unwrap();
            to - from
        };
        assert!(width(0.0) < 1e-6 && width(0.1 / 12f64.sqrt()) > 30.0);
    }

    proptest! {
        /// Of lines with known scatter about 95 of 100 intervals hold the true place; here each holds its estimate, and
        /// shifting or stretching x does the same to the interval.
        #[test]
        fn the_interval_goes_with_its_axis(
            noise in proptest::collection::vec(-0.05..0.05f64, 5..12),
            shift in -1000.0..1000.0f64,
            stretch in 0.1..10.0f64,
        ) {
            let points: Vec<(f64, f64)> =
                (0u32..).zip(&noise).map(|(at, noise)| (f64::from(at) * 10.0, 4.0 - 0.1 * f64::from(at) + noise)).collect();
            let moved: Vec<(f64, f64)> = points.iter().map(|(x, y)| (x * stretch + shift, *y)).collect();
            let (line, other) = (TrendLine::through(&points, 0.0).unwrap(), TrendLine::through(&moved, 0.0).unwrap());
            if let Some((from, to)) = line.reaching(1.0) {
                let estimate = line.centre.0 + (1.0 - line.centre.1) / line.slope;
                prop_assert!(from <= estimate && estimate <= to);
                let (low, high) = other.reaching(1.0).unwrap();
                let close = |got: f64, x: f64| (got - (x * stretch + shift)).abs() < 1e-6 * (1.0 + got.abs());
                prop_assert!(close(low, from) && close(high, to));
            }
        }
    }
}
