//! The archive as its users meet it: folders, files, commands, pages.
#![expect(
    clippy::unwrap_used,
    reason = "a file or a page that cannot be had is a failed test"
)]

mod about_page;
mod apps;
mod awkward;
mod bearings;
mod calculate;
mod calculate_contact;
mod calculate_pages;
mod calculate_refusals;
mod cli;
mod comparison;
mod components;
mod corrections;
mod decision;
mod decision_kinds;
mod demo;
mod enter;
mod entities;
#[path = "../published/example_rows.rs"]
mod example_rows;
mod first_use;
mod first_word;
mod folder;
mod frozen;
mod greases;
mod head_to_head;
mod held_up;
mod import;
mod import_http;
mod intake;
mod load;
mod machines_editor;
mod methods_page;
mod no_worse;
mod number;
mod own_methods;
mod own_words;
mod pages;
mod plan;
mod ranges;
mod readings;
mod report;
mod resemblance;
mod search;
mod search_words;
mod setup;
mod store;
#[path = "../support/mod.rs"]
mod support;
mod trial_list;
mod units;
mod weights_http;
mod worn;
