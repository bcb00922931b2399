//! The archive as its users meet it: folders, files, commands.

mod cli;
mod folder;
mod intake;
mod load;
mod nouns;
mod search;
mod store;
mod web;
