//! What a round asks of an item: one line, with what must be known before the hand acts beneath it.

use super::bicycle::{given_text, specified};
use crate::book::{Check, MeasuredItem};
use crate::conformity::Kind;
use crate::quantity::TorqueUnit;
use crate::report::aim::ABOVE_VALUE;
use crate::report::figure::setting_text;
use crate::report::words::{TooMuch, by_hand_text, doubt_text, turning_warning};
use crate::workshop::{FigureBasis, Joint, JointVerdict, Proposal, WorkshopSnapshot};

/// Longest note of where a figure stands that is told in the line itself.
const SHORT_GROUND: usize = 32;

/// An item of a round, with what is proposed for it.
pub struct ItemQuestion<'a> {
    pub joint: &'a Joint,
    pub verdict: &'a JointVerdict,
    pub workshop: &'a WorkshopSnapshot,
    pub proposal: Option<&'a Proposal<'a>>,
    /// The bolts that are asked for, in the order of tightening.
    pub bolts: &'a [u16],
    pub unit: Option<TorqueUnit>,
}

impl ItemQuestion<'_> {
    /// What is asked: the limits, and what to set on which wrench, or what to look for.
    pub fn text(&self) -> String {
        format!("{}: {}", self.joint.name, self.what())
    }

    /// What Enter records: what is set, as it stands on the wrench.
    pub fn setting(&self) -> Option<String> {
        self.proposal.map(|proposal| {
            let wrench = proposal.wrench;
            setting_text(proposal.setting, wrench.shown_step(), wrench.unit())
        })
    }

    fn what(&self) -> String {
        let (joint, governing) = (self.joint, &self.verdict.governing);
        let specified = specified(joint, governing, self.workshop, self.unit).0;
        match joint.check {
            Check::Function => by_hand_text(joint.name.text()).to_owned(),
            Check::Measure => {
                let item = self.workshop.items.get(&joint.entry);
                let measured = item.map(MeasuredItem::measured).unwrap_or_default();
                let limit = if governing.basis == FigureBasis::Unreadable { "no figure" } else { &specified };
                format!("{measured}, {limit}")
            }
            Check::Torque if governing.limits.is_none() => "no figure".to_owned(),
            Check::Torque => {
                let act = self.act().map_or_else(String::new, |act| format!("; {act}"));
                format!("{specified}{}{act}", self.short_ground())
            }
        }
    }

    /// What to do with the wrench.
    fn act(&self) -> Option<String> {
        let (proposal, setting) = (self.proposal?, self.setting()?);
        let wrench = proposal.wrench.name();
        let bolts = match self.bolts {
            [_] if self.joint.bolts == 1 => String::new(),
            bolts => format!(" {}", bolts.iter().map(ToString::to_string).collect::<Vec<_>>().join("-")),
        };
        Some(match proposal.kind {
            Kind::Held => format!("does it hold{bolts}? {wrench} at {setting}"),
            _ => format!("tighten{bolts}: {wrench} at {setting}"),
        })
    }

    fn is_short(&self) -> bool {
        self.verdict.governing.word.chars().count() <= SHORT_GROUND
    }

    fn short_ground(&self) -> String {
        if self.is_short() { format!(" ({})", self.verdict.governing.word) } else { String::new() }
    }

    /// What must be known before the hand acts.
    pub fn notes(&self) -> Vec<String> {
        let governing = &self.verdict.governing;
        let mut notes: Vec<String> = Vec::new();
        if self.joint.check == Check::Torque {
            notes.extend(turning_warning(self.joint.turning(self.workshop)).map(str::to_owned));
            if governing.limits.is_none() || !self.is_short() {
                notes.push(governing.word.clone());
            }
            notes.extend(TooMuch::of_figure(governing, self.unit).map(|too_much| too_much.whole()));
            let is_said = |caveat: &&String| governing.word.contains(*caveat);
            notes.extend(governing.caveat.as_ref().filter(|caveat| !is_said(caveat)).cloned());
            notes.extend(given_text(self.joint, governing, self.unit));
        } else if governing.basis == FigureBasis::Unreadable {
            notes.push(format!("no figure: {}", governing.word));
        }
        notes.extend(governing.notes.iter().cloned());
        notes.extend(self.of_proposal());
        notes
    }

    fn of_proposal(&self) -> Vec<String> {
        let Some(proposal) = self.proposal else { return Vec::new() };
        let wrench = proposal.wrench;
        let doubts = proposal.doubts.iter();
        let doubts = doubts.map(|doubt| format!("{}: {}", wrench.name(), doubt_text(*doubt, wrench.unit())));
        let mut notes: Vec<String> = doubts.collect();
        if proposal.above_value {
            notes.push(format!("the setting is {ABOVE_VALUE}"));
        }
        if proposal.doubts.is_empty() && !proposal.settles {
            notes.push(format!(
                "no reading of {} settles it: the limits are too near together",
                wrench.name()
            ));
        }
        notes
    }
}
