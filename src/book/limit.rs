//! `specs/limits.csv`: limits of measured checks that are no torques, by source; an item with all its limits.

use super::Grade;
use super::sheet::{Cell, Fields, sheet};
use crate::quantity::{Against, Measure, MeasureLimit, MeasureUnit};

sheet! {
    /// `specs/limits.csv`.
    pub static LIMITS: LimitCells = "limits" {
        item, name, measured, variant, allowed, plausible, source, locator, grade,
    } later ["plausible"]
}

/// One limit of an item, from one source.
#[derive(Debug, Clone, PartialEq)]
pub struct SourcedLimit {
    /// For which hardware.
    pub variant: String,
    /// What exactly is measured, in its source's sense.
    pub measured: String,
    pub(crate) limit: MeasureLimit,
    /// What a gauge can show at all on such a part; anything else is a slip. Own choice.
    pub plausible: Option<MeasureLimit>,
    pub(crate) source: String,
    pub(crate) locator: String,
    pub(crate) grade: Grade,
}

/// What is measured, with every limit that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredItem {
    /// Key, such as `rotor-thickness`.
    pub item: String,
    pub(crate) name: String,
    pub(crate) limits: Vec<SourcedLimit>,
}

/// What the limits together say of a value.
#[derive(Debug, Clone, PartialEq)]
pub enum MeasuredVerdict {
    Within(MeasureLimit, String),
    /// Outside every limit, on the low or the high side.
    Outside(MeasureLimit, String, Against),
    /// Within some, outside others.
    MakersDiffer(Vec<(MeasureLimit, String)>),
    /// No limit can be compared with it.
    NoLimit,
}

impl SourcedLimit {
    /// A limit from its row, with the item's key and name.
    pub(crate) fn from_cells(
        cells: &LimitCells<'_>,
        fields: &mut Fields<'_>,
    ) -> Option<(String, String, SourcedLimit)> {
        let (item, name) = (fields.key(cells.item), fields.filled(cells.name));
        let measured = fields.filled(cells.measured);
        let grade = fields.choice(cells.grade, Grade::WORDS);
        let mut read = |cell: Cell<'_>, fix| {
            MeasureLimit::parse(cell.text).map_err(|error| fields.report(cell, error.to_string(), fix))
        };
        let limit = read(cells.allowed, "give it as its source does");
        let plausible = if cells.plausible.is_blank() {
            Ok(None)
        } else {
            read(cells.plausible, "give both ends, such as 0.5-3 mm").map(Some)
        };
        let limit = SourcedLimit {
            variant: cells.variant.owned(),
            measured,
            limit: limit.ok()?,
            plausible: plausible.ok()?,
            source: cells.source.owned(),
            locator: cells.locator.owned(),
            grade: grade?,
        };
        Some((item, name, limit))
    }
}

impl MeasuredItem {
    /// The unit in which the item is measured.
    pub fn unit(&self) -> Option<MeasureUnit> {
        self.limits.first().and_then(|limit| limit.limit.unit())
    }

    /// What exactly is measured, each sense once.
    pub(crate) fn measured(&self) -> String {
        let mut senses: Vec<&str> = self.limits.iter().map(|limit| limit.measured.as_str()).collect();
        senses.dedup();
        senses.join("; or ")
    }

    /// Its limits with the hardware and grade of each.
    pub(crate) fn limits_text(&self) -> String {
        let limit = |known: &SourcedLimit| {
            let grade = known.grade.word();
            match known.variant.as_str() {
                "any" => format!("{} ({grade})", known.limit),
                variant => format!("{} ({variant}; {grade})", known.limit),
            }
        };
        let limits = self.limits.iter().map(limit).collect::<Vec<_>>().join(", ");
        format!("{}: {limits}; the figure on the part comes first", self.measured())
    }

    /// The range in which values are plausible, where this one is not: no part of the kind measures that.
    pub(crate) fn implausible(&self, value: Measure) -> Option<MeasureLimit> {
        let outside = |range: &MeasureLimit| matches!(range.compare(value), Against::Below | Against::Above);
        let ranges = || self.limits.iter().map(|known| known.plausible);
        // A book that says nothing of what is plausible refuses nothing.
        if ranges().all(|range| range.is_some_and(|range| outside(&range))) { ranges().next()? } else { None }
    }

    /// What the part's own limit, or else the known ones, say of a value.
    pub fn judge(&self, own: Option<MeasureLimit>, value: Measure) -> MeasuredVerdict {
        let known: Vec<(MeasureLimit, String)> = match own {
            Some(own) => vec![(own, "figure on the part".to_owned())],
            None => self
                .limits
                .iter()
                .map(|known| (known.limit, format!("{}, {}", known.variant, known.source)))
                .collect(),
        };
        let sides: Vec<Against> = known.iter().map(|(limit, _)| limit.compare(value)).collect();
        if known.is_empty() || sides.contains(&Against::OtherUnit) {
            return MeasuredVerdict::NoLimit;
        }
        let all = |side| sides.iter().all(|found| *found == side);
        // The one that decides: the strictest that it keeps, or the laxest that it still misses.
        let nearest = known.iter().min_by(|a, b| a.0.distance(value).total_cmp(&b.0.distance(value)));
        let Some((limit, word)) = nearest.cloned() else { return MeasuredVerdict::NoLimit };
        if all(Against::Within) {
            MeasuredVerdict::Within(limit, word)
        } else if all(Against::Below) || all(Against::Above) {
            MeasuredVerdict::Outside(limit, word, sides[0])
        } else {
            MeasuredVerdict::MakersDiffer(known)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item(limits: &[&str]) -> MeasuredItem {
        let limit = |text: &&str| SourcedLimit {
            variant: String::new(),
            measured: "thickness".into(),
            limit: MeasureLimit::parse(text).unwrap(),
            plausible: MeasureLimit::parse("0.5-3 mm").ok(),
            source: "test".into(),
            locator: String::new(),
            grade: Grade::Published,
        };
        MeasuredItem {
            item: "rotor".into(),
            name: "Rotor".into(),
            limits: limits.iter().map(limit).collect(),
        }
    }

    fn mm(value: &str) -> Measure {
        Measure::parse(value, Some(MeasureUnit::Millimetre)).unwrap()
    }

    #[test]
    fn where_makers_differ_only_a_value_outside_all_limits_is_bad() {
        let rotor = item(&["min 1.5 mm", "min 1.8 mm"]);
        let names = |limit: MeasureLimit, expected| assert_eq!(limit.to_string(), expected);
        let MeasuredVerdict::Within(strictest, _) = rotor.judge(None, mm("1.8")) else { panic!() };
        names(strictest, "min 1.8 mm");
        assert!(matches!(rotor.judge(None, mm("1.6")), MeasuredVerdict::MakersDiffer(_)));
        let MeasuredVerdict::Outside(laxest, _, Against::Below) = rotor.judge(None, mm("1.4")) else {
            panic!()
        };
        names(laxest, "min 1.5 mm");
    }

    #[test]
    fn what_no_part_measures_is_told_with_what_one_does() {
        let rotor = item(&["min 1.5 mm", "min 1.8 mm"]);
        let refused = |value| rotor.implausible(mm(value)).map(|range| range.to_string());
        assert_eq!(refused("5").as_deref(), Some("0.5 mm to 3 mm"));
        assert_eq!(refused("0.4").as_deref(), Some("0.5 mm to 3 mm"));
        assert_eq!(["0.5", "1.4", "3"].map(refused), [None, None, None], "the ends are plausible");
        let inches = Measure::parse("0.197 in", None).unwrap();
        assert!(rotor.implausible(inches).is_some(), "5.0 mm in another unit");
        assert!(item(&[]).implausible(mm("5")).is_none());
    }

    #[test]
    fn what_is_measured_is_told_once_for_each_sense() {
        let mut rotor = item(&["min 1.5 mm", "min 1.8 mm"]);
        assert_eq!(rotor.measured(), "thickness");
        rotor.limits[1].measured = "thinnest point".into();
        assert_eq!(rotor.measured(), "thickness; or thinnest point");
    }

    #[test]
    fn the_figure_on_the_part_comes_first() {
        let rotor = item(&["min 1.5 mm", "min 1.8 mm"]);
        let own = Some(MeasureLimit::parse("min 1.55 mm").unwrap());
        assert!(matches!(rotor.judge(own, mm("1.6")), MeasuredVerdict::Within(..)));
        assert!(matches!(rotor.judge(own, mm("1.5")), MeasuredVerdict::Outside(..)));
        assert!(matches!(item(&[]).judge(None, mm("1.5")), MeasuredVerdict::NoLimit));
    }
}
