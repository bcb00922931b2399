//! How closely a test's contact resembles a machine's, term by term; weights with their reasons.

mod terms;

pub use terms::{Beyond, Resemblance, Term, TermLikeness, TermValue};
