//! The trade's spellings of torque units, and the ones that are refused because they are unclear.
//!
//! Spellings are compared without case and without the signs that stand between force and length
//! (`in-lb`, `in lb`, `IN·LB` are one spelling); a slash is kept, because `in/lb` is no torque.

use super::torque::SPELLINGS;
use super::{TorqueUnit, UnitError};
use crate::words;
use TorqueUnit as U;

/// Spellings that name a mass, a force or a misprint, with the torque units they may stand for.
const UNCLEAR: &[(&[&str], &[TorqueUnit])] = &[
    (&["lb", "lbs", "lbf", "pound", "pounds", "#"], &[U::PoundForceInch, U::PoundForceFoot]),
    (&["kg", "kgs", "kgf", "kp", "kilo", "kilos"], &[U::KilogramForceCentimetre, U::KilogramForceMetre]),
    (&["g", "gf"], &[U::GramForceCentimetre]),
    (&["oz", "ozf", "ounce", "ounces"], &[U::OunceForceInch, U::OunceForceFoot]),
    (&["n", "newton", "newtons"], &[U::NewtonMetre, U::NewtonCentimetre]),
    (&["dan"], &[U::DecanewtonMetre, U::NewtonMetre]),
    (&["in", "inch", "in/lb", "in/lbs", "lb/in", "lbs/in", "lbf/in"], &[U::PoundForceInch]),
    (&["ft", "foot", "ft/lb", "ft/lbs", "lb/ft", "lbs/ft", "lbf/ft"], &[U::PoundForceFoot]),
    (&["kg/cm", "kgf/cm", "cm/kg"], &[U::KilogramForceCentimetre]),
    (&["kg/m", "kgf/m", "m/kg"], &[U::KilogramForceMetre]),
    (&["n/m", "m/n"], &[U::NewtonMetre]),
    (&["n/cm"], &[U::NewtonCentimetre]),
    (&["oz/in", "in/oz"], &[U::OunceForceInch]),
];

impl TorqueUnit {
    /// The unit that a trade spelling such as `in-lb`, `Nm` or `kg·cm` stands for.
    ///
    /// ```
    /// use evenclamp::quantity::TorqueUnit;
    /// assert_eq!(TorqueUnit::parse("in-lbs").unwrap(), TorqueUnit::PoundForceInch);
    /// assert!(TorqueUnit::parse("lb").is_err());
    /// ```
    /// # Errors
    /// [`UnitError`] names the meanings of a spelling that could be several units, or the nearest known ones.
    pub fn parse(text: &str) -> Result<TorqueUnit, UnitError> {
        let trimmed = text.trim().trim_end_matches('.');
        if let Some(result) = read_milli_or_mega(trimmed) {
            return result;
        }
        let folded = fold(trimmed);
        if let Some(unit) = spelt(&folded) {
            return Ok(unit);
        }
        for (spellings, meanings) in UNCLEAR {
            if spellings.contains(&folded.as_str()) {
                return Err(UnitError::Unclear { text: trimmed.to_owned(), meanings });
            }
        }
        Err(UnitError::Unknown(trimmed.to_owned()))
    }
}

/// `mNm` and `MNm` differ by 10⁹, so their case counts.
fn read_milli_or_mega(text: &str) -> Option<Result<TorqueUnit, UnitError>> {
    let kept: String = text.chars().filter(|c| !is_joint(*c)).collect();
    match kept.as_str() {
        "mNm" | "mNM" => Some(Ok(U::MillinewtonMetre)),
        "MNm" | "MNM" | "mnm" => Some(Err(UnitError::Unclear {
            text: text.to_owned(),
            meanings: &[U::MillinewtonMetre, U::NewtonMetre],
        })),
        _ => None,
    }
}

/// Lower case without the signs between force and length.
fn fold(text: &str) -> String {
    text.chars().filter(|c| !is_joint(*c)).flat_map(char::to_lowercase).collect()
}

/// Signs that the trade writes between force and length.
fn is_joint(c: char) -> bool {
    c.is_whitespace()
        || matches!(c, '.' | '·' | '•' | '⋅' | '∙' | '*' | '×' | '-' | '–' | '—' | '‑' | '−' | '_')
}

/// The unit with that spelling, in folded form.
fn spelt(folded: &str) -> Option<TorqueUnit> {
    let known = SPELLINGS.iter().find(|(_, spellings)| spellings.split(' ').any(|known| known == folded));
    known.map(|(unit, _)| *unit)
}

/// Up to three unit symbols whose spellings look most like `text`, best first.
pub(super) fn nearest(text: &str) -> Vec<&'static str> {
    let known = SPELLINGS.iter().flat_map(|(_, spellings)| spellings.split(' '));
    let mut symbols: Vec<&'static str> = Vec::new();
    for unit in words::nearest_by_edits(&fold(text), known).into_iter().filter_map(spelt) {
        if !symbols.contains(&unit.symbol()) {
            symbols.push(unit.symbol());
        }
    }
    symbols.truncate(3);
    symbols
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The spellings of the trade, common practice; the printed forms occur in makers' manuals.
    #[test]
    fn trade_spellings_are_read() {
        for (text, unit) in [
            ("N·m", U::NewtonMetre),
            ("N m", U::NewtonMetre),
            ("N-m", U::NewtonMetre),
            ("N.m", U::NewtonMetre),
            ("nm", U::NewtonMetre),
            ("NM", U::NewtonMetre),
            ("newton-meters", U::NewtonMetre),
            ("mNm", U::MillinewtonMetre),
            ("cN·m", U::CentinewtonMetre),
            ("Ncm", U::NewtonCentimetre),
            ("m.daN", U::DecanewtonMetre),
            ("lb•in", U::PoundForceInch),
            ("IN–LB", U::PoundForceInch),
            ("in-lbs", U::PoundForceInch),
            ("in.lbs.", U::PoundForceInch),
            ("inch pounds", U::PoundForceInch),
            ("ft lb", U::PoundForceFoot),
            ("foot-pound", U::PoundForceFoot),
            ("in·oz", U::OunceForceInch),
            ("m·kg", U::KilogramForceMetre),
            ("kgf-cm", U::KilogramForceCentimetre),
            ("g·cm", U::GramForceCentimetre),
        ] {
            assert_eq!(TorqueUnit::parse(text), Ok(unit), "{text}");
        }
    }

    #[test]
    fn unclear_spellings_name_their_likely_meanings() {
        for (text, meaning) in [
            ("lb", U::PoundForceInch),
            ("lbs", U::PoundForceFoot),
            ("kg", U::KilogramForceMetre),
            ("in/lb", U::PoundForceInch),
            ("ft/lb", U::PoundForceFoot),
            ("kg/cm", U::KilogramForceCentimetre),
            ("daN", U::DecanewtonMetre),
            ("MNm", U::MillinewtonMetre),
        ] {
            match TorqueUnit::parse(text) {
                Err(UnitError::Unclear { meanings, .. }) => assert!(meanings.contains(&meaning), "{text}"),
                other => panic!("{text} gave {other:?}"),
            }
        }
    }

    #[test]
    fn an_unknown_spelling_offers_the_nearest() {
        let error = TorqueUnit::parse("lbin s").unwrap_err();
        assert!(error.hint().starts_with("nearest known: lbf·in"), "{}", error.hint());
        assert_eq!(TorqueUnit::parse("☃"), Err(UnitError::Unknown("☃".to_owned())));
        assert_eq!(nearest("☃"), Vec::<&str>::new());
    }

    #[test]
    fn no_spelling_stands_twice() {
        let mut all: Vec<&str> = SPELLINGS.iter().flat_map(|(_, s)| s.split(' ')).collect();
        all.extend(UNCLEAR.iter().flat_map(|(s, _)| s.iter().copied()));
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }
}
