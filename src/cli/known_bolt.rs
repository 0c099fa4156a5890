//! The bolt as far as a command line or the book tells of it, and what speaks against a torque on it.

use clap::Args;

use super::subject::Subject;
use super::{Context, Failure, FailureKind};
use crate::book::Page;
use crate::joint::{
    BoltWords, Catalogue, Condition, Doubt, Expected, FigureOnBolt, KnownBolt, Unmeant, plain_number,
    too_great,
};
use crate::quantity::{Spec, Torque, TorqueUnit};
use crate::report::{ConditionReport, StatedCondition, TooMuch};

/// The bolt, as far as it is given.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Bolt")]
pub(super) struct GradedBoltArgs {
    /// Thread of the bolt, such as M5 [default: that of the entry or joint]
    #[arg(long, value_name = "THREAD")]
    thread: Option<String>,
    /// Its property class as marked on the head, such as 8.8, A2-70 [default: as noted for the joint, else the
    /// strongest of its metal, and then no verdict rests on it]
    #[arg(long, value_name = "CLASS")]
    grade: Option<String>,
}

/// What is known of the bolt.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Bolt")]
pub(super) struct KnownBoltArgs {
    #[command(flatten)]
    bolt: GradedBoltArgs,
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
#[derive(Debug, Default)]
pub(super) struct BoltRemarks {
    /// What speaks against the reading, then against what is specified.
    pub(super) doubts: Vec<String>,
    /// The verdict, where one of them is too much for the bolt.
    pub(super) too_much: Option<TooMuch>,
    /// The torque that the bolt bears, where its class is known.
    pub(super) bears: Option<Torque>,
}

impl KnownBoltArgs {
    /// Holds the torque that was `applied`, as number and unit, and what is specified against the bolt; with what is
    /// to be said of the condition of the thread. What cannot be meant is refused.
    pub(super) fn remarks(
        &self,
        subject: &Subject,
        applied: Option<(f64, TorqueUnit)>,
        context: &Context,
    ) -> Result<(BoltRemarks, ConditionReport), Failure> {
        // What the sources of an entry state says nothing of a figure that is not theirs.
        let of_band = subject.page.as_ref().filter(|_| subject.is_of_band);
        let conditions = of_band.map(StatedCondition::of_page).unwrap_or_default();
        let condition = self.condition.report(conditions, context)?;
        let mut stated = self.bolt.stated(subject);
        stated.condition.clone_from(self.condition.condition.as_ref().unwrap_or(&subject.bolt.condition));
        Ok((self.bolt.held(&stated, subject, applied, context)?, condition))
    }
}

impl GradedBoltArgs {
    /// Holds what is specified against the bolt. What cannot be meant is refused.
    pub(super) fn remarks(&self, subject: &Subject, context: &Context) -> Result<BoltRemarks, Failure> {
        self.held(&self.stated(subject), subject, None, context)
    }

    /// What is known of the bolt: as given, else as noted for the joint or stated by the entry.
    fn stated(&self, subject: &Subject) -> BoltWords {
        let mut stated = subject.bolt.clone();
        stated.thread.clone_from(self.thread.as_ref().unwrap_or(&subject.bolt.thread));
        stated.grade.clone_from(self.grade.as_ref().unwrap_or(&subject.bolt.grade));
        stated
    }

    /// Holds torques against the bolt; the catalogue is read only where something is known of it, or where a figure is
    /// typed in.
    fn held(
        &self,
        stated: &BoltWords,
        subject: &Subject,
        applied: Option<(f64, TorqueUnit)>,
        context: &Context,
    ) -> Result<BoltRemarks, Failure> {
        let mut remarks = BoltRemarks::default();
        let typed = subject.spec.filter(|_| subject.is_typed);
        if stated.thread.is_empty() && stated.grade.is_empty() && (typed.is_none() || subject.page.is_none())
        {
            return Ok(remarks);
        }
        let catalogue = context.book()?.catalogue()?;
        let known = self.known(stated, &catalogue, context)?;
        if let Some(spec) = typed {
            let expected = subject.page.as_ref().map(Page::expected).unwrap_or_default();
            refuse_typed((spec, subject.unit), expected, &stated.thread, &catalogue, context.unit)?;
        }
        let Some(known) = known else { return Ok(remarks) };
        // A reading of nothing is no torque to hold against a bolt.
        if let Some((number, unit)) = applied.filter(|(number, _)| *number > 0.0) {
            refuse_unmeant(catalogue.tears_any(&stated.thread, number, unit)?, context.unit.unwrap_or(unit))?;
            let doubt = known.doubt(number, unit)?;
            remarks.doubts.extend(doubt.as_ref().map(|doubt| doubt.text(unit)));
            let too_much = doubt.filter(Doubt::is_too_much);
            remarks.too_much = too_much.map(|doubt| TooMuch::applied(&doubt, unit));
        }
        self.hold_figure(&mut remarks, subject, &known)?;
        remarks.doubts.dedup();
        Ok(remarks)
    }

    /// Holds what is specified against the bolt.
    fn hold_figure(
        &self,
        remarks: &mut BoltRemarks,
        subject: &Subject,
        known: &KnownBolt,
    ) -> Result<(), Failure> {
        let Some(limits) = subject.limits() else { return Ok(()) };
        let unit = subject.unit;
        let FigureOnBolt { too_much, remark, bears } =
            known.figure(limits.least(), limits.spec().largest(), unit)?;
        remarks.bears = bears;
        // The loader has held the book's own figures against the bolt, as far as the book knows it.
        let is_asked = !subject.is_of_band || self.thread.is_some() || !known.class_assumed;
        let doubt = too_much.as_ref().or(remark.as_ref());
        remarks.doubts.extend(doubt.filter(|_| is_asked).map(|doubt| doubt.text(unit)));
        if let (None, Some(doubt)) = (&remarks.too_much, too_much.filter(|_| is_asked)) {
            remarks.too_much = Some(TooMuch::specified(&doubt, unit));
        }
        Ok(())
    }

    /// The bolt; none, and said so, where something was asked of a bolt that is not known.
    fn known(
        &self,
        stated: &BoltWords,
        catalogue: &Catalogue,
        context: &Context,
    ) -> Result<Option<KnownBolt>, Failure> {
        let thread = &stated.thread;
        if thread.is_empty() {
            if stated.grade.is_empty() {
                return Ok(None);
            }
            let hint = "add it with --thread, such as --thread M5";
            return Err(Failure::new(FailureKind::Usage, "the thread of the bolt is not known", hint));
        }
        let known = catalogue.known_bolt(stated)?;
        if known.is_none() && (self.thread.is_some() || self.grade.is_some()) {
            context.say(format!(
                "{thread} is the thread of a hollow part: nothing is held against its strength"
            ));
        }
        Ok(known)
    }
}

/// Refuses a figure that is typed in and cannot be meant: it would tear any bolt of the thread, or it is a small part or
/// many times of what is `expected`.
pub(super) fn refuse_typed(
    (figure, unit): (Spec, TorqueUnit),
    expected: Expected,
    thread: &str,
    catalogue: &Catalogue,
    shown: Option<TorqueUnit>,
) -> Result<(), Failure> {
    let number = plain_number(figure.largest(), unit);
    let shown = shown.unwrap_or(TorqueUnit::NewtonMetre);
    refuse_unmeant(catalogue.tears_any(thread, number, unit)?, shown)?;
    refuse_unmeant(catalogue.too_little((number, unit), expected.band, thread)?, shown)?;
    refuse_unmeant(too_great((number, unit), expected), shown)
}

/// The failure of what is typed in and cannot be meant.
pub(super) fn refuse_unmeant(found: Option<Unmeant>, shown: TorqueUnit) -> Result<(), Failure> {
    let Some(unmeant) = found else { return Ok(()) };
    let hint = "nothing was taken: look at the figure, its unit and the thread again";
    Err(Failure::new(FailureKind::Value, unmeant.text(shown), hint))
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
        context: &Context,
    ) -> Result<ConditionReport, Failure> {
        let Some(actual) = &self.condition else { return Ok(ConditionReport::stated_only(stated)) };
        let catalogue = context.book()?.catalogue()?;
        Ok(ConditionReport::new(&catalogue, stated, Condition::named(actual)?))
    }
}
