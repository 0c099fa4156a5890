//! Every sentence that a report says of what the core found, one file for each theme. The core returns values.

mod accuracy;
mod backing;
mod by_hand;
mod doubt;
mod fitness;
mod need;
mod next;
mod next_act;
mod now;
mod orientation;
mod plan;
mod reason;
mod ride;
mod slip;
mod state;
mod too_much;
mod turning;
mod wear;

pub use accuracy::{accuracy_text, term_source};
pub use backing::{backing_json, dissent_json};
pub use by_hand::by_hand_text;
pub use doubt::doubt_text;
pub use fitness::{
    fitness_text, lacking_text, less_text, oldest_json, oldest_text, taken_off_text, unexamined_text,
    waived_text, without_wrench_text,
};
pub use need::need_text;
pub use next::{figure_option, next_text};
pub use next_act::NextAct;
pub use now::{HeldBack, what_now};
pub use orientation::{lies_text, orientation_json, orientation_text, orientation_to_act};
pub use plan::note_text;
pub use reason::{allowed_by_set_value, narrow_text, outcome_word, reasons, reasons_of_row};
pub use ride::doubtful_ride_text;
pub use slip::{mix_up_text, slip_text};
pub use state::{due_text, governing_text, reason_text};
pub use too_much::{TOO_MUCH, TooMuch};
pub use turning::{turning_text, turning_warning};
pub use wear::{wear_json, wear_text};
