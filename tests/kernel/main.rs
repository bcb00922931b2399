//! The kernel of a standing: laws, alternatives, and where there is little to compare. All data invented.

#![expect(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helper functions too"
)]

mod alternatives;
mod edges;
mod generated;
mod laws;
