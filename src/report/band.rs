//! What is specified, as programs read it.

use serde::Serialize;

use crate::conformity::Limits;
use crate::quantity::{Spec, Torque, in_newton_metres};

/// Limits in N·m, and the number itself where one set value is specified; an absent end is limited by nobody.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[expect(clippy::struct_field_names, reason = "keys of JSON end in their unit")]
pub struct Band {
    pub low_nm: Option<f64>,
    pub high_nm: Option<f64>,
    pub value_nm: Option<f64>,
}

impl Band {
    /// What a specified torque allows.
    pub fn of(spec: Spec) -> Band {
        Band::of_limits(&Limits::new(spec))
    }

    /// The limits of a reading.
    pub fn of_limits(limits: &Limits) -> Band {
        let [low_nm, high_nm, value_nm] = [limits.low(), limits.high(), limits.set_value()]
            .map(|torque: Option<Torque>| torque.map(in_newton_metres));
        Band { low_nm, high_nm, value_nm }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::newton_metres as nm;

    #[test]
    fn a_set_value_keeps_its_number_beside_what_it_allows() {
        let set = Band::of(Spec::Set(nm(12.0)));
        assert_eq!(set.value_nm, Some(12.0));
        // 4 % above 10 N·m.
        assert!((set.low_nm.unwrap() - 11.52).abs() < 1e-12 && (set.high_nm.unwrap() - 12.48).abs() < 1e-12);
        let range = Band { low_nm: Some(4.0), high_nm: Some(6.0), value_nm: None };
        assert_eq!(Band::of(Spec::range_nm(4.0, 6.0)), range);
    }
}
