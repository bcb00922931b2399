//! The records of a sample.

use crate::catalogue::{Use, Value, built_in};
use crate::records::{
    Blend, BlendCode, BlendKind, Confidence, Level, Machine, MachineSlug, Purpose, ResultSource,
    ResultStatus, RigId, Role, RunResult, TestKey, Trial, TrialBlend, TrialRecords, TrialSlug, TrialStatus,
    TrialTest,
};
use crate::standing::Anchored;
use crate::web::sample::{PLANS, Sample, TestPlan, candidate_code, code, scatter};

impl Sample {
    pub(super) fn records(&self) -> TrialRecords {
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
            .map(|plan| trial_test(plan.key(), Use::Weigh, ""))
            .collect();
        tests.push(trial_test(
            TestKey::parse("cu_d130/class").unwrap(),
            Use::Gate,
            "<= 1b",
        ));
        TrialRecords {
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
                machine_version: 1,
                short: String::new(),
                asks: None,
                against: None,
                margin: None,
                adoptions: Vec::new(),
            },
            newest_machine_version: 1,
            machine: Machine {
                slug: MachineSlug::new("pitch-drive").unwrap(),
                name: "Tidal-turbine pitch drive".to_string(),
                kind: "planetary gear".to_string(),
                note: String::new(),
                caution: String::new(),
                contacts: Vec::new(),
                version: 1,
                change: String::new(),
                entered_at: String::new(),
            },
            term_scales: Vec::new(),
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
            base_oil_kv100_mm2_s: None,
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
}

fn trial_test(key: TestKey, used_to: Use, limit: &str) -> TrialTest {
    TrialTest {
        key,
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
        key: plan.key(),
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
        last_passed: String::new(),
        accepted: Vec::new(),
        supersedes: None,
        entered_at: String::new(),
        voided_at: String::new(),
        origin: "results.csv row 12".to_string(),
    }
}
