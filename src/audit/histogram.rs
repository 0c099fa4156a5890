//! How the readings of an entry are spread, for a picture.

use serde::{Deserialize, Serialize};

use crate::quantity::{Torque, in_newton_metres};

/// Bins from 0 to the reach; one more holds what lies beyond.
pub const BINS: usize = 80;

/// Tightenings of one entry by torque, in bins of equal width.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Histogram {
    /// Where the last bin ends, in N·m.
    pub reach_nm: f64,
    /// Readings per bin; the last count is of those beyond the reach.
    pub bins: Vec<u64>,
}

impl Histogram {
    /// Nothing counted yet, reaching to twice the largest torque that the limits name.
    pub(super) fn new(largest: Torque) -> Histogram {
        Histogram { reach_nm: 2.0 * in_newton_metres(largest), bins: vec![0; BINS + 1] }
    }

    pub(super) fn add(&mut self, reading: Torque) {
        #[expect(clippy::cast_precision_loss, reason = "80 is exact")]
        let position = in_newton_metres(reading) / self.reach_nm * BINS as f64;
        // No reading is negative, and the cast saturates.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole bins are meant")]
        let bin = (position as usize).min(BINS);
        if let Some(count) = self.bins.get_mut(bin) {
            *count += 1;
        }
    }

    pub(super) fn absorb(&mut self, other: &Histogram) {
        for (count, more) in self.bins.iter_mut().zip(&other.bins) {
            *count += more;
        }
    }
}
