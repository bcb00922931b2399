//! What programs are told: the JSON of a standing and of a resemblance.

mod no_worse;
mod resemblance;
mod standing;

pub use resemblance::resemblance_json;
pub use standing::standing_json;
