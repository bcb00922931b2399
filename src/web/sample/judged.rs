//! The standing of a sample.

use crate::catalogue::{Better, Use, Value, built_in};
use crate::records::{BlendCode, MachineSlug, ResultSource, Role, TrialSlug};
use crate::standing::{
    Alternative, Anchored, Assumption, CandidateStanding, Doubt, Estimate, NotSorting, NotWeighed, Position,
    PrecisionSource, RunMark, RunNext, Standing, StatedPrecision, Strip, TestStanding, Tip, Validity,
};
use crate::web::sample::parts::{cautions, contact, gate, leave_outs, rivals};
use crate::web::sample::{PLANS, Sample, TestPlan, candidate_code, code, scatter};
use std::collections::BTreeMap;

impl Sample {
    pub(super) fn standing(&self) -> Standing {
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
            head_room: crate::standing::HEAD_ROOM,
            resemblance_mass: 3.44,
            effective_tests: Some(5.8),
            monte_carlo_error: weighed.then_some(0.0032),
            leader: None,
            resolved: false,
            weight_from_alike: 0.72,
            breaks_without: None,
            not_tested: Vec::new(),
            no_leader_because: vec![if self.candidates == 1 {
                Doubt::Alone
            } else {
                Doubt::NotResolved
            }],
            alternatives: vec![Alternative {
                what: Assumption::EqualWeights,
                front_runner: second.clone(),
                p_best: Some(0.52),
                may_be_named: false,
                candidates: BTreeMap::new(),
            }],
            leave_outs: if weighed { leave_outs } else { Vec::new() },
            runs_left_out: if weighed { 120 } else { 0 },
            rivals: rivals(&candidates, &tests),
            cautions: cautions(front.as_ref(), &tests),
            gates: (0..self.candidates).map(gate).collect(),
            equivalence: None,
            front_runner: front,
            runner_up: second,
            candidates,
            tests,
            run_next: RunNext::default(),
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
                    wins: BTreeMap::new(),
                    coverage: 0.87,
                    score_worst_fill: Some(score - 0.2),
                    score_best_fill: Some(score + 0.1),
                    failed: if is_out { vec![gate(5)] } else { Vec::new() },
                }
            })
            .collect();
        if n > 2 {
            list.swap(1, 2);
        }
        list
    }

    fn test(&self, at: usize, plan: &TestPlan) -> TestStanding {
        let method = built_in()
            .iter()
            .find(|method| method.id == plan.key().method)
            .unwrap();
        let quantity = method.quantity(plan.quantity).unwrap();
        let scale = &quantity.scale;
        let to = |value: f64| scale.to_working(value).unwrap();
        let (zero, per_position) = (to(plan.poor), to(plan.good) - to(plan.poor));
        let cap_position = scale.cap().map(|cap| (to(cap) - zero) / per_position);
        let value_at = |u: f64| scale.from_working(zero + u * per_position);
        let mut estimates = BTreeMap::new();
        let mut positions = BTreeMap::new();
        let mut runs = Vec::new();
        let mut put = |blend: BlendCode, role: Role, u: f64, half: f64| {
            let capped = cap_position.is_some_and(|cap| self.all_capped || u > cap - 0.02);
            let ends = [value_at(u - half), value_at(u + half)];
            let value = if capped {
                scale.cap().unwrap_or(0.0)
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
                    mark: None,
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
            key: plan.key(),
            title: method.title.clone(),
            label: quantity.label.clone(),
            standard: method.standard.clone(),
            category: method.category,
            used_to: Use::Weigh,
            weight: if weighed { plan.weight } else { 0.0 },
            resemblance: Some(plan.resemblance),
            resemblance_best: Some(plan.resemblance),
            relevance: Some(0.8),
            extreme,
            beyond_machine: false,
            excluded: match (weighed, not_sorting, self.has_run) {
                (true, ..) => None,
                (_, true, _) => Some(NotWeighed::DoesNotSort {
                    reason: NotSorting::ControlAsGood,
                    probability: 0.02,
                }),
                (_, _, false) => Some(NotWeighed::NotRun),
                _ => Some(NotWeighed::NoReference),
            },
            contacts: vec![contact(plan, extreme)],
            lead_share: weighed.then_some(0.3 - 0.06 * at as f64),
            lead_contribution: weighed.then_some(0.21 - 0.06 * at as f64),
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
            readings: BTreeMap::new(),
            raw_estimates: if at == 4 {
                estimates.clone()
            } else {
                BTreeMap::new()
            },
            runs: estimates.len() * 3,
            blocks: BTreeMap::new(),
            strip: self.has_run.then(|| Strip {
                anchored: self.anchored,
                scale: scale.clone(),
                unit: quantity.unit,
                better: if per_position.signum() == quantity.better.sign() {
                    quantity.better
                } else {
                    Better::Higher
                },
                zero,
                per_position,
                head_room: 0.5,
                cap: cap_position,
                band: Some(0.12),
                marks: BTreeMap::new(),
                runs,
            }),
            estimates,
            precision: Some(PrecisionSource {
                stated: quantity.precision.clone().map(|precision| StatedPrecision {
                    origin: method.origin,
                    precision,
                    unit: quantity.unit,
                }),
                freedom: Some(6.0),
            }),
            scatter: None,
            verdicts: Vec::new(),
            decided: Default::default(),
        }
    }
}
