//! A standing as JSON. Numbers are SI with the unit in the key, except estimates, which name their unit.

use crate::prose::standing as words;
use crate::records::{BlendCode, TestKey};
use crate::resemblance::{TermLikeness, TermValue};
use crate::standing::Comparison;
use crate::standing::{
    Basis, CandidateStanding, Caution, ContactLikeness, Estimate, Evidence, GateStanding, NextRun, Planned,
    Rival, Standing, TestStanding, Tip, Verdict,
};
use serde_json::{Map, Value, json};

/// The standing of a comparison, in the form in which the HTTP interface and the command line give it.
pub fn standing_json(comparison: &Comparison) -> Value {
    let standing = &comparison.standing;
    let text = |blend: &Option<_>| blend.as_ref().map(ToString::to_string);
    json!({
        "trial": standing.trial.to_string(),
        "machine": standing.machine.to_string(),
        "engine": env!("CARGO_PKG_VERSION"),
        "draws": standing.draws,
        "seed": standing.seed,
        "head_room": standing.head_room,
        "asked": asked(comparison),
        "sentence": words::sentence(comparison),
        "resemblance_mass": standing.resemblance_mass,
        "effective_tests": standing.effective_tests,
        "monte_carlo_error": standing.monte_carlo_error,
        "front_runner": text(&standing.front_runner),
        "leader": text(&standing.leader),
        "runner_up": text(&standing.runner_up),
        "resolved": standing.resolved,
        "candidates": standing.candidates.iter().map(candidate).collect::<Vec<_>>(),
        "tests": standing.tests.iter().map(|test| test_json(test, comparison)).collect::<Vec<_>>(),
        "alternatives": standing.alternatives.iter().map(|other| json!({
            "what": other.what,
            "leader": text(&other.front_runner),
            "p_best": other.p_best,
            "candidates": other.candidates.iter().map(|(blend, (score, p_best))| {
                (blend.to_string(), json!({"score": score, "p_best": p_best}))
            }).collect::<Map<_, _>>(),
        })).collect::<Vec<_>>(),
        "leave_outs": standing.leave_outs.iter().map(|out| json!({
            "left_out": out.left_out.word(),
            "name": out.name,
            "tests": out.tests.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "extreme": out.extreme,
            "front_runner": text(&out.front_runner),
            "p_best": out.p_best,
            "p_changes": out.p_changes,
            "changes": out.changes,
        })).collect::<Vec<_>>(),
        "runs_left_out": standing.runs_left_out,
        "rivals": standing.rivals.iter().map(rival).collect::<Vec<_>>(),
        "cautions": standing.cautions.iter().map(|one| caution(one, standing)).collect::<Vec<_>>(),
        "gates": standing.gates.iter().map(gate).collect::<Vec<_>>(),
        "run_next": standing.run_next.runs.iter().map(next_run).collect::<Vec<_>>(),
        "doubt": standing.run_next.doubt.map(|doubt| json!({
            "as_it_is": doubt.as_it_is,
            "results_known": doubt.results_known,
            "weights_known": doubt.weights_known,
        })),
    })
}

/// What was asked of duty and reference oils; what of the machine that has changed, by contact.
fn asked(comparison: &Comparison) -> Value {
    let asked = &comparison.what_if;
    let anchor = |anchor: &Option<_>| anchor.as_ref().map(ToString::to_string);
    json!({
        "duty_load": asked.duty.load,
        "duty_speed": asked.duty.speed,
        "known_good": anchor(&asked.known_good),
        "known_poor": anchor(&asked.known_poor),
        "changed": comparison.duty.iter().map(|contact| json!({
            "contact": contact.contact,
            "parameters": contact.changes.iter().map(|change| json!({
                "label": change.label,
                "factor": change.factor,
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}

fn next_run(run: &NextRun) -> Value {
    json!({
        "tests": run.tests.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "blends": run.blends.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "value": run.value,
        "per_cost": run.per_cost(),
        "per_day": run.per_day(),
        "leader_changes": run.leader_changes,
        "cost": run.cost,
        "days": run.days,
        "planned": run.planned == Planned::InTrial,
        "scale_assumed": run.basis == Basis::Assumed,
    })
}

fn candidate(candidate: &CandidateStanding) -> Value {
    json!({
        "blend": candidate.blend.to_string(),
        "p_best": candidate.p_best,
        "score": candidate.score,
        "score_lo": candidate.score_lo,
        "score_hi": candidate.score_hi,
        "ranks": candidate.ranks,
        "wins": candidate.wins.iter().map(|(blend, share)| (blend.to_string(), json!(share))).collect::<Map<_, _>>(),
        "coverage": candidate.coverage,
        "score_worst_fill": candidate.score_worst_fill,
        "score_best_fill": candidate.score_best_fill,
        "out": candidate.out,
    })
}

fn test_json(test: &TestStanding, comparison: &Comparison) -> Value {
    let unit = comparison
        .records
        .test(&test.key)
        .map(|(_, quantity)| quantity.unit.word());
    let positions: Map<String, Value> = test
        .positions
        .iter()
        .map(|(blend, p)| (blend.to_string(), json!({"mean": p.mean, "lo": p.lo, "hi": p.hi})))
        .collect();
    let in_unit = |(blend, e): (&BlendCode, &Estimate)| {
        let estimate = json!({
            "value": e.value, "lo": e.lo, "hi": e.hi, "unit": unit, "capped": e.capped, "runs": e.runs,
        });
        (blend.to_string(), estimate)
    };
    let estimates: Map<String, Value> = test.estimates.iter().map(in_unit).collect();
    let raw_estimates: Map<String, Value> = test.raw_estimates.iter().map(in_unit).collect();
    json!({
        "key": test.key.to_string(),
        "method": test.key.method,
        "quantity": test.key.quantity,
        "use": test.used_to.word(),
        "scale": comparison.records.test(&test.key).map(|(_, quantity)| quantity.scale.word()),
        "weight": test.weight,
        "resemblance": test.resemblance,
        "relevance": test.relevance,
        "extreme": test.extreme,
        "excluded": test.excluded,
        "contacts": test.contacts.iter().map(contact).collect::<Vec<_>>(),
        "lead_share": test.lead_share,
        "leader_without": test.leader_without.as_ref().map(ToString::to_string),
        "tips_down": test.tips_down.as_ref().map(tip),
        "tips_up": test.tips_up.as_ref().map(tip),
        "validity": {
            "good_over_poor": test.validity.good_over_poor,
            "middle_between": test.validity.middle_between,
            "good_over_control": test.validity.good_over_control,
        },
        "positions": positions,
        "verdicts": test.verdicts.iter().map(verdict).collect::<Vec<_>>(),
        "estimates": estimates,
        "raw_estimates": raw_estimates,
    })
}

/// Differences are on the test's working scale (`scale`), positive where the candidate is better.
fn verdict(verdict: &Verdict) -> Value {
    let difference = verdict.difference.as_ref();
    json!({
        "blend": verdict.blend.to_string(),
        "reference": verdict.reference.to_string(),
        "verdict": verdict.apart.words(),
        "p_better": verdict.p_better,
        "better_by": difference.map(|one| one.by),
        "critical_difference": difference.map(|one| one.critical),
        "same_block": difference.map(|one| one.share_a_block),
        "simultaneous": difference.and_then(|one| one.simultaneous).map(|limits| json!({
            "lo": limits.lo, "hi": limits.hi, "adjusted_p": limits.adjusted_p,
        })),
    })
}

fn rival(rival: &Rival) -> Value {
    let keys = |keys: &[TestKey]| keys.iter().map(ToString::to_string).collect::<Vec<_>>();
    json!({
        "blend": rival.blend.to_string(),
        "lead": rival.lead,
        "front_wins": rival.front_wins,
        "tips": rival.tips.iter().map(|(key, factor)| (key.to_string(), json!(factor))).collect::<Map<_, _>>(),
        "common_change": rival.change.as_ref().map(|change| json!({
            "factor": change.factor,
            "raise": keys(&change.raise),
            "lower": keys(&change.lower),
        })),
    })
}

fn tip(tip: &Tip) -> Value {
    json!({"factor": tip.factor, "to": tip.to.to_string()})
}

pub(crate) fn contact(likeness: &ContactLikeness) -> Value {
    json!({
        "contact": likeness.contact,
        "share": likeness.share,
        "resemblance": likeness.resemblance.value,
        "relevance": likeness.relevance,
        "beyond": likeness.resemblance.beyond.iter().map(|beyond| beyond.word()).collect::<Vec<_>>(),
        "terms": likeness.resemblance.terms.iter().map(term).collect::<Vec<_>>(),
    })
}

fn term(term: &TermLikeness) -> Value {
    json!({
        "term": term.term.word(),
        "test": side(&term.test),
        "machine": side(&term.machine),
        "similarity": term.similarity,
        "importance": term.importance,
        "dropped": term.similarity.is_none(),
        "remark": term.remark,
    })
}

fn side(value: &TermValue) -> Value {
    match value {
        TermValue::Range(range) => json!([range.lo(), range.hi()]),
        TermValue::Word(word) => json!(word),
        TermValue::Unknown => Value::Null,
    }
}

fn caution(caution: &Caution, standing: &Standing) -> Value {
    let evidence: Map<String, Value> = caution
        .evidence
        .iter()
        .map(|(name, evidence)| {
            let evidence = match evidence {
                Evidence::Number(number) => json!(number),
                Evidence::Text(text) => json!(text),
                Evidence::List(items) => json!(items),
            };
            ((*name).to_string(), evidence)
        })
        .collect();
    let (heading, text) = words::caution(caution, standing);
    json!({
        "kind": caution.kind.word(),
        "about": caution.kind.about().word(),
        "severity": caution.severity.word(),
        "test": caution.test.as_ref().map(ToString::to_string),
        "evidence": evidence,
        "heading": heading,
        "text": text,
    })
}

fn gate(gate: &GateStanding) -> Value {
    json!({
        "method": gate.key.method,
        "quantity": gate.key.quantity,
        "blend": gate.blend.to_string(),
        "limit": gate.limit,
        "results": gate.results,
        "outcome": gate.outcome.word(),
    })
}
