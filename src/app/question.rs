//! The fields of a question what if: what a reader leaves out, weighs by hand or lets in.
//!
//! `without=a,b` (or repeated), `weight.METHOD/QUANTITY=0.3`, `importance.TERM=2`, `halving.TERM=3`, `duty.load=1.5`,
//! `duty.speed=2`, `head_room=0.5`, `known_good=BLEND` or `none`, `known_poor` likewise, `gated=in`, `sorting=in`, `draws`,
//! `seed`.

use crate::intake::{FieldFault, read_within, shown};
use crate::prose::faults::scale_fault;
use crate::records::{BlendCode, DutyFactors, Term, TermScale, TermScaleFault, TestKey, TrialRecords};
use crate::standing::{Anchor, HEAD_ROOM, Moved, USUAL_DRAWS, USUAL_SEED, WhatIf, Without};
use std::ops::RangeInclusive;

/// The what-if of a query string, or every field that cannot be used. A field that this list does not know, or one
/// with its value left empty, is passed over. Whether a trial has the tests that are named, [`refuse_nonsense`] says.
pub(crate) fn what_if(pairs: &[(String, String)]) -> Result<WhatIf, Vec<FieldFault>> {
    let mut asked = WhatIf::default();
    let mut faults = Vec::new();
    for (field, text) in pairs {
        let text = text.trim();
        if text.is_empty() {
            continue;
        }
        if let Err(problem) = take(field, text, &mut asked) {
            faults.push(FieldFault::new(shown(field), problem));
        }
    }
    if faults.is_empty() { Ok(asked) } else { Err(faults) }
}

fn take(field: &str, text: &str, asked: &mut WhatIf) -> Result<(), String> {
    match field {
        "without" => leave_out(text, asked)?,
        "gated" => asked.lets_in_gated = is_in(text)?,
        "sorting" => asked.lets_in_not_sorting = is_in(text)?,
        "head_room" => {
            let what = "is not a head-room; write a number from 0 to 1";
            asked.head_room = number(text, &WhatIf::HEAD_ROOMS, what)?;
        }
        "known_good" => asked.known_good = Some(anchor(text)?),
        "known_poor" => asked.known_poor = Some(anchor(text)?),
        "draws" => asked.draws = draws(text)?,
        "seed" => {
            let seed = text.parse::<u64>();
            asked.seed = seed.map_err(|_| refused(text, "is not a whole number"))?;
        }
        "duty.load" => asked.duty.load = duty(text)?,
        "duty.speed" => asked.duty.speed = duty(text)?,
        _ => match field.split_once('.') {
            Some(("weight", key)) => weigh(key, text, asked)?,
            Some(("importance", term)) => scale(term, text, Moved::Importance, asked)?,
            Some(("halving", term)) => scale(term, text, Moved::Halving, asked)?,
            _ => {}
        },
    }
    Ok(())
}

fn refused(text: &str, problem: &str) -> String {
    format!("'{}' {problem}", shown(text))
}

fn number(text: &str, limits: &RangeInclusive<f64>, otherwise: &str) -> Result<f64, String> {
    read_within(text, limits, refused(text, otherwise))
}

fn leave_out(text: &str, asked: &mut WhatIf) -> Result<(), String> {
    for name in text.split(',').filter(|name| !name.trim().is_empty()) {
        let without = Without::parse(name)
            .ok_or_else(|| format!("'{}' is not a method or method/quantity", shown(name)))?;
        if !asked.without.contains(&without) {
            asked.without.push(without);
        }
    }
    Ok(())
}

fn is_in(text: &str) -> Result<bool, String> {
    let is_in = (text == "in").then_some(true);
    is_in.ok_or_else(|| refused(text, "is not known; write 'in' or leave it away"))
}

fn anchor(text: &str) -> Result<Anchor, String> {
    if text == Anchor::NONE {
        return Ok(Anchor::LeftOut);
    }
    let oil = BlendCode::new(text).map(Anchor::Oil);
    oil.ok_or_else(|| refused(text, "is not the code of a blend"))
}

fn draws(text: &str) -> Result<usize, String> {
    let otherwise = "is not a number from 200 to 200000";
    let draws = number(text, &WhatIf::DRAWS, otherwise)?;
    let is_whole = draws.fract() == 0.0;
    is_whole
        .then_some(draws as usize)
        .ok_or_else(|| refused(text, otherwise))
}

fn duty(text: &str) -> Result<f64, String> {
    let otherwise = "is not a factor of the duty; write a number from 0.1 to 10";
    number(text, &DutyFactors::ALLOWED, otherwise)
}

fn weigh(key: &str, text: &str, asked: &mut WhatIf) -> Result<(), String> {
    let key = TestKey::parse(key).ok_or_else(|| refused(key, "is not method/quantity"))?;
    let otherwise = "is not a weight; write a number from 0 to 1";
    let weight = number(text, &WhatIf::WEIGHTS, otherwise)?;
    asked.weights.insert(key, weight);
    Ok(())
}

fn scale(term: &str, text: &str, moved: Moved, asked: &mut WhatIf) -> Result<(), String> {
    let term = Term::from_word(term).ok_or_else(|| {
        let allowed = Term::allowed();
        refused(
            term,
            &format!("is not one of the eleven terms; write one of {allowed}"),
        )
    })?;
    let number = number(text, &(f64::MIN..=f64::MAX), "is not a number")?;
    let refuse = |problem: TermScaleFault| format!("'{}': {}", shown(text), scale_fault(problem));
    let scale = asked.scales.entry(term).or_default();
    match moved {
        Moved::Importance => {
            scale.importance = Some(TermScale::checked_importance(number).map_err(refuse)?);
        }
        Moved::Halving => scale.halving = Some(TermScale::checked_halving(term, number).map_err(refuse)?),
    }
    Ok(())
}

/// Refuses a question about a test that the trial does not have, which would be answered as if it had not been asked,
/// and one that no fields could ask.
pub(crate) fn refuse_nonsense(records: &TrialRecords, asked: &WhatIf) -> Result<(), FieldFault> {
    let tests = &records.trial.tests;
    let unknown = |field: String, name: String| {
        let known: Vec<String> = tests.iter().map(|test| test.key.to_string()).collect();
        let problem = format!(
            "'{name}' is not a test of this trial; it has {}",
            known.join(", ")
        );
        Err(FieldFault::new(field, problem))
    };
    for without in &asked.without {
        if !tests.iter().any(|test| without.covers(&test.key)) {
            return unknown("without".to_string(), without.to_string());
        }
    }
    for key in asked.weights.keys() {
        if !tests.iter().any(|test| &test.key == key) {
            return unknown(format!("weight.{key}"), key.to_string());
        }
    }
    match what_if(&fields(asked)) {
        Ok(_) => Ok(()),
        Err(faults) => faults.into_iter().next().map_or(Ok(()), Err),
    }
}

/// The fields of a what-if, in one order, without what is usual; none for the evidence as it is.
pub(crate) fn fields(asked: &WhatIf) -> Vec<(String, String)> {
    let without = asked.without.iter();
    let mut pairs: Vec<(String, String)> = without
        .map(|without| ("without".to_string(), without.to_string()))
        .collect();
    for (key, weight) in &asked.weights {
        pairs.push((format!("weight.{key}"), weight.to_string()));
    }
    pairs.extend(scale_fields(asked));
    let mut field = |name: &str, value: Option<String>| {
        pairs.extend(value.map(|value| (name.to_string(), value)));
    };
    let unless = |number: f64, usual: f64| (number != usual).then(|| number.to_string());
    let switch = |is_in: bool| is_in.then(|| "in".to_string());
    let anchor = |anchor: &Option<Anchor>| anchor.as_ref().map(ToString::to_string);
    field("duty.load", unless(asked.duty.load, 1.0));
    field("duty.speed", unless(asked.duty.speed, 1.0));
    field("head_room", unless(asked.head_room, HEAD_ROOM));
    field("known_good", anchor(&asked.known_good));
    field("known_poor", anchor(&asked.known_poor));
    field("gated", switch(asked.lets_in_gated));
    field("sorting", switch(asked.lets_in_not_sorting));
    field(
        "draws",
        (asked.draws != USUAL_DRAWS).then(|| asked.draws.to_string()),
    );
    field("seed", (asked.seed != USUAL_SEED).then(|| asked.seed.to_string()));
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

#[cfg(test)]
mod tests;
