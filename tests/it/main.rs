//! The archive as its users meet it: folders, files, commands.
#![expect(clippy::unwrap_used, reason = "a test fails where it unwraps")]

mod awkward;
mod cli;
mod corrections;
mod folder;
mod import;
mod import_http;
mod intake;
mod load;
mod store;
