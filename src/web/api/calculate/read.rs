//! Reads the numbers of a posted question; every one that cannot be used is named by its place.

use crate::app::shown;
use crate::web::error::{FieldFault, HttpError};
use crate::web::posted::content_type;
use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use axum::http::StatusCode;
use serde_json::{Map, Value};

/// The most that a question may have, bytes.
pub(super) const MOST_POSTED: usize = 1 << 20;

/// One object of a question, by its place.
pub(super) struct Object<'a> {
    place: String,
    members: &'a Map<String, Value>,
    known: Vec<&'static str>,
}

/// What was found wrong so far.
#[derive(Default)]
pub(super) struct Faults(Vec<FieldFault>);

impl Faults {
    /// Notes a fault.
    pub(super) fn add(&mut self, place: impl Into<String>, problem: impl Into<String>) {
        self.0.push(FieldFault::new(place, problem));
    }

    /// The refusal, where there is a fault.
    ///
    /// # Errors
    /// 422.
    pub(super) fn none(self) -> Result<(), HttpError> {
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(HttpError::unusable(self.0))
        }
    }
}

/// The JSON of a request.
///
/// # Errors
/// 415 for another kind of content, 413 for too much of it, 400 for text that is no JSON, 422 for a number beyond all.
pub(super) async fn posted_json(request: Request) -> Result<Value, HttpError> {
    let kind = content_type(&request);
    if !(kind.is_empty() || kind == "application/json" || kind.ends_with("+json")) {
        return Err(HttpError::wrong_type(format!(
            "'{kind}' is not read; send application/json."
        )));
    }
    let read = Bytes::from_request(request, &()).await;
    let bytes = read.map_err(|rejection| match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => HttpError::too_large("A question may have at most 1 MB."),
        _ => HttpError::malformed(rejection.body_text()),
    })?;
    serde_json::from_slice(&bytes).map_err(|error| {
        let words = error.to_string();
        if words.contains("out of range") {
            HttpError::unusable(vec![FieldFault::new(
                format!("line {}, column {}", error.line(), error.column()),
                "is a number beyond those that can be computed",
            )])
        } else {
            HttpError::malformed(format!("This is no JSON: {words}"))
        }
    })
}

impl<'a> Object<'a> {
    /// A value as an object; `place` is empty for the question itself.
    pub(super) fn of(value: &'a Value, place: impl Into<String>, faults: &mut Faults) -> Option<Self> {
        let place = place.into();
        let Some(members) = value.as_object() else {
            let named = if place.is_empty() {
                "question".to_string()
            } else {
                place
            };
            faults.add(named, "must be an object");
            return None;
        };
        Some(Self {
            place,
            members,
            known: Vec::new(),
        })
    }

    fn named(&self, key: &str) -> String {
        if self.place.is_empty() {
            key.to_string()
        } else {
            format!("{}.{key}", self.place)
        }
    }

    /// A member that is there and not null.
    fn given(&mut self, key: &'static str) -> Option<&'a Value> {
        self.known.push(key);
        self.members.get(key).filter(|value| !value.is_null())
    }

    /// A number, or `None` for null or nothing.
    pub(super) fn optional(&mut self, key: &'static str, faults: &mut Faults) -> Option<f64> {
        let value = self.given(key)?;
        let number = value.as_f64().filter(|number| number.is_finite());
        if number.is_none() {
            faults.add(self.named(key), "must be a number");
        }
        number
    }

    /// A number that must be there; not a number where it is missing, and then it is a fault.
    pub(super) fn needed(&mut self, key: &'static str, faults: &mut Faults) -> f64 {
        let before = faults.0.len();
        let number = self.optional(key, faults);
        if number.is_none() && faults.0.len() == before {
            faults.add(self.named(key), "is needed");
        }
        number.unwrap_or(f64::NAN)
    }

    /// True or false; false for null or nothing.
    pub(super) fn flag(&mut self, key: &'static str, faults: &mut Faults) -> bool {
        let Some(value) = self.given(key) else {
            return false;
        };
        value.as_bool().unwrap_or_else(|| {
            faults.add(self.named(key), "must be true or false");
            false
        })
    }

    /// A list, with the place of each item; empty for nothing.
    pub(super) fn list(&mut self, key: &'static str, faults: &mut Faults) -> Vec<(String, &'a Value)> {
        let named = self.named(key);
        let Some(value) = self.given(key) else {
            return Vec::new();
        };
        let Some(items) = value.as_array() else {
            faults.add(named, "must be a list");
            return Vec::new();
        };
        let placed = items.iter().enumerate();
        placed
            .map(|(at, item)| (format!("{named}[{at}]"), item))
            .collect()
    }

    /// Faults for every member that was not asked for.
    pub(super) fn refuse_unknown(&self, faults: &mut Faults) {
        for key in self
            .members
            .keys()
            .filter(|key| !self.known.contains(&key.as_str()))
        {
            let problem = format!("is not known; known are {}", self.known.join(", "));
            faults.add(self.named(&shown(key)), problem);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn every_member_that_cannot_be_used_is_named_by_its_place() {
        let question = json!({"a": "1", "b": null, "d": 4, "flag": 1, "list": {}, "extra": 1});
        let mut faults = Faults::default();
        let mut object = Object::of(&question, "runs[2]", &mut faults).unwrap();
        assert_eq!(object.optional("b", &mut faults), None);
        assert_eq!(object.needed("d", &mut faults), 4.0);
        object.needed("a", &mut faults);
        object.needed("c", &mut faults);
        assert!(!object.flag("flag", &mut faults));
        assert!(object.list("list", &mut faults).is_empty());
        object.refuse_unknown(&mut faults);
        let named: Vec<&str> = faults.0.iter().map(|fault| fault.field.as_str()).collect();
        assert_eq!(
            named,
            [
                "runs[2].a",
                "runs[2].c",
                "runs[2].flag",
                "runs[2].list",
                "runs[2].extra"
            ]
        );
        assert!(Object::of(&json!([1]), "", &mut faults).is_none());
    }
}
