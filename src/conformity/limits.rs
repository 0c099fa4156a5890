//! What a reading is judged against, and who says so.

use crate::quantity::tolerance::{at_least, more_than};
use crate::quantity::{Spec, Torque};

/// A specified torque with its basis. A range, a set value, a ceiling and a floor stay different.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    spec: Spec,
    other_side: Option<Torque>,
    basis: String,
}

/// Limits that cannot be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LimitsError {
    /// Neither end is known.
    #[error("a range needs at least one end")]
    NoEnd,
    /// The low end lies above the high end.
    #[error("the low end lies above the high end: give the smaller torque first")]
    UpsideDown,
    /// A second limit was given for something that is not a ceiling or a floor.
    #[error("only a ceiling or a floor can be completed with the other side")]
    NotOneSided,
}

impl Limits {
    /// Limits from a specified torque; `basis` names who specifies it.
    #[must_use]
    pub fn new(spec: Spec, basis: impl Into<String>) -> Limits {
        Limits { spec, other_side: None, basis: basis.into() }
    }

    /// Limits from a band that may have lost an end: a range, a ceiling or a floor.
    ///
    /// # Errors
    /// [`LimitsError`] when there is no end at all, or the ends are the wrong way round.
    pub fn from_band(
        low: Option<Torque>,
        high: Option<Torque>,
        basis: impl Into<String>,
    ) -> Result<Limits, LimitsError> {
        let spec = match (low, high) {
            (None, None) => return Err(LimitsError::NoEnd),
            (Some(low), Some(high)) if more_than(low, high) => return Err(LimitsError::UpsideDown),
            (Some(low), Some(high)) => Spec::Range { low, high },
            (None, Some(high)) => Spec::Ceiling(high),
            (Some(low), None) => Spec::Floor(low),
        };
        Ok(Limits::new(spec, basis))
    }

    /// A ceiling whose low side, or a floor whose high side, is known from a range or band.
    ///
    /// # Errors
    /// [`LimitsError::NotOneSided`] for a range or set value; [`LimitsError::UpsideDown`] when the
    /// other side leaves nothing between, as a band above the ceiling of the part does.
    pub fn with_other_side(mut self, other: Torque) -> Result<Limits, LimitsError> {
        let leaves_room = match self.spec {
            Spec::Ceiling(max) => more_than(max, other),
            Spec::Floor(min) => more_than(other, min),
            Spec::Range { .. } | Spec::Set(_) => return Err(LimitsError::NotOneSided),
        };
        if !leaves_room {
            return Err(LimitsError::UpsideDown);
        }
        self.other_side = Some(other);
        Ok(self)
    }

    /// What is specified.
    #[must_use]
    pub fn spec(&self) -> Spec {
        self.spec
    }

    /// Who specifies it, in the caller's words.
    #[must_use]
    pub fn basis(&self) -> &str {
        &self.basis
    }

    /// The lowest torque allowed, where one is known.
    #[must_use]
    pub fn low(&self) -> Option<Torque> {
        self.spec.limits().0.or(self.other_side)
    }

    /// The highest torque allowed, where one is known.
    #[must_use]
    pub fn high(&self) -> Option<Torque> {
        self.spec.limits().1.or(self.other_side)
    }

    /// The largest torque that the limits name; decides which accuracy is assumed.
    #[must_use]
    pub fn largest(&self) -> Torque {
        let named = self.spec.largest();
        self.other_side.map_or(named, |other| named.max(other))
    }

    /// The torque halfway between two known limits.
    #[must_use]
    pub fn middle(&self) -> Option<Torque> {
        Some((self.low()? + self.high()?) / 2.0)
    }

    /// The distance between two known limits.
    #[must_use]
    pub fn width(&self) -> Option<Torque> {
        Some(self.high()? - self.low()?)
    }

    /// Whether a torque lies within the limits, ends included, taken as if it were known exactly.
    #[must_use]
    pub fn contain(&self, torque: Torque) -> bool {
        self.low().is_none_or(|low| at_least(torque, low))
            && self.high().is_none_or(|high| at_least(high, torque))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;

    #[test]
    fn the_four_forms_stay_different() {
        let ceiling = Limits::new(Spec::Ceiling(nm(5.0)), "marking");
        assert_eq!((ceiling.low(), ceiling.high()), (None, Some(nm(5.0))));
        let floor = Limits::new(Spec::Floor(nm(12.0)), "maker");
        assert_eq!((floor.low(), floor.high()), (Some(nm(12.0)), None));
        let set = Limits::new(Spec::Set(nm(5.0)), "maker");
        assert!(set.contain(nm(5.3)) && !set.contain(nm(5.31)) && set.middle() == Some(nm(5.0)));
        assert_eq!(set.basis(), "maker");
    }

    #[test]
    fn a_band_may_have_lost_an_end() {
        let band = |low, high| Limits::from_band(low, high, "band").map(|limits| limits.spec());
        assert_eq!(band(Some(nm(4.0)), Some(nm(6.0))), Ok(Spec::range_nm(4.0, 6.0)));
        assert_eq!(band(None, Some(nm(6.0))), Ok(Spec::Ceiling(nm(6.0))));
        assert_eq!(band(Some(nm(4.0)), None), Ok(Spec::Floor(nm(4.0))));
        assert_eq!(band(None, None), Err(LimitsError::NoEnd));
        assert_eq!(band(Some(nm(6.0)), Some(nm(4.0))), Err(LimitsError::UpsideDown));
    }

    #[test]
    fn a_ceiling_takes_a_low_side_only_below_itself() {
        let ceiling = Limits::new(Spec::Ceiling(nm(5.0)), "marking");
        let both = ceiling.clone().with_other_side(nm(4.0)).unwrap();
        assert_eq!((both.low(), both.high(), both.spec()), (Some(nm(4.0)), Some(nm(5.0)), ceiling.spec()));
        assert_eq!(ceiling.with_other_side(nm(5.0)), Err(LimitsError::UpsideDown));
        let range = Limits::new(Spec::range_nm(4.0, 6.0), "band");
        assert_eq!(range.with_other_side(nm(1.0)), Err(LimitsError::NotOneSided));
    }
}
