//! What speaks against a ride, in words.

use crate::workshop::DoubtfulRide;

/// The reason behind "… is not plausible:".
pub fn doubtful_ride_text(doubt: DoubtfulRide) -> String {
    match doubt {
        DoubtfulRide::Hours { most } => format!("a ride has at most {most} h"),
        DoubtfulRide::Km { most } => format!("a ride has at most {most} km"),
        DoubtfulRide::HoursOfDays { most, since } => {
            format!("its last ride ended on {}, at most {most} h before", since.short())
        }
        DoubtfulRide::KmOfDays { most, since } => {
            format!(
                "its last ride ended on {}, and in that time nobody rides more than {most} km",
                since.short()
            )
        }
    }
}
