//! The threads of `specs/threads.csv`: designation, profile, the part that carries it, and the
//! tolerance limits that stripping needs. The column `use` is common practice.

use std::collections::HashSet;

use super::designation::{self, Written};
use super::profile::ThreadProfile;
use super::table::{Provenance, provenance};
use super::tolerance::ThreadLimits;
use super::units::{in_millimetres, millimetres};
use super::{Catalogue, JointError};
use crate::sheet::field::read;
use crate::sheet::{Diagnostics, Fields, Row, by_size, sheet};
use crate::words::{is_one_of, likest, words};

/// Relative tolerance between a size as typed and as tabulated (1-1/8 in is 28.575 mm).
const SAME_SIZE: f64 = 1e-4;

words! {
    /// The standard that gives a thread its name.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum ThreadSystem: word {
        /// ISO metric coarse: the pitch may be left out of the designation.
        IsoCoarse = "iso-coarse",
        /// ISO metric fine.
        IsoFine = "iso-fine",
        /// Threads per inch, with the 60° profile assumed.
        Inch = "inch",
    }
}

words! {
    /// Whether the part that carries a thread is a solid bolt.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Section: word {
        /// A solid bolt.
        Solid = "solid",
        /// Solid or bored, such as an axle: a bored one stands less than computed.
        Either = "either",
        /// A ring or a tube, such as a bearing cup.
        Hollow = "hollow",
    }
}

/// One thread of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Thread {
    /// The full designation, such as `M5x0.8` or `9/16-20`.
    pub designation: String,
    aliases: Vec<String>,
    /// The standard that names it.
    pub system: ThreadSystem,
    /// Its geometry.
    pub profile: ThreadProfile,
    /// Solid, hollow or either.
    pub section: Section,
    /// Tabulated 6g/6H limits, with their source.
    pub(super) limits: Option<(ThreadLimits, String)>,
    /// Where it is met on a bicycle (common practice).
    pub used_for: String,
    /// Hand, and what else is worth knowing.
    pub note: String,
    /// Where the row comes from.
    pub provenance: Provenance,
}

impl Thread {
    fn is_written_as(&self, written: Written) -> bool {
        let same = |a: f64, b: f64| (a - b).abs() <= SAME_SIZE * b;
        let major = in_millimetres(self.profile.major_diameter());
        let pitch = in_millimetres(self.profile.pitch());
        match written {
            Written::Metric { major_mm, pitch_mm } => {
                self.system != ThreadSystem::Inch
                    && same(major_mm, major)
                    && pitch_mm.map_or(self.system == ThreadSystem::IsoCoarse, |typed| same(typed, pitch))
            }
            Written::Inch { major: typed, in_mm, threads_per_inch } => {
                let size = same(typed, major) || (!in_mm && same(typed * 25.4, major));
                self.system == ThreadSystem::Inch && size && same(25.4 / threads_per_inch, pitch)
            }
        }
    }
}

impl Catalogue {
    /// The thread that a designation such as `M5`, `M8 × 1` or `9/16-20` names.
    ///
    /// # Errors
    /// [`JointError::Unknown`] with the nearest threads; [`JointError::PitchNeeded`] if only the pitch is missing.
    pub fn thread(&self, text: &str) -> Result<&Thread, JointError> {
        let written = designation::read(text);
        let by_size = |thread: &&Thread| written.is_some_and(|written| thread.is_written_as(written));
        let by_name = |thread: &&Thread| is_one_of(text, thread.aliases.iter().map(String::as_str));
        if let Some(thread) = self.threads.iter().find(by_size).or_else(|| self.threads.iter().find(by_name))
        {
            return Ok(thread);
        }
        if let Some(Written::Metric { major_mm, pitch_mm: None }) = written {
            let candidates = nearest_metric(&self.threads, major_mm, None, |off| off == 0.0);
            if !candidates.is_empty() {
                return Err(JointError::PitchNeeded { text: text.trim().to_owned(), candidates });
            }
        }
        // By size where the designation has one, else by spelling.
        let nearest = match written.or_else(|| designation::size_alone(text)) {
            Some(Written::Metric { major_mm, pitch_mm }) => {
                nearest_metric(&self.threads, major_mm, pitch_mm, |_| true)
            }
            _ => likest(text, self.threads.iter().map(|thread| thread.designation.as_str())),
        };
        Err(JointError::unknown("thread", text, nearest))
    }
}

/// The three metric threads nearest in diameter, then in pitch; `wanted` sees the gap in mm.
fn nearest_metric(
    threads: &[Thread],
    major_mm: f64,
    pitch_mm: Option<f64>,
    wanted: impl Fn(f64) -> bool,
) -> Vec<String> {
    let mut found: Vec<(f64, f64, &str)> = threads
        .iter()
        .filter(|thread| thread.system != ThreadSystem::Inch)
        .map(|thread| {
            let major_gap = (in_millimetres(thread.profile.major_diameter()) - major_mm).abs();
            let pitch = in_millimetres(thread.profile.pitch());
            (major_gap, pitch_mm.map_or(0.0, |typed| (pitch - typed).abs()), thread.designation.as_str())
        })
        .filter(|&(major_gap, ..)| wanted(major_gap))
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    found.into_iter().take(3).map(|(.., name)| name.to_owned()).collect()
}

sheet! {
    /// `specs/threads.csv`.
    pub static THREADS: ThreadCells = "threads" {
        designation, aliases, system, major_diameter_mm, pitch_mm, threads_per_inch, section, major_min_mm,
        pitch_max_mm, minor_max_mm, pitch_min_mm, limits_source, used_for = "use", note, source, grade,
    }
    sorted by |cells| {
        let systems = ThreadSystem::WORDS;
        let rank = systems.iter().position(|(word, _)| *word == cells.system.text).unwrap_or(systems.len());
        let size = [cells.major_diameter_mm, cells.pitch_mm, cells.threads_per_inch];
        let size = size.map(|cell| by_size(cell.text));
        [vec![rank.to_string()], size.to_vec(), vec![cells.designation.owned()]].concat()
    }
}

pub(super) fn read_threads(rows: &[Row], diagnostics: &mut Diagnostics) -> Vec<Thread> {
    let mut seen = HashSet::new();
    read::<ThreadCells, _>(rows, diagnostics, |cells, fields| {
        let designation = fields.filled(cells.designation);
        let aliases = cells.aliases.list();
        for name in aliases.iter().chain([&designation]) {
            fields.once(&mut seen, cells.designation, name);
        }
        let system = fields.choice(cells.system, ThreadSystem::WORDS);
        let profile = read_profile(cells, fields);
        let section = fields.choice(cells.section, Section::WORDS);
        let limits = read_limits(cells, fields);
        let provenance = provenance(cells.source, cells.grade, fields);
        Some(Thread {
            designation,
            aliases,
            system: system?,
            profile: profile?,
            section: section?,
            limits,
            used_for: cells.used_for.owned(),
            note: cells.note.owned(),
            provenance: provenance?,
        })
    })
}

/// Diameter with either a pitch or threads per inch.
fn read_profile(cells: &ThreadCells<'_>, fields: &mut Fields<'_>) -> Option<ThreadProfile> {
    let major = fields.positive(cells.major_diameter_mm).map(millimetres);
    let stated = fields.one_filled(cells.pitch_mm, cells.threads_per_inch)?;
    let value = fields.positive(stated)?;
    let profile = if stated == cells.pitch_mm {
        ThreadProfile::new(major?, millimetres(value))
    } else {
        ThreadProfile::inch(major?, value)
    };
    profile.map_err(|error| fields.report(stated, error.to_string(), "check it and the diameter")).ok()
}

/// All four limits with their source, or none.
fn read_limits(cells: &ThreadCells<'_>, fields: &mut Fields<'_>) -> Option<(ThreadLimits, String)> {
    let limits = [cells.major_min_mm, cells.pitch_max_mm, cells.minor_max_mm, cells.pitch_min_mm];
    match limits.iter().filter(|cell| !cell.is_blank()).count() {
        0 => return None,
        4 => {}
        _ => {
            fields.report(limits[0], "some tolerance limits are missing", "give all four or none");
            return None;
        }
    }
    let [major_min, pitch_max, minor_max, pitch_min] =
        limits.map(|cell| fields.positive_if_any(cell).map(millimetres));
    let source = fields.filled(cells.limits_source);
    let limits = ThreadLimits {
        major_min: major_min?,
        pitch_max: pitch_max?,
        minor_max: minor_max?,
        pitch_min: pitch_min?,
    };
    Some((limits, source))
}
