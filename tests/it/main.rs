//! The archive as its users meet it: folders, files, commands.

mod awkward;
mod cli;
mod corrections;
mod folder;
mod import;
mod import_http;
mod intake;
mod load;
mod store;
