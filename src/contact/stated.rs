//! Placeholder.
#![expect(missing_docs, reason = "replaced")]
use serde::{Deserialize, Serialize};
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
pub struct StatedContact(serde_json::Value);
