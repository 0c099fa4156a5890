//! What a reading is judged against.

use crate::quantity::tolerance::{at_least, more_than};
use crate::quantity::{Spec, Torque, permitted_deviation};

/// Whether a conforming wrench could hold a torque between the two, as it can hold a set value (ISO 6789-1).
pub(crate) fn leaves_room(low: Torque, high: Torque) -> bool {
    at_least(high - low, high * (2.0 * permitted_deviation(high)))
}

/// A specified torque. A range, a set value, a ceiling and a floor stay different.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    spec: Spec,
    other_side: Option<Torque>,
}

impl Limits {
    /// Limits from a specified torque.
    #[must_use]
    pub fn new(spec: Spec) -> Limits {
        Limits { spec, other_side: None }
    }

    /// A ceiling whose low side, or a floor whose high side, is known from a range or band; none for a
    /// range or set value, and where the other side leaves less than a wrench needs, as a band above the ceiling of
    /// the part does.
    pub(crate) fn with_other_side(self, other: Torque) -> Option<Limits> {
        let leaves_room = match self.spec {
            Spec::Ceiling(max) => leaves_room(other, max),
            Spec::Floor(min) => leaves_room(min, other),
            Spec::Range { .. } | Spec::Set(_) => false,
        };
        leaves_room.then_some(Limits { other_side: Some(other), ..self })
    }

    /// What is specified.
    #[must_use]
    pub fn spec(&self) -> Spec {
        self.spec
    }

    /// The lowest torque allowed, where one is known; a range from 0 has none.
    #[must_use]
    pub fn low(&self) -> Option<Torque> {
        self.spec.limits().0.or(self.other_side).filter(|low| *low > Torque::default())
    }

    /// The highest torque allowed, where one is known.
    #[must_use]
    pub fn high(&self) -> Option<Torque> {
        self.spec.limits().1.or(self.other_side)
    }

    /// The number itself, where one set value is specified.
    pub(crate) fn set_value(&self) -> Option<Torque> {
        if let Spec::Set(value) = self.spec { Some(value) } else { None }
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

    /// The least torque that serves: of a set value the value itself; none where nothing asks for any.
    pub(crate) fn least(&self) -> Option<Torque> {
        match self.spec {
            Spec::Set(value) => Some(value),
            _ => self.low(),
        }
    }

    /// What is left of the limits up to `top`; none where that is nothing. A set value stays one.
    pub(crate) fn up_to(self, top: Torque) -> Option<Limits> {
        if self.least().is_some_and(|least| more_than(least, top)) {
            return None;
        }
        if self.high().is_some_and(|high| at_least(top, high)) {
            return Some(self);
        }
        Some(match (self.spec, self.low()) {
            (Spec::Set(_), _) => self,
            (Spec::Ceiling(_), _) => Limits { spec: Spec::Ceiling(top), ..self },
            (Spec::Range { .. } | Spec::Floor(_), low) => {
                Limits::new(low.map_or(Spec::Ceiling(top), |low| Spec::Range { low, high: top }))
            }
        })
    }

    pub(crate) fn width(&self) -> Option<Torque> {
        Some(self.high()? - self.low()?)
    }

    /// Whether a torque lies within the limits, ends included, taken as if it were known exactly.
    pub(crate) fn contain(&self, torque: Torque) -> bool {
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
        let ceiling = Limits::new(Spec::Ceiling(nm(5.0)));
        assert_eq!((ceiling.low(), ceiling.high()), (None, Some(nm(5.0))));
        let floor = Limits::new(Spec::Floor(nm(12.0)));
        assert_eq!((floor.low(), floor.high()), (Some(nm(12.0)), None));
        let set = Limits::new(Spec::Set(nm(5.0)));
        assert!(set.contain(nm(5.3)) && !set.contain(nm(5.31)) && set.middle() == Some(nm(5.0)));
    }

    #[test]
    fn limits_are_cut_at_a_torque_that_must_not_be_passed() {
        let up_to = |spec, top| Limits::new(spec).up_to(nm(top)).map(|limits| limits.spec());
        let range = Spec::range_nm(4.0, 6.0);
        assert_eq!(up_to(range, 6.0), Some(range));
        assert_eq!(up_to(range, 5.0), Some(Spec::range_nm(4.0, 5.0)));
        assert_eq!(up_to(range, 3.9), None);
        assert_eq!(up_to(Spec::Set(nm(5.0)), 5.1), Some(Spec::Set(nm(5.0))));
        assert_eq!(up_to(Spec::Set(nm(5.0)), 4.9), None);
        assert_eq!(up_to(Spec::Ceiling(nm(6.0)), 5.0), Some(Spec::Ceiling(nm(5.0))));
        assert_eq!(up_to(Spec::Floor(nm(4.0)), 5.0), Some(Spec::range_nm(4.0, 5.0)));
    }

    #[test]
    fn a_ceiling_takes_a_low_side_only_below_itself() {
        let ceiling = Limits::new(Spec::Ceiling(nm(5.0)));
        let both = ceiling.with_other_side(nm(4.0)).unwrap();
        assert_eq!((both.low(), both.high(), both.spec()), (Some(nm(4.0)), Some(nm(5.0)), ceiling.spec()));
        assert_eq!(ceiling.with_other_side(nm(5.0)), None);
        // 5 N·m to 6 % either way takes 0.6 N·m.
        assert_eq!(ceiling.with_other_side(nm(4.5)), None);
        assert!(ceiling.with_other_side(nm(4.4)).is_some());
        let range = Limits::new(Spec::range_nm(4.0, 6.0));
        assert_eq!(range.with_other_side(nm(1.0)), None);
    }
}
