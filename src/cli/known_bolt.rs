//! The bolt as far as a command line or the book tells of it, and what speaks against a torque on it.

use clap::Args;

use super::subject::Subject;
use super::{Context, Failure, FailureKind};
use crate::book::Page;
use crate::joint::{BoltWords, Catalogue, Condition, Doubt, KnownBolt};
use crate::quantity::TorqueUnit;
use crate::report::{BoltDoubt, ConditionReport, StatedCondition};

/// What is known of the bolt.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Bolt")]
pub(super) struct KnownBoltArgs {
    /// Thread of the bolt, such as M5 [default: that of the entry]
    #[arg(long, value_name = "THREAD")]
    thread: Option<String>,
    /// Its property class as marked on the head, such as 8.8, A2-70 [default: the strongest of its metal]
    #[arg(long, value_name = "CLASS")]
    grade: Option<String>,
    #[command(flatten)]
    condition: ConditionArgs,
}

/// The condition of the thread in hand.
#[derive(Debug, Clone, Args)]
pub(super) struct ConditionArgs {
    /// Condition of the thread in hand: greased, dry, threadlocker, oiled, anti-seize, as-delivered
    #[arg(long, value_name = "CONDITION")]
    condition: Option<String>,
}

/// What is to be said of the bolt beside a verdict.
pub(super) struct BoltRemarks {
    /// What speaks against the reading, then against what is specified.
    pub(super) doubts: Vec<BoltDoubt>,
    /// What is said of the condition of the thread.
    pub(super) condition: ConditionReport,
    /// False when the bolt or its thread rules out what would be aimed at.
    pub(super) may_aim: bool,
}

impl KnownBoltArgs {
    /// Holds the torque that was `applied`, as number and unit, and what is specified against the bolt; the
    /// catalogue is read only where the bolt or a condition is known.
    pub(super) fn remarks(
        &self,
        subject: &Subject,
        applied: Option<(f64, TorqueUnit)>,
        context: &Context,
    ) -> Result<BoltRemarks, Failure> {
        let page = subject.page.as_ref();
        let thread = self.thread.as_deref().or(page.map(|page| page.entry.thread.as_str()));
        let thread = thread.filter(|thread| !thread.is_empty());
        // What the sources of an entry state says nothing of a figure that is not theirs.
        let of_band = page.filter(|_| subject.is_of_band);
        let stated = of_band.map(StatedCondition::of_page).unwrap_or_default();
        if thread.is_none() && !self.condition.is_given() && self.grade.is_none() {
            let condition = ConditionReport::stated_only(stated);
            return Ok(BoltRemarks { doubts: Vec::new(), condition, may_aim: true });
        }
        let catalogue = context.book()?.catalogue()?;
        let condition = self.condition.report(stated, &catalogue)?;
        let mut remarks = BoltRemarks { doubts: Vec::new(), may_aim: !condition.differs(), condition };
        let Some(known) = self.known(thread, subject, &catalogue, context)? else { return Ok(remarks) };
        // A reading of nothing is no torque to hold against a bolt.
        if let Some((number, unit)) = applied.filter(|(number, _)| *number > 0.0) {
            remarks.doubts.extend(told(known.doubt(number, unit)?, unit));
        }
        // The loader has held the book's own figures against the bolt, as far as the book knows it.
        let of_user = page.is_none() || self.thread.is_some() || self.grade.is_some();
        if let Some(spec) = subject.spec.filter(|_| of_user) {
            let about = told(known.doubt_of(spec, subject.unit)?, subject.unit);
            remarks.may_aim &= about.as_ref().is_none_or(|about| !about.impossible);
            remarks.doubts.extend(about);
        }
        remarks.doubts.dedup();
        Ok(remarks)
    }

    /// The bolt; none, and said so, where something was asked of a bolt that is not known.
    fn known(
        &self,
        thread: Option<&str>,
        subject: &Subject,
        catalogue: &Catalogue,
        context: &Context,
    ) -> Result<Option<KnownBolt>, Failure> {
        let Some(thread) = thread else {
            if self.grade.is_none() {
                return Ok(None);
            }
            let hint = "add it with --thread, such as --thread M5";
            return Err(Failure::new(FailureKind::Usage, "the thread of the bolt is not known", hint));
        };
        let material = subject.page.as_ref().and_then(Page::bolt_material);
        let known = catalogue.known_bolt(BoltWords {
            thread,
            grade: self.grade.as_deref(),
            material: material.map_or("", |material| material.name()),
            condition: self.condition.condition.as_deref().unwrap_or_default(),
        })?;
        if known.is_none() && (self.thread.is_some() || self.grade.is_some()) {
            context.say(format!(
                "{thread} is the thread of a hollow part: nothing is held against its strength"
            ));
        }
        Ok(known)
    }
}

impl ConditionArgs {
    /// Whether the condition in hand was given.
    pub(super) fn is_given(&self) -> bool {
        self.condition.is_some()
    }

    /// What is to be said of the condition in hand and the stated ones.
    pub(super) fn report(
        &self,
        stated: Vec<StatedCondition>,
        catalogue: &Catalogue,
    ) -> Result<ConditionReport, Failure> {
        Ok(match &self.condition {
            Some(actual) => ConditionReport::new(catalogue, stated, Condition::named(actual)?),
            None => ConditionReport::stated_only(stated),
        })
    }
}

fn told(found: Option<Doubt<'_>>, unit: TorqueUnit) -> Option<BoltDoubt> {
    found.map(|found| BoltDoubt { impossible: found.is_impossible(), text: found.text(unit) })
}
