//! Hand-built comparisons for tests of pages: invented blends, positions chosen to strain the layout.

mod judged;
mod parts;
mod records;

use crate::catalogue::MethodId;
use crate::records::{BlendCode, TestKey};
use crate::standing::Comparison;
use crate::standing::{Anchored, WhatIf};

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

impl TestPlan {
    fn key(&self) -> TestKey {
        TestKey::new(&MethodId::new(self.method).unwrap(), self.quantity)
    }
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
            what_if
                .weights
                .insert(TestKey::parse("fb_ep_oil/weld").unwrap(), 0.9);
            what_if.lets_in_gated = true;
            let mut before = standing.clone();
            before.candidates.rotate_left(1);
            before.front_runner = before.candidates.first().map(|c| c.blend.clone());
            as_it_is = Some(before);
        }
        Comparison {
            records: self.records().into(),
            what_if,
            duty: Vec::new(),
            standing,
            as_it_is,
        }
    }
}
