//! How closely a test's contact resembles a machine's, term by term; weights with their reasons.

mod compare;
pub mod scales;
mod tables;
mod terms;
mod test_side;
mod weigh;

pub use crate::contact::term::Term;
pub use compare::{Scores, compare};
pub use scales::{Scale, Scales};
pub use terms::{Beyond, Remark, Resemblance, TermLikeness, TermValue};
pub use test_side::{Decided, contacts, decided, median};
pub use weigh::{FAMILY_CORRELATION, Voter, relevance, votes};
