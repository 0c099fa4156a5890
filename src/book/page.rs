//! A page of the book: one entry with all that the book says about it.

use super::backing::Backing;
use super::band::{BandState, Consensus, IssuerRange, TorqueInterval, consensus, issuer_ranges};
use super::{Claim, Entry, Evidence, JointKind, OwnFault, Phase, Step, Way};
use crate::joint::{Expected, MaterialFamily};

/// One entry with its evidence and its joint procedure.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// The entry.
    pub entry: Entry,
    /// Its evidence, in the order of the sheet, then what the workshop has brought in.
    pub evidence: Vec<Evidence>,
    /// The steps of its procedure, in order.
    pub steps: Vec<Step>,
    /// What kind of joint it is.
    pub kind: JointKind,
    /// Figures of the workshop's own that cannot be read.
    pub own_faults: Vec<OwnFault>,
}

impl Page {
    /// What the evidence amounts to.
    #[must_use]
    pub fn consensus(&self) -> Consensus {
        consensus(&self.evidence)
    }

    /// What a figure that is typed in for it is measured by.
    pub(crate) fn expected(&self) -> Expected {
        let figures = self.evidence.iter().map(|evidence| evidence.claim.stated.spec.largest());
        let greatest = figures.reduce(|a, b| if b > a { b } else { a });
        Expected { band: self.consensus().spec, greatest }
    }

    /// Whether the hand decides and no figure: a cap that takes the play out of a bearing, for which no issuer's own
    /// figure says how tight it is to be; a ceiling does not.
    pub(crate) fn is_by_feel(&self) -> bool {
        let says = |value: &Evidence| {
            let claim = &value.claim;
            claim.counted && claim.grade.is_first_kind() && claim.stated.spec.limits().0.is_some()
        };
        self.kind.way == Way::UntilPlayGone && !self.evidence.iter().any(says)
    }

    /// Whether it is a part that no torque is for, such as spokes.
    #[must_use]
    pub fn has_no_torque(&self) -> bool {
        self.kind.way == Way::NoTorque
    }

    /// Why it has no band, where no row of its evidence counts.
    pub(crate) fn why_none(&self) -> &'static str {
        if self.has_no_torque() { "no torque is for this part" } else { why_none(&self.evidence) }
    }

    /// The metal of the bolt, where every row of the evidence names it and all name the same; an own figure need not.
    pub(crate) fn bolt_material(&self) -> Option<MaterialFamily> {
        let may_name = |value: &&Evidence| value.own.is_none() || !value.material.is_empty();
        let naming = self.evidence.iter().filter(may_name);
        let mut named = naming.map(|value| MaterialFamily::of_bolt(&value.material));
        let first = named.next()??;
        named.all(|other| other == Some(first)).then_some(first)
    }

    /// The issuers that allow all of a stretch, in the order of the sheet.
    pub(crate) fn backers(&self, stretch: TorqueInterval) -> Vec<String> {
        let reaches = |range: &IssuerRange| {
            let low = range.low.is_none_or(|low| stretch.low.is_some_and(|from| low <= from));
            low && range.high.is_none_or(|high| stretch.high.is_some_and(|to| to <= high))
        };
        issuer_ranges(&self.evidence).into_iter().filter(reaches).map(|range| range.issuer).collect()
    }

    pub(crate) fn phase(&self, phase: Phase) -> Vec<&str> {
        self.steps.iter().filter(|step| step.phase == phase).map(|step| step.text.as_str()).collect()
    }
}

/// What is said of a band that counts as one value.
pub(crate) const ONE_VALUE: &str = "; narrower than a wrench can hold, so taken for one value";

/// Who stands behind the band of an entry, in words, where `consensus` came of its claims.
pub fn word_of_band(entry: &str, claims: &[impl AsRef<Claim>], consensus: &Consensus) -> String {
    let one_value = if consensus.is_sliver() { ONE_VALUE } else { "" };
    let word = match consensus.state {
        BandState::Agreed => {
            let dissent = consensus.dissent.as_ref().map(|dissent| format!("; {}", dissent.text()));
            format!("band of {entry}, {} issuers{}", consensus.issuers, dissent.unwrap_or_default())
        }
        BandState::Thin => {
            let backing = consensus.backing.as_ref().map(Backing::text).unwrap_or_default();
            format!("{entry}, thin: {backing}")
        }
        BandState::Disputed => format!("{entry}: the published figures do not meet"),
        BandState::Unconfirmed | BandState::None => format!("{entry}: {}", why_none(claims)),
    };
    let own = match consensus.own {
        0 => String::new(),
        n => format!(", {n} by the workshop's own figures"),
    };
    word + &own + one_value
}

/// Why an entry has no band although somebody may have printed a value for it.
fn why_none(claims: &[impl AsRef<Claim>]) -> &'static str {
    let any = |wanted: fn(&Claim) -> bool| claims.iter().map(AsRef::as_ref).any(wanted);
    if any(|claim| claim.grade.counts()) {
        "no value for this hardware counts"
    } else {
        "no published value was read"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Book, compiled_in};
    use crate::store::{BookOrigin, Store};

    /// A friction row is for one metal: where the rows of an entry name several, or one names none, it is not known.
    #[test]
    fn the_metal_of_a_bolt_is_known_where_every_row_names_the_same() {
        let mut store = Store::in_memory().unwrap();
        store.load_book(&Book::read(&compiled_in()).unwrap(), &BookOrigin::CompiledIn).unwrap();
        let mut page = store.page("crank-pinch-bolts").unwrap().unwrap();
        page.evidence.truncate(2);
        for (materials, metal) in [
            (["steel bolt", "steel screw"], Some(MaterialFamily::Steel)),
            (["steel bolt", "titanium bolt"], None),
            (["titanium bolt", ""], None),
            (["", "titanium bolt"], None),
        ] {
            for (value, material) in page.evidence.iter_mut().zip(materials) {
                material.clone_into(&mut value.material);
            }
            assert_eq!(page.bolt_material(), metal, "{materials:?}");
        }
    }
}
