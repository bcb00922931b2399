//! Pages and JSON over HTTP, for this machine only.
//!
//! **Invariants:** nothing changes data by GET; no script or style in a page's text (the content security policy holds
//! it to that); no `|safe` in a template: the only markup that enters a page unescaped is a chart room's drawing.

mod assets;
mod contact_view;
mod error;
mod frame;
mod guard;
mod pages;
mod question;
#[cfg(test)]
mod sample;
mod words;
