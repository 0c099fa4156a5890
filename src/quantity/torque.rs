//! Torque units: the exact ones of the trade, over `uom`'s SI torque.
//!
//! The factors are products of exactly defined base factors (NIST SP 811 (2008), App. B: inch
//! 0.0254 m, foot 0.3048 m, pound 0.45359237 kg, standard gravity 9.80665 m/s²). `uom`'s own
//! pound-force and ounce-force are rounded to seven digits, so they are not used.

use std::fmt;

pub use uom::si::f64::Torque;

use super::UnitError;
use super::spelling;

/// Exact units that `uom` lacks or rounds, by their factor to N·m.
mod exact {
    unit! {
        system: uom::si;
        quantity: uom::si::torque;

        @centinewton_metre: 0.01; "cN·m", "centinewton metre", "centinewton metres";
        @decinewton_metre: 0.1; "dN·m", "decinewton metre", "decinewton metres";
        @pound_force_inch: 0.1129848290276167; "lbf·in", "pound-force inch", "pound-force inches";
        @pound_force_foot: 1.3558179483314004; "lbf·ft", "pound-force foot", "pound-force feet";
        @ounce_force_inch: 0.00706155181422604375; "ozf·in", "ounce-force inch", "ounce-force inches";
        @ounce_force_foot: 0.084738621770712525; "ozf·ft", "ounce-force foot", "ounce-force feet";
        @kilogram_force_metre: 9.80665; "kgf·m", "kilogram-force metre", "kilogram-force metres";
        @kilogram_force_centimetre: 0.0980665; "kgf·cm", "kilogram-force centimetre", "kilogram-force centimetres";
        @gram_force_centimetre: 0.0000980665; "gf·cm", "gram-force centimetre", "gram-force centimetres";
        @dyne_centimetre: 0.0000001; "dyn·cm", "dyne centimetre", "dyne centimetres";
        @poundal_foot: 0.0421401100938048; "pdl·ft", "poundal foot", "poundal feet";
    }
}

macro_rules! torque_units {
    ($($variant:ident = $unit:path, $symbol:literal;)+) => {
        /// A unit of torque that the tool reads and prints.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[non_exhaustive]
        pub enum TorqueUnit {
            $(#[doc = $symbol] $variant,)+
        }

        impl TorqueUnit {
            /// Every unit, SI first, in the order in which conversions are listed.
            pub const ALL: &[TorqueUnit] = &[$(TorqueUnit::$variant),+];

            /// The symbol that the tool prints, such as `N·m`.
            #[must_use]
            pub fn symbol(self) -> &'static str {
                match self { $(TorqueUnit::$variant => $symbol,)+ }
            }

            /// The torque of `value` in this unit.
            #[must_use]
            pub fn of(self, value: f64) -> Torque {
                match self { $(TorqueUnit::$variant => Torque::new::<$unit>(value),)+ }
            }

            /// The number that stands for `torque` in this unit, unrounded.
            #[must_use]
            pub fn value_of(self, torque: Torque) -> f64 {
                match self { $(TorqueUnit::$variant => torque.get::<$unit>(),)+ }
            }
        }
    };
}

torque_units! {
    NewtonMetre = uom::si::torque::newton_meter, "N·m";
    NewtonCentimetre = uom::si::torque::newton_centimeter, "N·cm";
    CentinewtonMetre = exact::centinewton_metre, "cN·m";
    DecinewtonMetre = exact::decinewton_metre, "dN·m";
    DecanewtonMetre = uom::si::torque::decanewton_meter, "daN·m";
    MillinewtonMetre = uom::si::torque::millinewton_meter, "mN·m";
    KilonewtonMetre = uom::si::torque::kilonewton_meter, "kN·m";
    PoundForceInch = exact::pound_force_inch, "lbf·in";
    PoundForceFoot = exact::pound_force_foot, "lbf·ft";
    OunceForceInch = exact::ounce_force_inch, "ozf·in";
    OunceForceFoot = exact::ounce_force_foot, "ozf·ft";
    KilogramForceMetre = exact::kilogram_force_metre, "kgf·m";
    KilogramForceCentimetre = exact::kilogram_force_centimetre, "kgf·cm";
    GramForceCentimetre = exact::gram_force_centimetre, "gf·cm";
    DyneCentimetre = exact::dyne_centimetre, "dyn·cm";
    PoundalFoot = exact::poundal_foot, "pdl·ft";
}

impl TorqueUnit {
    /// The unit that a trade spelling such as `in-lb`, `Nm` or `kg·cm` stands for.
    ///
    /// ```
    /// use evenclamp::quantity::TorqueUnit;
    /// assert_eq!(TorqueUnit::parse("in-lbs").unwrap(), TorqueUnit::PoundForceInch);
    /// assert!(TorqueUnit::parse("lb").is_err());
    /// ```
    /// # Errors
    /// [`UnitError`] names the likely meanings of a spelling that could be several units, or the
    /// nearest known spellings of one that is unknown.
    pub fn parse(text: &str) -> Result<TorqueUnit, UnitError> {
        spelling::read(text)
    }
}

impl fmt::Display for TorqueUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

/// A torque given in N·m.
#[must_use]
pub fn newton_metres(value: f64) -> Torque {
    TorqueUnit::NewtonMetre.of(value)
}

/// The number of N·m in a torque, unrounded.
#[must_use]
pub fn in_newton_metres(torque: Torque) -> f64 {
    TorqueUnit::NewtonMetre.value_of(torque)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// NIST SP 811 (2008), App. B.8, printed to seven digits.
    #[test]
    fn factors_agree_with_sp811() {
        for (unit, printed) in [
            (TorqueUnit::PoundForceInch, 1.129848e-1),
            (TorqueUnit::PoundForceFoot, 1.355818),
            (TorqueUnit::OunceForceInch, 7.061552e-3),
            (TorqueUnit::KilogramForceMetre, 9.80665),
            (TorqueUnit::DyneCentimetre, 1.0e-7),
        ] {
            assert_relative_eq!(in_newton_metres(unit.of(1.0)), printed, max_relative = 1e-6);
        }
    }

    /// Force × length must give torque: the exact base factors multiplied out (SP 811, App. B.8).
    #[test]
    fn compound_units_equal_force_times_length() {
        let pound_force = 0.45359237 * 9.80665;
        let kilogram_force = 9.80665;
        for (unit, factor) in [
            (TorqueUnit::PoundForceInch, pound_force * 0.0254),
            (TorqueUnit::PoundForceFoot, pound_force * 0.3048),
            (TorqueUnit::OunceForceInch, pound_force / 16.0 * 0.0254),
            (TorqueUnit::OunceForceFoot, pound_force / 16.0 * 0.3048),
            (TorqueUnit::KilogramForceCentimetre, kilogram_force * 0.01),
            (TorqueUnit::GramForceCentimetre, kilogram_force * 1e-5),
            (TorqueUnit::PoundalFoot, 0.45359237 * 0.3048 * 0.3048),
        ] {
            assert_relative_eq!(in_newton_metres(unit.of(1.0)), factor, max_relative = 1e-15);
        }
    }

    #[test]
    fn every_symbol_reads_back_as_its_unit() {
        for &unit in TorqueUnit::ALL {
            assert_eq!(TorqueUnit::parse(unit.symbol()), Ok(unit));
        }
    }
}
