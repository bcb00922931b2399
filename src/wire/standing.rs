//! A standing as JSON. Numbers are SI with the unit in the key, except estimates, which name their unit.

use crate::prose::cautions::{departing_runs, moved_run, not_sorting};
use crate::prose::gates::{failed_gates, runs, unmet_gate};
use crate::prose::readings::reading;
use crate::prose::reasons::{apart, assumption, left_out_id, not_weighed, rule};
use crate::prose::resemblance::remark;
use crate::prose::standing as words;
use crate::records::{BlendCode, Term, TestKey};
use crate::resemblance::{TermLikeness, TermValue};
use crate::standing::kernel::Validity;
use crate::standing::{
    Assumption, Basis, CandidateStanding, Caution, Comparison, ContactDuty, ContactLikeness, DepartingRuns,
    DoubtSplit, Estimate, Finding, GateStanding, LeaveOut, LeftOut, MovedRun, NextRun, NotSorting,
    NotWeighed, Planned, Position, Rule, RunReading, Simultaneous, Standing, TestStanding, Tip, UnmetGate,
    Verdict,
};
use crate::units::{DisplayPreferences, Unit};
use crate::wire::no_worse::{EquivalenceJson, NoWorseJson};
use serde::{Serialize, Serializer};
use serde_json::Value;
use std::collections::BTreeMap;

/// How numbers stand in texts for programs.
fn shown() -> DisplayPreferences {
    DisplayPreferences::default()
}

/// The standing of a comparison, in the form in which the HTTP interface and the command line give it.
pub fn standing_json(comparison: &Comparison) -> Value {
    // all keys are texts, so nothing can be refused
    serde_json::to_value(StandingJson::of(comparison)).unwrap_or_default()
}

#[derive(Serialize)]
struct StandingJson<'a> {
    engine: &'static str,
    asked: Asked<'a>,
    sentence: String,
    #[serde(flatten)]
    standing: &'a Standing,
    candidates: Vec<CandidateJson<'a>>,
    tests: Vec<TestJson<'a>>,
    leave_outs: Vec<LeaveOutJson<'a>>,
    breaks_without: Option<BreakJson>,
    cautions: Vec<CautionJson<'a>>,
    gates: Vec<GateJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    equivalence: Option<Vec<EquivalenceJson<'a>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    no_worse: Option<Vec<NoWorseJson<'a>>>,
    run_next: Vec<NextRunJson<'a>>,
    doubt: Option<DoubtSplit>,
}

impl<'a> StandingJson<'a> {
    fn of(comparison: &'a Comparison) -> Self {
        let standing = &comparison.standing;
        let tests = standing.tests.iter();
        let cautions = standing.cautions.iter();
        Self {
            engine: env!("CARGO_PKG_VERSION"),
            asked: Asked::of(comparison),
            sentence: words::sentence(&comparison.records, standing, shown()),
            standing,
            candidates: standing.candidates.iter().map(CandidateJson::of).collect(),
            tests: tests.map(|test| TestJson::of(test, comparison)).collect(),
            leave_outs: standing.leave_outs.iter().map(LeaveOutJson::of).collect(),
            breaks_without: standing.breaks_without.as_ref().map(BreakJson::of),
            cautions: cautions.map(|one| CautionJson::of(one, standing)).collect(),
            gates: standing.gates.iter().map(GateJson::of).collect(),
            equivalence: standing.equivalence.as_ref().map(EquivalenceJson::all),
            no_worse: standing.equivalence.as_ref().map(NoWorseJson::all),
            run_next: standing.run_next.runs.iter().map(NextRunJson::of).collect(),
            doubt: standing.run_next.doubt,
        }
    }
}

/// What was asked of duty and reference oils; what of the machine that has changed, by contact.
#[derive(Serialize)]
struct Asked<'a> {
    duty_load: f64,
    duty_speed: f64,
    known_good: Option<String>,
    known_poor: Option<String>,
    changed: Vec<ChangedContact<'a>>,
}

#[derive(Serialize)]
struct ChangedContact<'a> {
    contact: &'a str,
    parameters: Vec<ChangedParameter<'a>>,
}

#[derive(Serialize)]
struct ChangedParameter<'a> {
    label: &'a str,
    factor: f64,
}

impl<'a> Asked<'a> {
    fn of(comparison: &'a Comparison) -> Self {
        let asked = &comparison.what_if;
        let changed = |contact: &'a ContactDuty| ChangedContact {
            contact: &contact.contact,
            parameters: (contact.changes.iter())
                .map(|change| ChangedParameter {
                    label: change.label,
                    factor: change.factor,
                })
                .collect(),
        };
        Self {
            duty_load: asked.duty.load,
            duty_speed: asked.duty.speed,
            known_good: asked.known_good.as_ref().map(ToString::to_string),
            known_poor: asked.known_poor.as_ref().map(ToString::to_string),
            changed: comparison.duty.iter().map(changed).collect(),
        }
    }
}

#[derive(Serialize)]
struct NextRunJson<'a> {
    #[serde(flatten)]
    run: &'a NextRun,
    per_cost: Option<f64>,
    per_day: Option<f64>,
    planned: bool,
    scale_assumed: bool,
}

impl<'a> NextRunJson<'a> {
    fn of(run: &'a NextRun) -> Self {
        Self {
            per_cost: run.per_cost(),
            per_day: run.per_day(),
            planned: run.planned == Planned::InTrial,
            scale_assumed: run.basis == Basis::Assumed,
            run,
        }
    }
}

#[derive(Serialize)]
struct CandidateJson<'a> {
    #[serde(flatten)]
    candidate: &'a CandidateStanding,
    out: Option<String>,
}

impl<'a> CandidateJson<'a> {
    fn of(candidate: &'a CandidateStanding) -> Self {
        Self {
            out: candidate
                .is_out()
                .then(|| failed_gates(&candidate.failed, shown())),
            candidate,
        }
    }
}

#[derive(Serialize)]
struct LeaveOutJson<'a> {
    left_out: &'static str,
    #[serde(flatten)]
    out: &'a LeaveOut,
}

impl<'a> LeaveOutJson<'a> {
    fn of(out: &'a LeaveOut) -> Self {
        Self {
            left_out: out.left_out.kind().word(),
            out,
        }
    }
}

/// The worst of what may be left out so that no leader could be named.
#[derive(Serialize)]
struct BreakJson {
    kind: &'static str,
    what: String,
    p_best: Option<f64>,
}

impl BreakJson {
    fn of(out: &LeaveOut) -> Self {
        Self {
            kind: out.left_out.kind().word(),
            what: left_out_id(&out.left_out),
            p_best: out.p_best,
        }
    }
}

#[derive(Serialize)]
struct TestJson<'a> {
    key: &'a TestKey,
    method: &'a str,
    quantity: &'a str,
    r#use: &'static str,
    scale: Option<&'static str>,
    weight: f64,
    resemblance: Option<f64>,
    resemblance_best: Option<f64>,
    relevance: Option<f64>,
    f_term: Option<&'static str>,
    extreme: bool,
    beyond_machine: bool,
    excluded: &'a Option<NotWeighed>,
    contacts: Vec<ContactJson<'a>>,
    lead_share: Option<f64>,
    leader_without: Option<&'a BlendCode>,
    may_be_named: bool,
    tips_down: &'a Option<Tip>,
    tips_up: &'a Option<Tip>,
    validity: Validity,
    positions: &'a BTreeMap<BlendCode, Position>,
    reading: BTreeMap<&'a BlendCode, Vec<String>>,
    verdicts: Vec<VerdictJson<'a>>,
    estimates: BTreeMap<&'a BlendCode, EstimateJson>,
    raw_estimates: BTreeMap<&'a BlendCode, EstimateJson>,
}

#[derive(Serialize)]
struct EstimateJson {
    #[serde(flatten)]
    estimate: Estimate,
    unit: Option<&'static str>,
}

impl<'a> TestJson<'a> {
    fn of(test: &'a TestStanding, comparison: &'a Comparison) -> Self {
        let standing = &comparison.standing;
        let without = standing.without(&LeftOut::Quantity(test.key.clone()));
        let quantity = comparison.records.test(&test.key).map(|(_, quantity)| quantity);
        let in_unit = |estimates: &'a BTreeMap<BlendCode, Estimate>| {
            let unit = quantity.map(|quantity| quantity.unit.word());
            let estimates = estimates.iter();
            estimates
                .map(|(blend, &estimate)| (blend, EstimateJson { estimate, unit }))
                .collect()
        };
        Self {
            key: &test.key,
            method: test.key.method.as_str(),
            quantity: &test.key.quantity,
            r#use: test.used_to.word(),
            scale: quantity.map(|quantity| quantity.scale.word()),
            weight: test.weight,
            resemblance: test.resemblance,
            resemblance_best: test.resemblance_best,
            relevance: test.relevance,
            f_term: test.decides_f().map(Term::word),
            extreme: test.extreme,
            beyond_machine: test.beyond_machine,
            excluded: &test.excluded,
            contacts: test.contacts.iter().map(ContactJson::of).collect(),
            lead_share: test.lead_share,
            leader_without: without.and_then(|out| out.front_runner.as_ref()),
            may_be_named: without.is_some_and(|out| out.may_be_named),
            tips_down: &test.tips_down,
            tips_up: &test.tips_up,
            validity: test.validity,
            positions: &test.positions,
            reading: quantity
                .map(|quantity| read(test, quantity.unit))
                .unwrap_or_default(),
            verdicts: test.verdicts.iter().map(VerdictJson::of).collect(),
            estimates: in_unit(&test.estimates),
            raw_estimates: in_unit(&test.raw_estimates),
        }
    }
}

/// What each run read, in words.
fn read(test: &TestStanding, unit: Unit) -> BTreeMap<&BlendCode, Vec<String>> {
    let of_blend = |runs: &Vec<RunReading>| runs.iter().map(|run| reading(run, unit, shown())).collect();
    let blends = test.readings.iter();
    blends.map(|(blend, runs)| (blend, of_blend(runs))).collect()
}

/// Differences are on the test's working scale (`scale`), positive where the candidate is better.
#[derive(Serialize)]
struct VerdictJson<'a> {
    blend: &'a BlendCode,
    reference: &'a BlendCode,
    verdict: &'static str,
    p_better: Option<f64>,
    better_by: Option<f64>,
    critical_difference: Option<f64>,
    same_block: Option<bool>,
    simultaneous: Option<Simultaneous>,
}

impl<'a> VerdictJson<'a> {
    fn of(verdict: &'a Verdict) -> Self {
        let difference = verdict.difference.as_ref();
        Self {
            blend: &verdict.blend,
            reference: &verdict.reference,
            verdict: apart(verdict.apart),
            p_better: verdict.p_better,
            better_by: difference.map(|one| one.by),
            critical_difference: difference.map(|one| one.critical),
            same_block: difference.map(|one| one.share_a_block),
            simultaneous: difference.and_then(|one| one.simultaneous),
        }
    }
}

#[derive(Serialize)]
pub(super) struct ContactJson<'a> {
    contact: &'a str,
    test_contact: &'a str,
    share: f64,
    resemblance: Option<f64>,
    relevance: f64,
    f_term: Option<&'static str>,
    beyond: Vec<&'static str>,
    terms: Vec<TermJson>,
}

#[derive(Serialize)]
struct TermJson {
    term: &'static str,
    test: Side,
    machine: Side,
    similarity: Option<f64>,
    importance: f64,
    dropped: bool,
    remark: &'static str,
}

/// One side of a comparison: the ends of a range, a word, or `null` where it is not known.
#[derive(Serialize)]
#[serde(untagged)]
enum Side {
    Range([f64; 2]),
    Word(&'static str),
    Unknown,
}

impl<'a> ContactJson<'a> {
    pub(super) fn of(likeness: &'a ContactLikeness) -> Self {
        let resemblance = &likeness.resemblance;
        Self {
            contact: &likeness.contact,
            test_contact: &likeness.of_test,
            share: likeness.share,
            resemblance: resemblance.value,
            relevance: likeness.relevance,
            f_term: resemblance.decides_f().map(Term::word),
            beyond: resemblance.beyond.iter().map(|beyond| beyond.word()).collect(),
            terms: resemblance.terms.iter().map(TermJson::of).collect(),
        }
    }
}

impl TermJson {
    fn of(term: &TermLikeness) -> Self {
        let side = |value: &TermValue| match value {
            TermValue::Range(range) => Side::Range([range.lo(), range.hi()]),
            TermValue::Word(word) => Side::Word(word),
            TermValue::Unknown => Side::Unknown,
        };
        Self {
            term: term.term.word(),
            test: side(&term.test),
            machine: side(&term.machine),
            similarity: term.similarity,
            importance: term.importance,
            dropped: term.similarity.is_none(),
            remark: term.remark.map(remark).unwrap_or_default(),
        }
    }
}

#[derive(Serialize)]
struct CautionJson<'a> {
    kind: &'static str,
    about: &'static str,
    severity: &'static str,
    test: &'a Option<TestKey>,
    evidence: &'a Finding,
    heading: &'static str,
    text: String,
}

impl<'a> CautionJson<'a> {
    fn of(caution: &'a Caution, standing: &Standing) -> Self {
        let (heading, text) = words::caution(caution, standing, shown());
        Self {
            kind: caution.kind().word(),
            about: caution.kind().about().word(),
            severity: caution.severity.word(),
            test: &caution.test,
            evidence: &caution.finding,
            heading,
            text,
        }
    }
}

#[derive(Serialize)]
struct GateJson<'a> {
    method: &'a str,
    quantity: &'a str,
    blend: &'a BlendCode,
    limit: &'a str,
    runs: Vec<String>,
    unit: &'static str,
    mean: Option<f64>,
    margin: Option<f64>,
    outcome: &'static str,
}

impl<'a> GateJson<'a> {
    fn of(gate: &'a GateStanding) -> Self {
        Self {
            method: gate.key.method.as_str(),
            quantity: &gate.key.quantity,
            blend: &gate.blend,
            limit: &gate.limit,
            runs: runs(gate, shown()),
            unit: gate.unit.word(),
            mean: gate.mean,
            margin: gate.margin,
            outcome: gate.outcome.word(),
        }
    }
}

/// What the evidence of a caution says in words.
macro_rules! in_words {
    ($($name:ty, $words:expr;)*) => {
        $(impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                let words: fn(&Self) -> String = $words;
                serializer.serialize_str(&words(self))
            }
        })*
    };
}

in_words! {
    Term, |term| term.word().to_string();
    Assumption, |what| assumption(what, shown());
    NotWeighed, |why| not_weighed(why, shown());
    LeftOut, left_out_id;
    MovedRun, moved_run;
    DepartingRuns, departing_runs;
    NotSorting, |reason| not_sorting(*reason).to_string();
    Rule, |one| rule(*one).to_string();
    UnmetGate, |gate| unmet_gate(gate, shown());
}
