//! The query string of a standing: what a reader leaves out, weighs by hand or lets in.
//!
//! `without=a,b` (or repeated), `weight.METHOD/QUANTITY=0.3`, `importance.TERM=2`, `halving.TERM=3`, `duty.load=1.5`,
//! `duty.speed=2`, `head_room=0.5`, `known_good=BLEND` or `none`, `known_poor` likewise, `gated=in`, `sorting=in`, `draws`,
//! `seed`.

use crate::app::TrialQuery;
use crate::records::{BlendCode, DutyFactors, ScaleFault, Term, TermScale, TestKey};
use crate::standing::{Anchor, HEAD_ROOM, MOST_HEAD_ROOM, Moved, USUAL_DRAWS, USUAL_SEED, WhatIf, Without};
use crate::web::error::{FieldFault, HttpError};
use crate::web::words;
use axum::extract::{FromRequestParts, Query};
use axum::http::request::Parts;
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

const DRAWS: std::ops::RangeInclusive<usize> = 200..=200_000;

/// The fields of a query string, in their order.
pub(crate) struct Pairs(pub(crate) Vec<(String, String)>);

impl Pairs {
    /// The first value of a field, without surrounding space.
    pub(crate) fn field(&self, name: &str) -> Option<&str> {
        let found = self.0.iter().find(|(field, _)| field == name);
        found.map(|(_, value)| value.trim())
    }

    /// Whether a field was sent without a value.
    pub(crate) fn has_empty_field(&self) -> bool {
        self.0.iter().any(|(_, value)| value.trim().is_empty())
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Pairs {
    type Rejection = HttpError;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, HttpError> {
        let read = Query::<Vec<(String, String)>>::from_request_parts(parts, state).await;
        read.map(|Query(pairs)| Self(pairs))
            .map_err(|rejection| HttpError::unusable(vec![FieldFault::new("query", rejection.body_text())]))
    }
}

/// The query of the list of trials.
pub(crate) fn trial_query(pairs: &[(String, String)]) -> Result<TrialQuery, HttpError> {
    let mut query = TrialQuery {
        page: 1,
        ..TrialQuery::default()
    };
    for (field, text) in pairs {
        let text = text.trim().to_string();
        match field.as_str() {
            "q" => query.filter.words = text,
            "machine" => query.filter.machine = text,
            "kind" => query.filter.kind = text,
            "method" => query.filter.method = text,
            "component" => query.filter.component = text,
            "status" => query.filter.status = text,
            "year" => query.filter.year = text,
            "page" if !text.is_empty() => query.page = page(&text)?,
            _ => {}
        }
    }
    Ok(query)
}

fn page(text: &str) -> Result<usize, HttpError> {
    let page = text.parse::<usize>().ok().filter(|page| *page >= 1);
    page.ok_or_else(|| {
        let problem = words::is_not_the_number_of_a_page(&shown(text));
        HttpError::unusable(vec![FieldFault::new("page", problem)])
    })
}

/// The what-if of a query string, or every field that cannot be used. A field that this list does not know, or one
/// with its value left empty, is passed over. Whether a trial has the tests that are named is for the app to say.
pub(crate) fn what_if(pairs: &[(String, String)]) -> Result<WhatIf, Vec<FieldFault>> {
    let mut asked = WhatIf::default();
    let mut faults = Vec::new();
    for (field, text) in pairs {
        let text = text.trim();
        if text.is_empty() {
            continue;
        }
        let read = match field.as_str() {
            "without" => leave_out(text, &mut asked),
            "gated" => switch(field, text).map(|()| asked.lets_in_gated = true),
            "sorting" => switch(field, text).map(|()| asked.lets_in_not_sorting = true),
            "head_room" => head_room(text).map(|room| asked.head_room = room),
            "known_good" => anchor(field, text).map(|anchor| asked.known_good = Some(anchor)),
            "known_poor" => anchor(field, text).map(|anchor| asked.known_poor = Some(anchor)),
            "draws" => draws(text).map(|draws| asked.draws = draws),
            "seed" => seed(text).map(|seed| asked.seed = seed),
            _ => dotted(field, text, &mut asked),
        };
        faults.extend(read.err());
    }
    if faults.is_empty() { Ok(asked) } else { Err(faults) }
}

/// A field that names a test or a term after its first dot.
fn dotted(field: &str, text: &str, asked: &mut WhatIf) -> Result<(), FieldFault> {
    match field.split_once('.') {
        Some(("weight", key)) => weight(field, key, text).map(|(key, weight)| {
            asked.weights.insert(key, weight);
        }),
        Some(("importance", term)) => scale(field, term, text, Moved::Importance, asked),
        Some(("duty", "load")) => duty(field, text).map(|factor| asked.duty.load = factor),
        Some(("duty", words::SPEED)) => duty(field, text).map(|factor| asked.duty.speed = factor),
        Some(("halving", term)) => scale(field, term, text, Moved::Halving, asked),
        _ => Ok(()),
    }
}

fn scale(field: &str, term: &str, text: &str, moved: Moved, asked: &mut WhatIf) -> Result<(), FieldFault> {
    let fault = |problem: String| FieldFault::new(shown(field), problem);
    let term = Term::from_word(term).ok_or_else(|| {
        let problem = words::is_not_one_of_the_ten_terms(&shown(term), &Term::allowed());
        fault(problem)
    })?;
    let number = text.replace(',', ".").parse::<f64>().ok();
    let number = number.ok_or_else(|| fault(words::is_not_a_number(&shown(text))))?;
    let refuse = |problem: ScaleFault| fault(format!("'{}': {problem}", shown(text)));
    let scale = asked.scales.entry(term).or_default();
    match moved {
        Moved::Importance => {
            scale.importance = Some(TermScale::checked_importance(number).map_err(refuse)?);
        }
        Moved::Halving => scale.halving = Some(TermScale::checked_halving(term, number).map_err(refuse)?),
    }
    Ok(())
}

fn decimal(text: &str) -> Option<f64> {
    text.replace(',', ".").parse::<f64>().ok()
}

fn head_room(text: &str) -> Result<f64, FieldFault> {
    let room = decimal(text).filter(|room| (0.0..=MOST_HEAD_ROOM).contains(room));
    room.ok_or_else(|| {
        let problem = words::is_not_a_head_room(&shown(text));
        FieldFault::new("head_room", problem)
    })
}

fn duty(field: &str, text: &str) -> Result<f64, FieldFault> {
    let factor = decimal(text).filter(|factor| DutyFactors::ALLOWED.contains(factor));
    factor.ok_or_else(|| {
        let problem = words::is_not_a_factor_of_the_duty(&shown(text));
        FieldFault::new(field, problem)
    })
}

fn anchor(field: &str, text: &str) -> Result<Anchor, FieldFault> {
    if text == Anchor::NONE {
        return Ok(Anchor::LeftOut);
    }
    let oil = BlendCode::new(text).map(Anchor::Oil);
    oil.ok_or_else(|| FieldFault::new(field, words::is_not_the_code_of_a_blend(&shown(text))))
}

fn leave_out(text: &str, asked: &mut WhatIf) -> Result<(), FieldFault> {
    for name in text.split(',').filter(|name| !name.trim().is_empty()) {
        let without = Without::parse(name).ok_or_else(|| {
            let problem = words::is_not_a_method_or_quantity(&shown(name));
            FieldFault::new("without", problem)
        })?;
        if !asked.without.contains(&without) {
            asked.without.push(without);
        }
    }
    Ok(())
}

fn weight(field: &str, key: &str, text: &str) -> Result<(TestKey, f64), FieldFault> {
    let fault = |problem: String| FieldFault::new(shown(field), problem);
    let key = TestKey::parse(key).ok_or_else(|| fault(words::is_not_a_quantity(&shown(key))))?;
    let weight = text
        .replace(',', ".")
        .parse::<f64>()
        .ok()
        .filter(|weight| (0.0..=1.0).contains(weight));
    let weight = weight.ok_or_else(|| fault(words::is_not_a_weight(&shown(text))))?;
    Ok((key, weight))
}

fn switch(field: &str, text: &str) -> Result<(), FieldFault> {
    if text == "in" {
        return Ok(());
    }
    Err(FieldFault::new(field, words::is_not_known_write_in(&shown(text))))
}

fn draws(text: &str) -> Result<usize, FieldFault> {
    let draws = text.parse::<usize>().ok().filter(|draws| DRAWS.contains(draws));
    draws.ok_or_else(|| FieldFault::new("draws", words::is_not_a_number_of_draws(&shown(text))))
}

fn seed(text: &str) -> Result<u64, FieldFault> {
    text.parse::<u64>()
        .map_err(|_| FieldFault::new("seed", words::is_not_a_whole_number(&shown(text))))
}

/// As much of what was written as helps to find it.
fn shown(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(80).collect()
}

/// The fields of a what-if, in one order, without what is usual; none for the evidence as it is.
pub(crate) fn fields(asked: &WhatIf) -> Vec<(String, String)> {
    let mut pairs: Vec<(String, String)> = asked
        .without
        .iter()
        .map(|without| ("without".to_string(), without.to_string()))
        .collect();
    for (key, weight) in &asked.weights {
        pairs.push((format!("weight.{key}"), weight.to_string()));
    }
    pairs.extend(scale_fields(asked));
    pairs.extend(record_fields(asked));
    if asked.lets_in_gated {
        pairs.push(("gated".to_string(), "in".to_string()));
    }
    if asked.lets_in_not_sorting {
        pairs.push(("sorting".to_string(), "in".to_string()));
    }
    if asked.draws != USUAL_DRAWS {
        pairs.push(("draws".to_string(), asked.draws.to_string()));
    }
    if asked.seed != USUAL_SEED {
        pairs.push(("seed".to_string(), asked.seed.to_string()));
    }
    pairs
}

/// The fields of a what-if that concern the machine's duty, the reference oils and the head-room.
fn record_fields(asked: &WhatIf) -> Vec<(String, String)> {
    let mut pairs = Vec::new();
    let mut field = |name: &str, value: String| pairs.push((name.to_string(), value));
    for (name, factor) in [("duty.load", asked.duty.load), ("duty.speed", asked.duty.speed)] {
        if factor != 1.0 {
            field(name, factor.to_string());
        }
    }
    if asked.head_room != HEAD_ROOM {
        field("head_room", asked.head_room.to_string());
    }
    for (name, anchor) in [
        ("known_good", &asked.known_good),
        ("known_poor", &asked.known_poor),
    ] {
        if let Some(anchor) = anchor {
            field(name, anchor.to_string());
        }
    }
    pairs
}

/// The fields of a what-if that concern the scales of the resemblance.
pub(crate) fn scale_fields(asked: &WhatIf) -> Vec<(String, String)> {
    let mut pairs = Vec::new();
    for (term, scale) in &asked.scales {
        let field = |moved: Moved, number: f64| (format!("{}.{term}", moved.word()), number.to_string());
        pairs.extend(scale.importance.map(|number| field(Moved::Importance, number)));
        pairs.extend(scale.halving.map(|number| field(Moved::Halving, number)));
    }
    pairs
}

/// The query string of a what-if, empty for the evidence as it is.
pub(crate) fn query_string(asked: &WhatIf) -> String {
    joined(&fields(asked))
}

/// Fields as a query string.
pub(crate) fn joined(pairs: &[(String, String)]) -> String {
    pairs
        .iter()
        .map(|(field, value)| format!("{}={}", encoded(field), encoded(value)))
        .collect::<Vec<_>>()
        .join("&")
}

/// Percent-encoded as one step of a path.
pub(crate) fn encoded_step(text: &str) -> String {
    encoded(text).replace('/', "%2F")
}

/// What stands as it is in a query string (RFC 3986, section 2.3), and `/`.
const AS_IT_IS: AsciiSet = NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~')
    .remove(b'/');

/// Percent-encoded for a query string.
pub(crate) fn encoded(text: &str) -> String {
    utf8_percent_encode(text, &AS_IT_IS).to_string()
}

#[cfg(test)]
mod tests;
