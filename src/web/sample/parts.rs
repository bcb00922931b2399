//! Contacts, gates, what is left out, cautions.

use crate::catalogue::{MethodId, Value};
use crate::records::{BlendCode, GateOutcome, TestKey};
use crate::resemblance::{Beyond, Remark, Resemblance, Scales, Term, TermLikeness, TermValue};
use crate::standing::{
    CandidateStanding, Caution, CommonChange, ContactLikeness, Finding, GateCount, GateRun, GateStanding,
    Hinge, LeaveOut, LeftOut, NotSorting, Rival, Severity, TestStanding,
};
use crate::units::{Interval, Unit};
use crate::web::sample::{TestPlan, candidate_code, code};

pub(super) fn contact(plan: &TestPlan, extreme: bool) -> ContactLikeness {
    let term = |term: Term| TermLikeness {
        term,
        test: match term {
            Term::Motion => TermValue::Word("one way"),
            Term::Materials => TermValue::Word("hard steel/hard steel"),
            Term::Supply => TermValue::Word("bath"),
            Term::FilmRatio => TermValue::Unknown,
            _ => TermValue::Range(Interval::new(0.9e9, 1.4e9).unwrap()),
        },
        machine: TermValue::Range(Interval::new(0.7e9, 1.5e9).unwrap()),
        distance: Some(0.2),
        similarity: (term != Term::FilmRatio).then_some(0.81),
        importance: Scales::default().importance(term),
        remark: (term == Term::FilmRatio).then_some(Remark::ScoresSeizure),
    };
    ContactLikeness {
        contact: "planetary mesh".to_string(),
        share: 0.45,
        of_test: "raceways".to_string(),
        resemblance: Resemblance {
            terms: Term::ALL.into_iter().map(term).collect(),
            value: Some(plan.resemblance),
            beyond: if extreme {
                vec![Beyond::Pressure, Beyond::Sliding]
            } else {
                Vec::new()
            },
        },
        relevance: 1.0,
    }
}

pub(super) fn gate(index: usize) -> GateStanding {
    GateStanding {
        key: TestKey::parse("cu_d130/class").unwrap(),
        label: "Tarnish class".to_string(),
        standard: "ASTM D130".to_string(),
        limit: "<= 1b".to_string(),
        blend: candidate_code(index),
        runs: vec![GateRun {
            value: Value::Class(if index == 5 { "3b" } else { "1a" }.to_string()),
            stopped: false,
        }],
        unit: Unit::Class,
        mean: None,
        inside_by: None,
        margin: None,
        count: GateCount {
            inside: usize::from(index != 5),
            outside: usize::from(index == 5),
            runs: 1,
        },
        on_the_wrong_side: index == 5,
        outcome: match index {
            5 => GateOutcome::Fail,
            2 => GateOutcome::InDoubt,
            3 => GateOutcome::NotRun,
            _ => GateOutcome::Pass,
        },
    }
}

pub(super) fn leave_outs(
    tests: &[TestStanding],
    front: Option<&BlendCode>,
    second: Option<&BlendCode>,
) -> Vec<LeaveOut> {
    let mut outs: Vec<LeaveOut> = Vec::new();
    let mut add = |left_out: LeftOut, tests: Vec<TestKey>, changes: bool| {
        outs.push(LeaveOut {
            extreme: matches!(&left_out, LeftOut::Method(method) if method.as_str() == "fb_ep_oil")
                || left_out == LeftOut::ExtremeScreens,
            left_out,
            tests,
            front_runner: if changes { second.cloned() } else { front.cloned() },
            p_best: Some(if changes { 0.55 } else { 0.66 }),
            p_changes: Some(if changes { 0.72 } else { 0.34 }),
            changes,
            may_be_named: false,
        });
    };
    for test in tests {
        let of_method = |other: &&TestStanding| other.key.method == test.key.method;
        let keys: Vec<TestKey> = tests.iter().filter(of_method).map(|t| t.key.clone()).collect();
        if keys.first() == Some(&test.key) {
            add(
                LeftOut::Method(test.key.method.clone()),
                keys,
                test.key.method.as_str() == "rb_oil",
            );
        }
        add(LeftOut::Quantity(test.key.clone()), vec![test.key.clone()], false);
    }
    add(
        LeftOut::Rig("LO-2".to_string()),
        vec![TestKey::parse("lo_oil_wear/scar").unwrap()],
        false,
    );
    add(
        LeftOut::ExtremeScreens,
        vec![TestKey::parse("fb_ep_oil/weld").unwrap()],
        false,
    );
    outs
}

pub(super) fn rivals(candidates: &[CandidateStanding], tests: &[TestStanding]) -> Vec<Rival> {
    let weighed: Vec<&TestStanding> = tests.iter().filter(|test| test.weight > 0.0).collect();
    let inside = candidates.iter().filter(|candidate| candidate.p_best.is_some());
    inside
        .skip(1)
        .map(|candidate| Rival {
            blend: candidate.blend.clone(),
            lead: 0.08,
            front_wins: 0.77,
            tips: weighed
                .first()
                .map(|test| (test.key.clone(), 0.42))
                .into_iter()
                .collect(),
            change: Some(CommonChange {
                factor: 1.3,
                raise: weighed.iter().skip(1).map(|test| test.key.clone()).collect(),
                lower: weighed.iter().take(1).map(|test| test.key.clone()).collect(),
            }),
        })
        .collect()
}

pub(super) fn cautions(front: Option<&BlendCode>, tests: &[TestStanding]) -> Vec<Caution> {
    let Some(front) = front else {
        return vec![Caution::new(Severity::High, Finding::NoReference {}).of_test(&tests[0].key)];
    };
    let hinge = Hinge {
        front_runner: front.clone(),
        without: LeftOut::Method(MethodId::new("fb_ep_oil").unwrap()),
        then_in_front: Some(code("K-02")),
        p_best_then: None,
        p_changes: Some(0.72),
        tests: vec![TestKey::parse("fb_ep_oil/weld").unwrap()],
    };
    vec![
        Caution::new(
            Severity::Stop,
            Finding::RestsOnOneExtremeScreen { hinge, p_best: 0.71 },
        )
        .of_test(&TestKey::parse("fb_ep_oil/weld").unwrap()),
        Caution::new(
            Severity::High,
            Finding::NotResolved {
                front_runner: front.clone(),
                p_best: 0.71,
                cannot_be_told_apart: vec![code("K-02"), code("K-03")],
            },
        ),
        Caution::new(
            Severity::Medium,
            Finding::NotSorting {
                reason: NotSorting::ControlAsGood,
                probability: 0.02,
                weight_otherwise: 0.1,
            },
        )
        .of_test(&TestKey::parse("lo_oil_wear/cof").unwrap()),
        Caution::new(
            Severity::Medium,
            Finding::Capped {
                blends: [code("K-01"), code("K-02")],
                weight: 0.2,
            },
        )
        .of_test(&TestKey::parse("gear_A8/fail_stage").unwrap()),
        Caution::new(
            Severity::Note,
            Finding::GateNotRun {
                blend: code("K-04"),
                gates: vec!["Tarnish class".to_string()],
            },
        ),
    ]
}
