//! Evidence, standing, cautions and what a page argues from them, against published numbers, laws and written trials.

#![expect(
    clippy::unwrap_used,
    reason = "a test fails by panicking, in its helper functions too"
)]

mod blocks;
mod cautions;
mod cautions_more;
mod cautions_rigs;
mod every_caution;
#[path = "../published/example_rows.rs"]
mod example_rows;
mod explain;
mod families_and_contacts;
mod gates;
mod laws;
mod limits;
mod log_interval_tails;
mod no_worse;
mod published_control;
mod published_stats;
mod published_weibull;
mod rests_on;
mod rig_chart;
mod run_next;
#[path = "../support/mod.rs"]
mod support;
mod trade_facts;
mod worked_case;
