//! likewear: compares lubricant blends across bench and rig tests.
//!
//! The rooms, in reading order; a room may use only those above it (`tests/rooms` checks this):
//!
//! * [`units`]: intervals, unit words and exact factors.
//! * [`lubricant`]: viscosity, density, pressure-viscosity of an oil.
//! * [`contact`]: pressure, motion, film and flash temperature of one contact.
//! * [`stats`]: censored results on a grid, precision, seeded draws.
//! * [`catalogue`]: the test methods, as data files with a source mark on every value.
//! * [`records`]: blends, machines, rigs, trials, results, decisions.
//! * [`resemblance`]: how closely a test's contact resembles a machine's.
//! * [`standing`]: positions, ranking, what it rests on, cautions.
//! * [`intake`]: an archive folder to records, or to every fault in it, and back.
//! * [`store`]: the archive in one SQLite file.
//! * [`charts`]: plain descriptions to drawings.
//! * [`calculate`]: single questions that need no archive.
//! * [`drawing`]: a contact placed to scale for a chart.
//! * [`prose`]: the sentences that pages, JSON and command line share.
//! * [`explain`]: one test of a trial explained beside the machine.
//! * [`wire`]: the JSON of a standing.
//! * [`cache`]: what was computed and still holds.
//! * [`app`]: what people ask of an archive; pages, JSON and command line share it.
//! * [`web`]: pages and JSON over HTTP.
//! * [`cli`]: commands and exit codes.
//!
//! Nothing is public but [`run`]; tests and benches name what `facade` hands out.
#![allow(
    rustdoc::private_intra_doc_links,
    reason = "the rooms are private, and it is the documentation of private items that is built"
)]

mod app;
mod cache;
mod calculate;
mod catalogue;
mod charts;
mod cli;
mod contact;
mod drawing;
mod explain;
#[cfg(feature = "facade")]
pub mod facade;
mod intake;
mod lubricant;
mod prose;
mod records;
mod resemblance;
mod standing;
mod stats;
mod store;
mod units;
mod web;
mod wire;

pub use cli::run;

// The builder of trials that integration tests use, for the tests inside: it names the crate as they do.
#[cfg(test)]
extern crate self as likewear;
#[cfg(test)]
#[path = "../tests/support/mod.rs"]
mod support;
