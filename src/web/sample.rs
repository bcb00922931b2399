//! Hand-built comparisons for tests of pages: invented blends, positions chosen to strain the layout.

use crate::catalogue::{Better, Scale, Use, Value, built_in};
use crate::desk::Comparison;
use crate::records::{
    Blend, BlendCode, BlendKind, Confidence, Dossier, GateOutcome, Level, Machine, MachineSlug, Purpose,
    ResultSource, ResultStatus, RigId, Role, RunResult, TestKey, Trial, TrialBlend, TrialSlug, TrialStatus,
    TrialTest,
};
use crate::resemblance::{Beyond, Resemblance, Term, TermLikeness, TermValue, scales};
use crate::standing::{
    Alternative, Anchored, CandidateStanding, Caution, CautionKind, ContactLikeness, Doubt, Estimate,
    GateStanding, LeaveOut, LeftOut, Position, RunMark, Severity, Standing, Strip, TestStanding, Tip,
    Validity, WhatIf,
};
use crate::units::Interval;
use std::collections::BTreeMap;

/// What a sample is like.
#[derive(Clone, Debug)]
pub(crate) struct Sample {
    /// Number of candidates.
    pub(crate) candidates: usize,
    /// What fixes the scales.
    pub(crate) anchored: Anchored,
    /// Names that would fill a line.
    pub(crate) long_names: bool,
    /// Whether anything was run.
    pub(crate) has_run: bool,
    /// Whether every result lies at the cap.
    pub(crate) all_capped: bool,
    /// Whether the question differs from the evidence as it is.
    pub(crate) asked: bool,
}

impl Default for Sample {
    fn default() -> Self {
        Self {
            candidates: 6,
            anchored: Anchored::Both,
            long_names: false,
            has_run: true,
            all_capped: false,
            asked: false,
        }
    }
}

struct TestPlan {
    method: &'static str,
    quantity: &'static str,
    poor: f64,
    good: f64,
    weight: f64,
    resemblance: f64,
}

const PLANS: [TestPlan; 10] = [
    plan("gear_lowspeed_wear", "mass_loss", 75.0, 16.0, 0.74, 0.74),
    plan("rb_oil", "roller_wear", 220.0, 5.0, 0.69, 0.69),
    plan("rb_oil", "cage_wear", 260.0, 36.0, 0.48, 0.69),
    plan("gear_micropit", "fail_stage", 7.0, 10.0, 0.46, 0.5),
    plan("lo_oil_wear", "scar", 0.75, 0.50, 0.31, 0.41),
    plan("gear_A8", "fail_stage", 6.0, 12.0, 0.29, 0.38),
    plan("bor_oil", "ok_load", 12.0, 60.0, 0.24, 0.3),
    plan("fb_wear_oil_B", "scar", 0.68, 0.40, 0.16, 0.25),
    plan("fb_ep_oil", "weld", 126.0, 200.0, 0.07, 0.17),
    plan("lo_oil_wear", "cof", 0.135, 0.118, 0.0, 0.41),
];

const fn plan(
    method: &'static str,
    quantity: &'static str,
    poor: f64,
    good: f64,
    weight: f64,
    resemblance: f64,
) -> TestPlan {
    TestPlan {
        method,
        quantity,
        poor,
        good,
        weight,
        resemblance,
    }
}

fn code(text: &str) -> BlendCode {
    BlendCode::new(text).unwrap()
}

pub(crate) fn candidate_code(index: usize) -> BlendCode {
    code(&format!("K-{:02}", index + 1))
}

/// A number between 0 and 1 that depends on its arguments alone.
fn scatter(a: usize, b: usize) -> f64 {
    let mixed = (a as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15)
        ^ (b as u64 + 7).wrapping_mul(0xC2B2_AE3D_27D4_EB4F);
    let mixed = (mixed ^ (mixed >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    ((mixed >> 40) as f64) / ((1u64 << 24) as f64)
}

impl Sample {
    /// The comparison.
    pub(crate) fn comparison(&self) -> Comparison {
        let standing = self.standing();
        let mut what_if = WhatIf::default();
        let mut as_it_is = None;
        if self.asked {
            what_if.weights.insert(TestKey::new("fb_ep_oil", "weld"), 0.9);
            what_if.lets_in_gated = true;
            let mut before = standing.clone();
            before.candidates.rotate_left(1);
            before.front_runner = before.candidates.first().map(|c| c.blend.clone());
            as_it_is = Some(before);
        }
        Comparison {
            dossier: self.dossier(),
            what_if,
            standing,
            as_it_is,
        }
    }

    fn dossier(&self) -> Dossier {
        let slug = TrialSlug::new("sample").unwrap();
        let mut parts: Vec<TrialBlend> = (0..self.candidates)
            .map(|i| TrialBlend {
                blend: candidate_code(i),
                role: Role::Candidate,
                level: None,
            })
            .collect();
        if self.anchored != Anchored::None {
            parts.push(TrialBlend {
                blend: code("GOOD"),
                role: Role::Reference,
                level: Some(Level::KnownGood),
            });
        }
        if self.anchored == Anchored::Both {
            for (name, level) in [("POOR", Level::KnownPoor), ("MIDDLE", Level::KnownMiddle)] {
                parts.push(TrialBlend {
                    blend: code(name),
                    role: Role::Reference,
                    level: Some(level),
                });
            }
        }
        parts.push(TrialBlend {
            blend: code("SUGAR"),
            role: Role::Control,
            level: None,
        });
        let blends = parts.iter().map(|part| self.blend(part)).collect();
        let mut tests: Vec<TrialTest> = PLANS
            .iter()
            .map(|plan| trial_test(plan.method, plan.quantity, Use::Weigh, ""))
            .collect();
        tests.push(trial_test("cu_d130", "class", Use::Gate, "<= 1b"));
        Dossier {
            trial: Trial {
                slug,
                title: "Pitch drive, full round".to_string(),
                question: if self.long_names {
                    "Which of the many blends that were made since the spring goes to the plant for the slow, small-angle, stop-start planetary pitch drive under sea water?"
                } else {
                    "Which blend goes to the plant for the pitch drive?"
                }
                .to_string(),
                machine: MachineSlug::new("pitch-drive").unwrap(),
                status: TrialStatus::Running,
                opened_on: Some(jiff::civil::date(2024, 3, 4)),
                closed_on: None,
                machine_confidence: Confidence::Medium,
                invented: true,
                blends: parts,
                tests,
            },
            machine: Machine {
                slug: MachineSlug::new("pitch-drive").unwrap(),
                name: "Tidal-turbine pitch drive".to_string(),
                kind: "planetary gear".to_string(),
                note: String::new(),
                caution: String::new(),
                contacts: Vec::new(),
            },
            blends,
            methods: built_in().to_vec(),
            rigs: Vec::new(),
            results: if self.has_run { self.results() } else { Vec::new() },
            decisions: Vec::new(),
        }
    }

    fn blend(&self, part: &TrialBlend) -> Blend {
        let name = match (part.role, self.long_names) {
            (Role::Candidate, true) => {
                "part-inactive sulfur carrier in a mixed synthetic base stock with dispersed solid, second plant sample"
            }
            (Role::Candidate, false) => "mostly inactive sulfur",
            (Role::Reference, _) => "reference oil",
            (Role::Control, _) => "sugar syrup",
        };
        Blend {
            code: part.blend.clone(),
            name: name.to_string(),
            kind: BlendKind::Oil,
            made_on: None,
            parent: None,
            change: String::new(),
            kv40_mm2_s: Some(320.0),
            kv100_mm2_s: Some(24.0),
            density15_kg_m3: None,
            base_oil_kv40_mm2_s: None,
            nlgi: String::new(),
            note: String::new(),
            composition: Vec::new(),
        }
    }

    fn results(&self) -> Vec<RunResult> {
        let mut results = Vec::new();
        for (i, plan) in PLANS.iter().enumerate() {
            for candidate in 0..self.candidates {
                results.push(run(
                    results.len() as i64,
                    plan,
                    candidate_code(candidate),
                    Value::Exact(plan.good * (1.0 + 0.1 * scatter(i, candidate))),
                ));
            }
        }
        if let [first, second, third, ..] = results.as_mut_slice() {
            first.status = ResultStatus::Void;
            first.reason = "specimen not cleaned".to_string();
            second.status = ResultStatus::Suspect;
            third.source = ResultSource::DataSheet;
        }
        if let Some(old) = results.last().cloned() {
            results.push(RunResult {
                id: Some(9_000),
                supersedes: old.id,
                reason: "typing error".to_string(),
                ..old
            });
        }
        results
    }

    fn standing(&self) -> Standing {
        let tests: Vec<TestStanding> = PLANS
            .iter()
            .enumerate()
            .map(|(i, plan)| self.test(i, plan))
            .collect();
        let candidates = self.candidate_standings();
        let weighed = self.has_run && self.anchored != Anchored::None;
        let front = weighed
            .then(|| candidates.first().map(|c| c.blend.clone()))
            .flatten();
        let second = weighed
            .then(|| candidates.get(1).map(|c| c.blend.clone()))
            .flatten();
        let leave_outs = leave_outs(&tests, front.as_ref(), second.as_ref());
        Standing {
            trial: TrialSlug::new("sample").unwrap(),
            machine: MachineSlug::new("pitch-drive").unwrap(),
            draws: 20_000,
            seed: 20_261_124,
            resemblance_mass: 3.44,
            effective_tests: Some(5.8),
            leader: None,
            resolved: false,
            no_leader_because: vec![if self.candidates == 1 {
                Doubt::Alone
            } else {
                Doubt::NotResolved
            }],
            alternatives: vec![Alternative {
                what: "all weights equal".to_string(),
                front_runner: second.clone(),
                p_best: Some(0.52),
            }],
            leave_outs: if weighed { leave_outs } else { Vec::new() },
            cautions: cautions(front.as_ref(), &tests),
            gates: (0..self.candidates).map(gate).collect(),
            front_runner: front,
            runner_up: second,
            candidates,
            tests,
        }
    }

    fn candidate_standings(&self) -> Vec<CandidateStanding> {
        let weighed = self.has_run && self.anchored != Anchored::None;
        let n = self.candidates;
        let mut list: Vec<CandidateStanding> = (0..n)
            .map(|i| {
                let score = 0.93 - 0.11 * i as f64 / (n as f64 / 6.0).max(1.0);
                let is_out = n > 3 && i == n - 1;
                let in_standing = weighed && !is_out;
                CandidateStanding {
                    blend: candidate_code(i),
                    p_best: in_standing.then(|| {
                        if i == 0 {
                            0.71
                        } else {
                            0.29 / (n.max(2) - 1) as f64
                        }
                    }),
                    score: in_standing.then_some(score),
                    score_lo: in_standing.then_some(score - 0.09),
                    score_hi: in_standing.then_some(score + 0.08),
                    ranks: vec![1.0 / n as f64; n],
                    coverage: 0.87,
                    score_worst_fill: Some(score - 0.2),
                    score_best_fill: Some(score + 0.1),
                    out: is_out.then(|| "Tarnish class (ASTM D130): 3b, limit <= 1b".to_string()),
                }
            })
            .collect();
        if n > 2 {
            list.swap(1, 2);
        }
        list
    }

    fn test(&self, at: usize, plan: &TestPlan) -> TestStanding {
        let method = built_in().iter().find(|method| method.id == plan.method).unwrap();
        let quantity = method.quantity(plan.quantity).unwrap();
        let scale = quantity.scale;
        let to = |value: f64| scale.to_working(value).unwrap();
        let (zero, per_position) = (to(plan.poor), to(plan.good) - to(plan.poor));
        let cap_position = quantity.cap.map(|cap| (to(cap) - zero) / per_position);
        let value_at = |u: f64| scale.from_working(zero + u * per_position);
        let mut estimates = BTreeMap::new();
        let mut positions = BTreeMap::new();
        let mut runs = Vec::new();
        let mut put = |blend: BlendCode, role: Role, u: f64, half: f64| {
            let capped = cap_position.is_some_and(|cap| self.all_capped || u > cap - 0.02);
            let ends = [value_at(u - half), value_at(u + half)];
            let value = if capped {
                quantity.cap.unwrap_or(0.0)
            } else {
                value_at(u)
            };
            estimates.insert(
                blend.clone(),
                Estimate {
                    value,
                    lo: ends[0].min(ends[1]),
                    hi: ends[0].max(ends[1]),
                    capped,
                    runs: 3,
                },
            );
            if role != Role::Reference {
                positions.insert(
                    blend.clone(),
                    Position {
                        mean: u.clamp(-0.25, 1.25),
                        lo: (u - half).clamp(-0.25, 1.25),
                        hi: (u + half).clamp(-0.25, 1.25),
                    },
                );
            }
            for step in [-0.5, 0.1, 0.6] {
                let p = u + step * half;
                runs.push(RunMark {
                    blend: blend.clone(),
                    role,
                    value: Value::Exact(value_at(p)),
                    lo: Some(p),
                    hi: Some(if scale.is_stepped() { p + 0.1 } else { p }),
                    source: if step > 0.5 && role == Role::Candidate && at == 4 {
                        ResultSource::DataSheet
                    } else {
                        ResultSource::Measured
                    },
                });
            }
        };
        if self.has_run {
            for i in 0..self.candidates {
                let u = 1.05 - 1.0 * scatter(i, at) * (0.4 + i as f64 / 8.0);
                put(
                    candidate_code(i),
                    Role::Candidate,
                    u.max(-0.6),
                    0.07 + 0.12 * scatter(at, i),
                );
            }
            if self.anchored != Anchored::None {
                put(code("GOOD"), Role::Reference, 1.0, 0.06);
            }
            if self.anchored == Anchored::Both {
                put(code("POOR"), Role::Reference, 0.0, 0.06);
                put(code("MIDDLE"), Role::Reference, 0.55, 0.06);
            }
            let control = if plan.quantity == "cof" { 1.6 } else { -0.3 };
            put(code("SUGAR"), Role::Control, control, 0.02);
        }
        let not_sorting = plan.quantity == "cof";
        let weighed = !not_sorting && self.has_run && self.anchored != Anchored::None;
        let extreme = plan.method == "fb_ep_oil";
        TestStanding {
            key: TestKey::new(plan.method, plan.quantity),
            title: method.title.clone(),
            label: quantity.label.clone(),
            standard: method.standard.clone(),
            category: method.category.word(),
            used_to: Use::Weigh,
            weight: if weighed { plan.weight } else { 0.0 },
            resemblance: Some(plan.resemblance),
            relevance: Some(0.8),
            extreme,
            excluded: match (weighed, not_sorting, self.has_run) {
                (true, ..) => None,
                (_, true, _) => Some("it does not sort: the control fluid beats the known good".to_string()),
                (_, _, false) => Some("nothing was run".to_string()),
                _ => Some("it has no reference oil".to_string()),
            },
            contacts: vec![contact(plan, extreme)],
            lead_share: weighed.then_some(0.3 - 0.06 * at as f64),
            lead_contribution: weighed.then_some(0.21 - 0.06 * at as f64),
            leader_without: None,
            tips_down: (at == 0).then(|| Tip {
                factor: 0.42,
                to: candidate_code(1),
            }),
            tips_up: (at == 4).then(|| Tip {
                factor: 2.7,
                to: candidate_code(2),
            }),
            validity: Validity {
                good_over_poor: Some(0.99),
                middle_between: Some(0.9),
                good_over_control: Some(if not_sorting { 0.02 } else { 1.0 }),
            },
            positions,
            raw_estimates: if at == 4 {
                estimates.clone()
            } else {
                BTreeMap::new()
            },
            runs: estimates.len() * 3,
            strip: self.has_run.then(|| Strip {
                anchored: self.anchored,
                scale,
                unit: quantity.unit,
                better: if per_position.signum() == quantity.better.sign() {
                    quantity.better
                } else {
                    Better::Higher
                },
                zero,
                per_position,
                cap: cap_position,
                steps: if scale == Scale::Identity || scale == Scale::Ln {
                    Vec::new()
                } else {
                    quantity.steps.clone()
                },
                band: Some(0.12),
                marks: BTreeMap::new(),
                runs,
            }),
            estimates,
            precision: "published repeatability, updated by repeats in this trial".to_string(),
            scatter: None,
            decided: Default::default(),
        }
    }
}

fn trial_test(method: &str, quantity: &str, used_to: Use, limit: &str) -> TrialTest {
    TrialTest {
        key: TestKey::new(method, quantity),
        used_to,
        limit: limit.to_string(),
        known_good: None,
        known_poor: None,
        cost: None,
        days: None,
        reason: String::new(),
    }
}

fn run(id: i64, plan: &TestPlan, blend: BlendCode, value: Value) -> RunResult {
    RunResult {
        id: Some(id),
        trial: TrialSlug::new("sample").unwrap(),
        blend,
        key: TestKey::new(plan.method, plan.quantity),
        value,
        off_ladder: false,
        value_as_written: "0,45".to_string(),
        unit_as_written: "mm".to_string(),
        rig: RigId::new("FB-1"),
        date: Some(jiff::civil::date(2025, 1, 14)),
        replicate: 1,
        campaign: "2025Q1".to_string(),
        conditions: String::new(),
        purpose: Purpose::Test,
        status: ResultStatus::Valid,
        reason: String::new(),
        source: ResultSource::Measured,
        note: String::new(),
        supersedes: None,
        entered_at: String::new(),
        voided_at: String::new(),
        origin: "results.csv row 12".to_string(),
    }
}

fn contact(plan: &TestPlan, extreme: bool) -> ContactLikeness {
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
        importance: scales::importance(term),
        remark: if term == Term::FilmRatio {
            "left out: it scores seizure"
        } else {
            ""
        },
    };
    ContactLikeness {
        contact: "planetary mesh".to_string(),
        share: 0.45,
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

fn gate(index: usize) -> GateStanding {
    GateStanding {
        key: TestKey::new("cu_d130", "class"),
        label: "Tarnish class".to_string(),
        standard: "ASTM D130".to_string(),
        limit: "<= 1b".to_string(),
        blend: candidate_code(index),
        results: if index == 5 { "3b" } else { "1a" }.to_string(),
        outcome: match index {
            5 => GateOutcome::Fail,
            2 => GateOutcome::WithinScatter,
            3 => GateOutcome::NotRun,
            _ => GateOutcome::Pass,
        },
    }
}

fn leave_outs(
    tests: &[TestStanding],
    front: Option<&BlendCode>,
    second: Option<&BlendCode>,
) -> Vec<LeaveOut> {
    let mut outs: Vec<LeaveOut> = Vec::new();
    let mut add = |left_out, name: &str, tests: Vec<TestKey>, changes: bool| {
        outs.push(LeaveOut {
            left_out,
            name: name.to_string(),
            extreme: name == "fb_ep_oil" || left_out == LeftOut::ExtremeScreens,
            tests,
            front_runner: if changes { second.cloned() } else { front.cloned() },
            p_best: Some(if changes { 0.55 } else { 0.66 }),
            changes,
        });
    };
    for test in tests {
        let of_method = |other: &&TestStanding| other.key.method == test.key.method;
        let keys: Vec<TestKey> = tests.iter().filter(of_method).map(|t| t.key.clone()).collect();
        if keys.first() == Some(&test.key) {
            add(
                LeftOut::Method,
                &test.key.method,
                keys,
                test.key.method == "rb_oil",
            );
        }
        add(
            LeftOut::Quantity,
            &test.key.to_string(),
            vec![test.key.clone()],
            false,
        );
    }
    add(
        LeftOut::Rig,
        "LO-2",
        vec![TestKey::new("lo_oil_wear", "scar")],
        false,
    );
    add(
        LeftOut::ExtremeScreens,
        "all extreme screens",
        vec![TestKey::new("fb_ep_oil", "weld")],
        false,
    );
    outs
}

fn cautions(front: Option<&BlendCode>, tests: &[TestStanding]) -> Vec<Caution> {
    let Some(front) = front else {
        return vec![Caution::new(CautionKind::NoReference, Severity::High).of_test(&tests[0].key)];
    };
    vec![
        Caution::new(CautionKind::RestsOnOneExtremeScreen, Severity::Stop)
            .text("front_runner", front)
            .text("without", "fb_ep_oil")
            .text("then_in_front", "K-02")
            .of_test(&TestKey::new("fb_ep_oil", "weld")),
        Caution::new(CautionKind::NotResolved, Severity::High)
            .text("front_runner", front)
            .number("p_best", 0.71)
            .list("cannot_be_told_apart", ["K-02", "K-03"]),
        Caution::new(CautionKind::NotSorting, Severity::Medium)
            .text("reason", "the control fluid beats the known good")
            .number("probability", 0.02)
            .of_test(&TestKey::new("lo_oil_wear", "cof")),
        Caution::new(CautionKind::Capped, Severity::Medium)
            .list("blends", ["K-01", "K-02"])
            .of_test(&TestKey::new("gear_A8", "fail_stage")),
        Caution::new(CautionKind::GateNotRun, Severity::Note)
            .text("blend", "K-04")
            .list("gates", ["Tarnish class"]),
    ]
}
