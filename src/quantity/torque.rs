//! Torque units: the exact ones of the trade, over `uom`'s SI torque.
//!
//! The factors are products of exactly defined base factors (NIST SP 811 (2008), App. B: inch
//! 0.0254 m, foot 0.3048 m, pound 0.45359237 kg, standard gravity 9.80665 m/s²). `uom`'s own
//! pound-force and ounce-force are rounded to seven digits, so they are not used.

use std::fmt;

pub use uom::si::f64::Torque;

macro_rules! torque_units {
    ($($variant:ident = $factor:literal, $symbol:literal, $spellings:literal;)+) => {
        /// Every unit by its exact factor to N·m.
        mod exact {
            unit! {
                system: uom::si;
                quantity: uom::si::torque;
                $(@$variant: $factor; $symbol, $symbol, $symbol;)+
            }
        }

        /// A unit of torque that the tool reads and prints.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[non_exhaustive]
        pub enum TorqueUnit {
            $(#[doc = $symbol] $variant,)+
        }

        /// Each unit with its spellings in folded form (see [`super::spelling`]), blanks between them.
        pub(super) const SPELLINGS: &[(TorqueUnit, &str)] = &[$((TorqueUnit::$variant, $spellings)),+];

        impl TorqueUnit {
            /// Every unit, SI first, in the order in which conversions are listed.
            pub const ALL: &[TorqueUnit] = &[$(TorqueUnit::$variant),+];

            /// The symbol that the tool prints, such as `N·m`.
            pub fn symbol(self) -> &'static str {
                match self { $(TorqueUnit::$variant => $symbol,)+ }
            }

            /// The torque of `value` in this unit.
            pub fn of(self, value: f64) -> Torque {
                match self { $(TorqueUnit::$variant => Torque::new::<exact::$variant>(value),)+ }
            }

            /// The number that stands for `torque` in this unit, unrounded.
            pub fn value_of(self, torque: Torque) -> f64 {
                match self { $(TorqueUnit::$variant => torque.get::<exact::$variant>(),)+ }
            }
        }
    };
}

// A unit is one entry here, and one line of tests/published/units.csv to check it against.
torque_units! {
    NewtonMetre = 1.0, "N·m", "nm newtonmetre newtonmetres newtonmeter newtonmeters";
    NewtonCentimetre = 0.01, "N·cm",
        "ncm newtoncentimetre newtoncentimetres newtoncentimeter newtoncentimeters";
    CentinewtonMetre = 0.01, "cN·m",
        "cnm centinewtonmetre centinewtonmetres centinewtonmeter centinewtonmeters";
    DecinewtonMetre = 0.1, "dN·m", "dnm decinewtonmetre decinewtonmetres decinewtonmeter decinewtonmeters";
    DecanewtonMetre = 10.0, "daN·m",
        "danm mdan decanewtonmetre decanewtonmetres decanewtonmeter decanewtonmeters";
    MillinewtonMetre = 0.001, "mN·m",
        "millinewtonmetre millinewtonmetres millinewtonmeter millinewtonmeters";
    KilonewtonMetre = 1000.0, "kN·m",
        "knm kilonewtonmetre kilonewtonmetres kilonewtonmeter kilonewtonmeters";
    PoundForceInch = 0.1129848290276167, "lbf·in",
        "lbfin lbin lbsin inlb inlbs inlbf inchlb inchlbs inchpound inchpounds poundinch poundinches \
         poundforceinch poundforceinches";
    PoundForceFoot = 1.3558179483314004, "lbf·ft",
        "lbfft lbft lbsft ftlb ftlbs ftlbf footlb footlbs footpound footpounds poundfoot poundfeet \
         poundforcefoot poundforcefeet";
    OunceForceInch = 0.00706155181422604375, "ozf·in",
        "ozfin ozin inoz inozs inozf inchounce inchounces ounceinch ounceinches ounceforceinch \
         ounceforceinches";
    OunceForceFoot = 0.084738621770712525, "ozf·ft",
        "ozfft ozft ftoz ftozf footounce ouncefoot ounceforcefoot";
    KilogramForceMetre = 9.80665, "kgf·m",
        "kgfm kgm mkg mkgf kpm mkp kilopondmetre kilopondmeter kilogramforcemetre kilogramforcemeter";
    KilogramForceCentimetre = 0.0980665, "kgf·cm",
        "kgfcm kgcm cmkg cmkgf kpcm cmkp kilogramforcecentimetre kilogramforcecentimeter";
    GramForceCentimetre = 0.0000980665, "gf·cm", "gfcm gcm cmg gramforcecentimetre gramforcecentimeter";
    DyneCentimetre = 0.0000001, "dyn·cm", "dyncm dynecm dynecentimetre dynecentimeter";
    PoundalFoot = 0.0421401100938048, "pdl·ft", "pdlft poundalfoot";
}

impl fmt::Display for TorqueUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

impl TorqueUnit {
    /// The units that wrenches for bicycles carry.
    pub const OF_WRENCHES: &[TorqueUnit] = &[
        TorqueUnit::NewtonMetre,
        TorqueUnit::PoundForceInch,
        TorqueUnit::PoundForceFoot,
        TorqueUnit::KilogramForceCentimetre,
    ];
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
