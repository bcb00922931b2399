//! The archive as its users meet it: folders, files, commands.
#![expect(clippy::unwrap_used, reason = "a test fails where it unwraps")]

mod cli;
mod folder;
mod intake;
mod load;
mod store;
