//! Placeholder.
#![expect(missing_docs, reason = "replaced")]
use serde::{Deserialize, Serialize};
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Element(serde_json::Value);
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Surroundings(serde_json::Value);
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Load {
    TotalForceN(f64),
    PinionTorqueNm(f64),
}
