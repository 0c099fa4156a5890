//! What a torque is checked against: a literal value, range or limit, or an entry of the book.

use super::{Context, Failure};
use crate::book::{Hand, Page, State};
use crate::conformity::{Aim, Instrument, Limits, SettingScale, aim, chance_inside};
use crate::quantity::{Resolution, Spec, Stated, TorqueUnit, parse_spec};
use crate::report::{resolution_of, spec_text};

/// What is specified, on whose word, and with how many digits.
#[derive(Debug, Clone)]
pub struct Subject {
    /// What is specified; none where the sources of an entry do not agree or there are none.
    pub spec: Option<Spec>,
    /// The unit and digits it came with.
    pub unit: TorqueUnit,
    /// The step of the last digit it came with.
    pub resolution: Resolution,
    /// On whose word.
    pub ground: String,
    /// The entry it came from.
    pub page: Option<Page>,
}

impl Subject {
    /// Reads a literal such as `12-14 N·m`, or the key of an entry.
    ///
    /// # Errors
    /// [`Failure`] that says what is wrong with the literal, or names the nearest entries.
    pub fn read(text: &str, context: &Context) -> Result<Subject, Failure> {
        match parse_spec(text) {
            Ok(stated) => Ok(Subject::literal(&stated, context)),
            Err(error) if looks_literal(text) => Err(error.into()),
            Err(_) => {
                let store = context.store_with_book()?;
                Ok(Subject::entry(context.page(&store, text)?))
            }
        }
    }

    /// A value, range or limit that the user states.
    pub fn literal(stated: &Stated, context: &Context) -> Subject {
        if !stated.unit_given {
            context.say("no unit given: read as N·m".to_owned());
        }
        Subject {
            spec: Some(stated.spec),
            unit: stated.unit,
            resolution: stated.resolution,
            ground: "as given".to_owned(),
            page: None,
        }
    }

    /// The band of an entry.
    pub fn entry(page: Page) -> Subject {
        let consensus = page.consensus();
        let ground = match consensus.state {
            State::Agreed => format!("band of {}, {} issuers", page.entry.entry, consensus.issuers),
            State::Thin => format!("{}, thin: on the word of {} alone", page.entry.entry, page.lone_issuer()),
            State::Disputed => format!("{}: the published figures do not meet", page.entry.entry),
            State::None => format!("{}: no published value was read", page.entry.entry),
        };
        Subject {
            spec: consensus.spec,
            unit: TorqueUnit::NewtonMetre,
            resolution: resolution_of(&consensus),
            ground,
            page: Some(page),
        }
    }

    /// Whether the thread is left-hand for certain.
    pub fn is_left_hand(&self) -> bool {
        self.page.as_ref().is_some_and(|page| page.entry.hand == Hand::Left)
    }

    /// The limits that a reading is judged against.
    pub fn limits(&self) -> Option<Limits> {
        self.spec.map(|spec| Limits::new(spec, self.ground.clone()))
    }

    /// The setting to aim at on `scale`: within the stretch that most issuers back, where there is
    /// one, else within the limits; the chance given is that of landing within the limits.
    pub fn aim(&self, instrument: &Instrument, scale: &SettingScale) -> Option<Aim> {
        let limits = self.limits()?;
        let at_core = self.core().and_then(|core| {
            let found = aim(&Limits::new(core, String::new()), instrument, scale).ok()?;
            let standard = instrument.standard(found.setting);
            let chance = chance_inside(limits.low(), limits.high(), found.setting, standard);
            Some(Aim { chance_inside: chance, ..found })
        });
        at_core.or_else(|| aim(&limits, instrument, scale).ok())
    }

    /// The best-backed stretch inside the band of an entry, where it has both ends.
    fn core(&self) -> Option<Spec> {
        let core = self.page.as_ref()?.consensus().core?;
        match (self.spec?, core.low, core.high) {
            (Spec::Range { .. }, Some(low), Some(high)) => Some(Spec::Range { low, high }),
            _ => None,
        }
    }

    /// What is specified, in `unit`.
    pub fn text(&self, unit: TorqueUnit) -> Option<String> {
        self.spec.map(|spec| spec_text(spec, self.resolution, unit))
    }

    /// What is specified, or the failure of a command that cannot do without.
    ///
    /// # Errors
    /// [`Failure`] that says where to look for a figure.
    pub fn needed(&self) -> Result<Spec, Failure> {
        self.spec.ok_or_else(|| {
            Failure::new(
                "no-band",
                self.ground.clone(),
                "read the marking on the part or ask its maker, then give it with --torque, such as --torque \"5 N·m\"",
            )
        })
    }
}

/// Whether a text is meant as a value rather than as a name.
fn looks_literal(text: &str) -> bool {
    let text = text.trim().to_lowercase();
    text.starts_with(|c: char| c.is_ascii_digit() || "<>=≤≥.,-−±".contains(c))
        || ["max", "min"].iter().any(|word| {
            text.strip_prefix(word).is_some_and(|rest| {
                rest.trim_start_matches(['.', ' ']).starts_with(|c: char| c.is_ascii_digit())
            })
        })
}
