//! The run: cores take chunks in turn, results keep the order of the rows.

use std::borrow::Borrow;
use std::cell::OnceCell;
use std::io::Read;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError, mpsc};

use super::counts::Fault;
use super::explain::Explainer;
use super::lock::{locked, locked_soon, locked_when};
use super::record::{Fields, Record, Records};
use super::row::{Judge, Said};
use super::source::Source;
use super::summary::{Summary, Worst};
use super::tally::Tally;
use super::text::Text;
use super::turns::{Spoken, Turns};
use super::verdicts::{Teller, Wording};
use super::worst::{WorstSoFar, number_on};
use super::{AuditError, Columns, Outputs, Reference, Terms};

/// Judges every row of `log` by what `reference` gives.
///
/// It is asked for while the threads begin: a thread that began when the first one had been busy for some
/// milliseconds was left waiting for its core for two more, as measured.
///
/// # Errors
/// [`AuditError`] when the log cannot be read or has not the columns of one, when results cannot be
/// written, and under `strict` at the first row that cannot be judged; and what `reference` refuses with.
pub fn audit<'a, R: Borrow<Reference>, E: From<AuditError>>(
    log: Box<dyn Read + Send + 'a>,
    reference: impl FnOnce() -> Result<R, E>,
    terms: Terms,
    outputs: Outputs<'_>,
) -> Result<Summary, E> {
    let mut source = Source::new(log);
    let (header, columns) = source.header()?;
    let wording = outputs.verdicts.as_ref().map(|(_, wording)| *wording);
    let lists_rejects = outputs.rejects.is_some();
    let in_order = outputs.verdicts.is_some() || lists_rejects || terms.strict;
    let mut turns = Turns::new(outputs);
    turns.write_headers(&header)?;
    let run = Run {
        source: Mutex::new(source),
        turns: Mutex::new(turns),
        changed: Condvar::new(),
        columns,
        terms,
        wording,
        lists_rejects,
        in_order,
    };
    // Outlives the threads, which begin before there is anything in it.
    let known = OnceCell::new();
    std::thread::scope(|scope| {
        let run = &run;
        let begin = |_| {
            let (ready, wait) = mpsc::channel::<&Reference>();
            // Nothing comes where the reference was refused.
            (ready, scope.spawn(move || Some(run.work(wait.recv().ok()?))))
        };
        let others: Vec<_> = (1..terms.threads).map(begin).collect();
        let given = reference()?;
        let reference = known.get_or_init(|| given).borrow();
        for (ready, _) in &others {
            // A thread that is gone is seen when it is joined.
            let _ = ready.send(reference);
        }
        let first = run.work(reference);
        let others = others
            .into_iter()
            .filter_map(|(_, thread)| thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        run.sum_up(first, others).map_err(E::from)
    })
}

/// What the threads share.
struct Run<'a, 'o> {
    source: Mutex<Source<'a>>,
    turns: Mutex<Turns<'o>>,
    changed: Condvar,
    columns: Columns,
    terms: Terms,
    wording: Option<&'o dyn Wording>,
    lists_rejects: bool,
    /// Whether chunks have anything to say that has to stand in order.
    in_order: bool,
}

/// A chunk with all that its rows go through.
struct ChunkWork<'w, 'a, 'r, 'o> {
    run: &'w Run<'a, 'o>,
    data: &'w [u8],
    judge: &'w mut Judge<'r>,
    fields: &'w mut Fields,
    worst: &'w mut WorstSoFar,
    teller: Option<&'w mut Teller<'o>>,
    explainer: &'w mut Explainer,
    spoken: &'w mut Spoken,
}

impl ChunkWork<'_, '_, '_, '_> {
    /// Judges the rows.
    fn judge_all(&mut self) {
        let data = self.data;
        let mut records = Records::new(data);
        let mut said = Said::new();
        while let Some(record) = records.next(self.fields) {
            self.judge.judge(data, self.fields, &mut said);
            self.worst.see(self.judge, &said, self.spoken.rows + 1);
            self.spoken.rows += 1;
            if let Some(fault) = said.fault {
                self.reject(fault, record);
            } else if let Some(teller) = self.teller.as_deref_mut() {
                let text = &mut self.spoken.verdicts;
                text.append_part(data, record.start, record.end);
                teller.tell(self.judge, &said, text);
                end_line(data, record, text);
            }
        }
    }

    /// Notes a row that was rejected, where anybody wants to know.
    fn reject(&mut self, fault: Fault, record: Record) {
        let (run, data, spoken) = (self.run, self.data, &mut *self.spoken);
        // A reason is put together only for those who ask: under --strict the first suffices.
        let listed = run.lists_rejects || (run.terms.strict && spoken.rejects.is_empty());
        if !listed && self.teller.is_none() {
            return;
        }
        let reason = self.explainer.explain(fault, data, self.fields, &run.columns);
        if let Some(teller) = self.teller.as_deref() {
            spoken.verdicts.append_part(data, record.start, record.end);
            teller.tell_rejected(self.fields.count(), &reason, &mut spoken.verdicts);
            end_line(data, record, &mut spoken.verdicts);
        }
        if listed {
            spoken.rejects.push((spoken.rows, reason, record));
        }
    }
}

impl<'o> Run<'_, 'o> {
    /// What all threads found in the log.
    fn sum_up<'r>(
        &self,
        (mut tally, mut worst): (Tally<'r>, Vec<Worst>),
        others: impl Iterator<Item = (Tally<'r>, Vec<Worst>)>,
    ) -> Result<Summary, AuditError> {
        for (other, more) in others {
            tally.absorb(other);
            worst.extend(more);
        }
        let mut turns = locked(&self.turns);
        if let Some(error) = turns.failed.take() {
            return Err(error);
        }
        number_on(&mut worst, &turns.chunks);
        let reference = tally.reference;
        let mut summary = tally.summary();
        summary.worst_kept = self.terms.worst_kept();
        summary.add_worst(worst);
        summary.take_limits(reference);
        Ok(summary)
    }

    /// Judges chunks until there are none left; what was counted, and the worst.
    fn work<'r>(&self, reference: &'r Reference) -> (Tally<'r>, Vec<Worst>) {
        let _alarm = Alarm(self);
        let mut judge = Judge::new(reference, self.columns, self.terms);
        let mut teller =
            self.wording.map(|wording| Teller::new(wording, self.terms.rule, self.columns.count));
        let mut explainer = Explainer::default();
        let mut worst = WorstSoFar::new(self.terms.worst_kept());
        let (mut buffer, mut fields, mut spoken) = (Vec::new(), Fields::new(), Spoken::default());
        loop {
            let chunk = locked_soon(&self.source).next(&mut buffer);
            let chunk = match chunk {
                Ok(Some(chunk)) => chunk,
                Ok(None) => break,
                Err(error) => {
                    self.fail(error);
                    break;
                }
            };
            let data = buffer.get(..chunk.length).unwrap_or_default();
            let mut work = ChunkWork {
                run: self,
                data,
                judge: &mut judge,
                fields: &mut fields,
                worst: &mut worst,
                teller: teller.as_mut(),
                explainer: &mut explainer,
                spoken: &mut spoken,
            };
            work.judge_all();
            worst.end_chunk(chunk.number);
            if !self.take_turn(chunk.number, data, &mut spoken) {
                break;
            }
        }
        let worst = worst.into_kept(&judge);
        (judge.into_tally(), worst)
    }

    /// Waits for the turn of a chunk, where order counts, and has its say; false after a failure.
    fn take_turn(&self, number: u64, data: &[u8], spoken: &mut Spoken) -> bool {
        let mut turns = self.turns_at(number);
        if turns.are_over() {
            return false;
        }
        let result = turns.speak(number, data, spoken, self.terms.strict);
        turns.next += 1;
        spoken.rows = 0;
        spoken.verdicts.clear();
        spoken.rejects.clear();
        turns.failed = result.err();
        if turns.waiting > 0 {
            self.changed.notify_all();
        }
        turns.failed.is_none()
    }

    /// The turns, once it is that of a chunk, or nobody's any more; where order does not count, at once.
    fn turns_at(&self, number: u64) -> MutexGuard<'_, Turns<'o>> {
        let is_due = |turns: &Turns<'_>| !self.in_order || turns.next == number || turns.are_over();
        if let Some(turns) = locked_when(&self.turns, is_due) {
            return turns;
        }
        let mut turns = locked(&self.turns);
        turns.waiting += 1;
        while !is_due(&turns) {
            turns = self.changed.wait(turns).unwrap_or_else(PoisonError::into_inner);
        }
        turns.waiting -= 1;
        turns
    }

    fn fail(&self, error: AuditError) {
        locked(&self.turns).failed.get_or_insert(error);
        self.changed.notify_all();
    }
}

/// Puts the line end of a record as it stands in place of the plain one at the end of a text; the last row
/// may lack one.
#[inline]
fn end_line(data: &[u8], record: Record, text: &mut Text) {
    match data.get(record.end..record.next) {
        Some([] | [b'\n']) | None => {}
        Some(end) => text.replace_last(end),
    }
}

/// Ends the turns when the thread that holds it panics, so that no other waits for ever.
struct Alarm<'r, 'a, 'o>(&'r Run<'a, 'o>);

impl Drop for Alarm<'_, '_, '_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            locked(&self.0.turns).abandoned = true;
            self.0.changed.notify_all();
        }
    }
}

#[cfg(test)]
#[path = "run_tests.rs"]
mod tests;
