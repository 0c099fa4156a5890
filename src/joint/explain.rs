//! The chain of formulas behind an analysis, with the numbers it went through.

use super::bolt::{Bolt, applied};
use super::friction::{FrictionBand, FrictionCoefficient};
use super::preload::combined_stress_factor;
use super::table::Basis;
use super::units::{
    Force, Length, in_megapascals, in_millimetres, in_newtons, in_ratio, in_square_millimetres,
};
use super::{JointError, Torque};
use crate::quantity::in_newton_metres;

#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub(crate) struct ExplainStep {
    pub(crate) meaning: String,
    pub(crate) symbol: &'static str,
    /// The formula in symbols; empty for an input.
    pub formula: &'static str,
    /// The number, unrounded, in `unit`.
    pub value: f64,
    /// The unit; empty for a plain number.
    pub unit: &'static str,
    /// The standard or table it comes from.
    pub source: String,
}

const VDI: &str = "VDI 2230 Part 1";
const ISO_STRESS: &str = "ISO 898-1 clause 9.1.6.1";

struct Chain(Vec<ExplainStep>);

impl Chain {
    fn step(
        &mut self,
        meaning: impl Into<String>,
        (symbol, formula): (&'static str, &'static str),
        (value, unit): (f64, &'static str),
        source: impl Into<String>,
    ) {
        let (meaning, source) = (meaning.into(), source.into());
        self.0.push(ExplainStep { meaning, symbol, formula, value, unit, source });
    }
}

/// The chain from thread and torque to clamp load, share of yield and torque limit, at both ends of the band.
///
/// # Errors
/// [`JointError::NotPositive`] for a torque that is not above 0 and finite.
pub fn explain(bolt: &Bolt, torque: Torque, friction: FrictionBand) -> Result<Vec<ExplainStep>, JointError> {
    applied(torque)?;
    let mut chain = Chain(Vec::new());
    explain_thread(&mut chain, bolt);
    explain_strength(&mut chain, bolt);
    chain.step("tightening torque", ("M_A", ""), (in_newton_metres(torque), "N·m"), "given");
    explain_torque(&mut chain, bolt, torque, "low", friction.low());
    if friction.low() != friction.high() {
        explain_torque(&mut chain, bolt, torque, "high", friction.high());
    }
    Ok(chain.0)
}

fn explain_thread(chain: &mut Chain, bolt: &Bolt) {
    let profile = bolt.thread.profile;
    let mm = |length: Length| (in_millimetres(length), "mm");
    let row = bolt.thread.provenance.source.clone();
    chain.step("major diameter", ("d", ""), mm(profile.major_diameter()), row.clone());
    chain.step("pitch", ("P", ""), mm(profile.pitch()), row);
    chain.step("pitch diameter", ("d2", "d − 3√3/8·P"), mm(profile.pitch_diameter()), "ISO 724");
    chain.step("root diameter", ("d3", "d − 17√3/24·P"), mm(profile.root_diameter()), ISO_STRESS);
    chain.step("stress diameter", ("d0", "(d2 + d3)/2"), mm(profile.stress_diameter()), ISO_STRESS);
    let area = (in_square_millimetres(profile.stress_area()), "mm²");
    chain.step("stress area", ("As", "π/4·d0²"), area, ISO_STRESS);
    let (formula, source) = match &bolt.head.basis {
        Basis::Tabulated(source) => ("(dw + dh)/2", source.clone()),
        Basis::Estimated(rule) => ("1.3·d", format!("estimate: {rule}")),
    };
    chain.step("head friction diameter", ("D_Km", formula), mm(bolt.head.diameter), source);
}

fn explain_strength(chain: &mut Chain, bolt: &Bolt) {
    let class = &bolt.class;
    let source = class.provenance.source.clone();
    let mpa = |stress| (in_megapascals(stress), "MPa");
    let newtons = |force: Force| (in_newtons(force), "N");
    chain.step(
        format!("yield stress of {}", class.name),
        ("Rp", ""),
        mpa(class.yield_stress),
        source.clone(),
    );
    chain.step("tensile strength", ("Rm", ""), mpa(class.tensile_strength), source.clone());
    let proof_formula = if class.proof_stress.is_some() { "As·Sp" } else { "As·Rp, no Sp is defined" };
    chain.step("proof load", ("Fp", proof_formula), newtons(bolt.proof_load()), source.clone());
    chain.step("least ultimate load", ("Fm", "As·Rm"), newtons(bolt.ultimate_load()), source);
}

fn explain_torque(chain: &mut Chain, bolt: &Bolt, torque: Torque, end: &str, mu: FrictionCoefficient) {
    let at = |what: &str| format!("{what} at {end} friction");
    let tightening = bolt.tightening;
    chain.step(at("coefficient of friction"), ("μ", ""), (mu.get(), ""), "friction band");
    let arm = (in_millimetres(tightening.arm(mu)), "mm");
    chain.step(at("torque per preload"), ("a", "P/(2π) + d2·μ/√3 + D_Km/2·μ"), arm, VDI);
    let load = (in_newtons(bolt.clamp_load(torque, mu)), "N");
    chain.step(at("clamp load"), ("F", "M_A/a"), load, VDI);
    let factor = in_ratio(combined_stress_factor(bolt.thread.profile, mu));
    let formula = "√(1 + 3·(1.5·d2/d0·(P/(π·d2) + 2/√3·μ))²)";
    chain.step(at("tension and torsion over tension"), ("k", formula), (factor, ""), VDI);
    let share = in_ratio(bolt.utilisation(torque, mu));
    chain.step(at("share of yield"), ("ν", "k·F/(As·Rp)"), (share, ""), VDI);
    let limit = (in_newton_metres(bolt.torque_limit(mu)), "N·m");
    chain.step(at("torque of 90 % of yield"), ("M_0.9", "0.9·As·Rp/k·a"), limit, VDI);
    let nut_factor = in_ratio(tightening.nut_factor(mu));
    chain.step(at("nut factor"), ("K", "a/d"), (nut_factor, ""), "Shigley, 9th ed., equation 8-27");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::joint::{Catalogue, HeadKind};
    use crate::quantity::newton_metres;

    /// Every step holds what the analysis says, in order, once per end of the band.
    #[test]
    fn the_chain_ends_where_the_analysis_does() {
        let catalogue = Catalogue::compiled_in();
        let bolt = catalogue.bolt("M5", "8.8", HeadKind::Hex).unwrap();
        let (torque, friction) = (newton_metres(5.0), FrictionBand::new(0.10, 0.16).unwrap());
        let steps = explain(&bolt, torque, friction).unwrap();
        let analysis = bolt.analyse(torque, friction, None).unwrap();
        let of = |symbol| steps.iter().filter(|s| s.symbol == symbol).map(|s| s.value).collect::<Vec<_>>();
        assert_eq!(of("F"), [in_newtons(analysis.clamp_load.high), in_newtons(analysis.clamp_load.low)]);
        assert_eq!(of("ν"), [in_ratio(analysis.utilisation.high), in_ratio(analysis.utilisation.low)]);
        let limits = bolt.torque_limits(friction);
        assert_eq!(of("M_0.9"), [limits.low, limits.high].map(in_newton_metres));
        assert_eq!(of("As"), [in_square_millimetres(bolt.thread.profile.stress_area())]);
        assert!(steps.iter().all(|step| !step.source.is_empty() && !step.meaning.is_empty()));
        let single = FrictionBand::new(0.12, 0.12).unwrap();
        assert_eq!(explain(&bolt, torque, single).unwrap().len() + 7, steps.len());
    }
}
