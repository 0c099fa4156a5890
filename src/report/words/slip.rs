//! Units that were perhaps mixed up, in words. They are suspicions to show, never corrections.

use crate::conformity::slip::{MixUp, Slip};
use crate::quantity::TorqueUnit;
use crate::report::figure::significant_text;

/// The suspicion, torques shown in `shown` to three significant digits.
pub fn slip_text(slip: Slip, shown: TorqueUnit) -> String {
    let three_digits = |torque, unit| significant_text(torque, unit, 3);
    let Slip { reading, units: MixUp { meant: unit, scale }, meant } = slip;
    match scale {
        None => {
            let decimals = usize::from(reading.number.decimals);
            let number = reading.number.value;
            if unit == shown {
                return format!("perhaps {number:.decimals$} {unit} was meant");
            }
            format!("{number:.decimals$} {unit} would be {} {shown}", three_digits(meant, shown))
        }
        Some(scale) => {
            let meant = slip.figure();
            let figure = three_digits(meant, unit);
            let applied = three_digits(scale.of(unit.value_of(meant)), shown);
            format!("{figure} meant in {unit} but set on a {scale} scale gives {applied} {shown}")
        }
    }
}

/// The suspicion where the figures stand beside it.
pub fn mix_up_text(mix_up: MixUp) -> String {
    match mix_up {
        MixUp { meant, scale: None } => format!("perhaps {meant} was meant"),
        MixUp { meant, scale: Some(scale) } => {
            format!("perhaps {meant} was meant but set on a {scale} scale")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conformity::{Label, Limits, slip};
    use crate::quantity::{Spec, parse_reading};

    fn first(low: f64, high: f64, reading: &str) -> Slip {
        let limits = Limits::new(Spec::range_nm(low, high));
        slip::suspect(&limits, parse_reading(reading).unwrap(), Label::High)[0]
    }

    #[test]
    fn a_slip_names_what_was_logged_and_what_it_would_be() {
        let slip = first(4.0, 6.0, "44 N·m");
        assert_eq!(slip_text(slip, TorqueUnit::NewtonMetre), "44 lbf·in would be 4.97 N·m");
        assert_eq!(slip_text(slip, TorqueUnit::PoundForceInch), "perhaps 44 lbf·in was meant");
        assert_eq!(mix_up_text(slip.units), "perhaps lbf·in was meant");
    }

    #[test]
    fn a_wrong_scale_names_figure_unit_scale_and_what_the_bolt_got() {
        let slip = first(4.9, 5.1, "6.8 N·m");
        let text = "5.00 meant in N·m but set on a lbf·ft scale gives 6.78 N·m";
        assert_eq!(slip_text(slip, TorqueUnit::NewtonMetre), text);
        assert_eq!(mix_up_text(slip.units), "perhaps N·m was meant but set on a lbf·ft scale");
    }
}
