//! How tightening one bolt takes load from the others: pairwise loss coefficients.
//!
//! Loads are fractions of the target load of one bolt. Bringing bolt j up by d takes a_ij·d from
//! every bolt i that is already tightened, never below nothing; a wrench cannot loosen, so a bolt
//! that holds its level does not move. This is the linear elastic interaction model of Bibel and
//! Ezell (J. Pressure Vessel Technol. 114 (1992) 439), with the coefficients assumed, not measured:
//! they fall by one factor with every spacing. It knows nothing of friction, gaps or creep.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::{AtLosses, BoltNumber, Ladder, Layout, Shape};

/// The loss coefficients of a joint: what each bolt loses as each other one is tightened.
#[derive(Debug, Clone, PartialEq)]
pub struct Interaction {
    bolts: usize,
    /// a_ij at `i * bolts + j`: what i loses for each unit that j is brought up.
    coefficients: Vec<f64>,
}

/// Coefficients that no joint can have, or with which tightening would never settle.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum InteractionError {
    /// A total loss that is not a number between -1 and 1.
    #[error("a total loss of {} % is not between -100 and 100 %", .0.get::<ratio>() * 100.0)]
    Total(Ratio),
    /// A decay that is not a number from 0 to 1.
    #[error("a decay of {} from bolt to bolt is not from 0 to 1", .0.get::<ratio>())]
    Decay(Ratio),
    /// Likely losses that do not rise from low over nominal to high.
    #[error("the losses {}, {} and {} do not rise from low over nominal to high",
        .0[0].get::<ratio>(), .0[1].get::<ratio>(), .0[2].get::<ratio>())]
    Order([Ratio; 3]),
}

impl InteractionError {
    /// What to give instead.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            InteractionError::Total(_) => {
                "give the share of its load that the first bolt loses while the others come up, such as 0.2"
            }
            InteractionError::Order(_) => "give them in their order, such as 0.05, 0.15 and 0.35",
            InteractionError::Decay(_) => "give how much of a loss is left one bolt farther on, such as 0.4",
        }
    }
}

impl Interaction {
    /// Coefficients that add up to `total` for the bolt that loses most; `decay` of a loss is left a spacing on.
    ///
    /// `total` is what the first bolt loses while one pass brings all others to the target; below 0, a gain.
    ///
    /// ```
    /// use evenclamp::sequence::{BoltNumber, Interaction, Layout, Loads};
    /// use uom::si::{f64::Ratio, ratio::ratio};
    /// let [total, decay] = [0.24, 0.4].map(Ratio::new::<ratio>);
    /// let plate = Interaction::from_total(&Layout::ring(4).unwrap(), total, decay).unwrap();
    /// let mut loads = Loads::loose(4);
    /// for bolt in [0, 1].map(BoltNumber::at) {
    ///     loads.tighten(bolt, Ratio::new::<ratio>(1.0), &plate);
    /// }
    /// assert!((loads.of(BoltNumber::at(0)).get::<ratio>() - 0.9).abs() < 1e-12);
    /// ```
    /// # Errors
    /// [`InteractionError`] unless `total` is between -1 and 1 and `decay` from 0 to 1.
    pub fn from_total(layout: &Layout, total: Ratio, decay: Ratio) -> Result<Interaction, InteractionError> {
        settles(total)?;
        let share = decay.get::<ratio>();
        if !(0.0..=1.0).contains(&share) {
            return Err(InteractionError::Decay(decay));
        }
        let bolts = layout.bolts();
        let pairs = (0..bolts).flat_map(|i| (0..bolts).map(move |j| (i, j)));
        // 1 for the nearest bolts, until the bolt that loses most is known.
        let coefficients = pairs
            .map(|(i, j)| if i == j { 0.0 } else { share.powf(spacings_beyond_first(layout, i, j)) })
            .collect();
        let mut interaction = Interaction { bolts, coefficients };
        let weight = interaction.sums().fold(0.0, f64::max);
        if weight > 0.0 {
            let factor = total.get::<ratio>() / weight;
            interaction.coefficients.iter_mut().for_each(|coefficient| *coefficient *= factor);
        }
        Ok(interaction)
    }

    /// What each bolt loses while all the others come up to the target.
    fn sums(&self) -> impl Iterator<Item = f64> {
        (0..self.bolts).map(|i| self.coefficients[i * self.bolts..(i + 1) * self.bolts].iter().sum())
    }

    /// The number of bolts.
    #[must_use]
    pub fn bolts(&self) -> usize {
        self.bolts
    }

    /// What the bolt that loses most loses while all the others come up; a gain is below 0.
    pub(crate) fn total(&self) -> Ratio {
        let larger = |most: f64, sum: f64| if sum.abs() > most.abs() { sum } else { most };
        Ratio::new::<ratio>(self.sums().fold(0.0, larger))
    }

    /// a_ij: what `bolt` loses for each unit that `tightened` is brought up.
    fn loss(&self, bolt: usize, tightened: usize) -> f64 {
        self.coefficients[bolt * self.bolts + tightened]
    }
}

/// A total loss with which repeated passes settle.
fn settles(total: Ratio) -> Result<(), InteractionError> {
    // A comparison with NaN fails, so that it is refused as well.
    if total.get::<ratio>().abs() < 1.0 { Ok(()) } else { Err(InteractionError::Total(total)) }
}

/// How many spacings `i` and `j` lie beyond the nearest bolts' one: steps round a ring, distances elsewhere.
fn spacings_beyond_first(layout: &Layout, i: usize, j: usize) -> f64 {
    if layout.shape() == Shape::Ring {
        let straight = i.abs_diff(j);
        return super::layout::real(straight.min(layout.bolts() - straight) - 1);
    }
    let places = layout.positions();
    let beyond = places[i].distance(places[j]) / layout.spacing().unwrap_or(1.0) - 1.0;
    // The nearest bolts are exactly one spacing apart, whatever the last binary digit says.
    if beyond < 1e-9 { 0.0 } else { beyond }
}

/// The loads of a joint's bolts while it is being tightened, as fractions of the target.
#[derive(Debug, Clone, PartialEq)]
pub struct Loads {
    /// `None` until a bolt has been tightened.
    of_bolts: Vec<Option<f64>>,
}

impl Loads {
    /// A joint of `bolts` loose bolts.
    #[must_use]
    pub fn loose(bolts: usize) -> Loads {
        Loads { of_bolts: vec![None; bolts] }
    }

    /// Tightens `bolt` to `level`, a fraction of the target; whether it moved.
    ///
    /// A bolt of another joint, one that `interaction` does not have, does not move.
    pub fn tighten(&mut self, bolt: BoltNumber, level: Ratio, interaction: &Interaction) -> bool {
        let (j, level) = (bolt.index(), level.get::<ratio>());
        let increment = level - self.of(bolt).get::<ratio>();
        if increment.is_nan() || increment <= 0.0 || j >= self.of_bolts.len().min(interaction.bolts) {
            return false;
        }
        for (i, load) in self.of_bolts.iter_mut().enumerate().take(interaction.bolts) {
            *load = load.map(|load| f64::max(0.0, load - interaction.loss(i, j) * increment));
        }
        self.of_bolts[j] = Some(level);
        true
    }

    /// The load of `bolt`; 0 while it is loose.
    #[must_use]
    pub fn of(&self, bolt: BoltNumber) -> Ratio {
        Ratio::new::<ratio>(self.of_bolts.get(bolt.index()).copied().flatten().unwrap_or(0.0))
    }

    /// The load of every bolt, by bolt number; 0 while it is loose.
    #[must_use]
    pub fn all(&self) -> Vec<Ratio> {
        (0..self.of_bolts.len()).map(|k| self.of(BoltNumber::at(k))).collect()
    }

    /// The largest less the smallest load of the bolts tightened so far.
    #[must_use]
    pub fn spread(&self) -> Ratio {
        let (low, high) = self.ends();
        Ratio::new::<ratio>(if high > low { high - low } else { 0.0 })
    }

    /// Whether a bolt that has been tightened has lost all of its load: there the gap is open again.
    pub(crate) fn gap_open(&self) -> bool {
        self.ends().0 <= 0.0
    }

    /// The smallest and the largest load of the bolts tightened so far.
    fn ends(&self) -> (f64, f64) {
        self.of_bolts
            .iter()
            .flatten()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &load| (low.min(load), high.max(load)))
    }
}

/// A total loss that is not known but for its likely bounds; a gain is below 0.
///
/// The share of its load that the bolt which loses most loses while one pass brings the others to the target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossBand(AtLosses<Ratio>);

impl LossBand {
    /// The likely bounds of a loss and the value between them that a plan is made for.
    ///
    /// # Errors
    /// [`InteractionError`] unless -1 < `low` ≤ `nominal` ≤ `high` < 1.
    pub fn new(low: Ratio, nominal: Ratio, high: Ratio) -> Result<LossBand, InteractionError> {
        for loss in [low, nominal, high] {
            settles(loss)?;
        }
        if low > nominal || nominal > high {
            return Err(InteractionError::Order([low, nominal, high]));
        }
        Ok(LossBand(AtLosses { low, nominal, high }))
    }

    /// A loss that is taken as known.
    ///
    /// # Errors
    /// [`InteractionError`] unless `loss` is between -1 and 1.
    pub fn exactly(loss: Ratio) -> Result<LossBand, InteractionError> {
        LossBand::new(loss, loss, loss)
    }

    /// The likely bounds, and the loss between them that a plan is made for.
    pub(crate) fn likely(self) -> AtLosses<Ratio> {
        self.0
    }

    /// Whether tightening one bolt loads the others, so that repeating a pass takes nothing out.
    pub(crate) fn is_gain(self) -> bool {
        self.0.nominal.get::<ratio>() < 0.0
    }
}

/// What a plan assumes about a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameters {
    /// How much load the bolts take from each other.
    pub losses: LossBand,
    /// The share of a loss that is left one spacing farther away: 0 to 1.
    pub decay: Ratio,
    /// The levels on the way to full torque.
    pub ladder: Ladder,
}

#[cfg(test)]
#[path = "interaction_tests.rs"]
mod tests;
