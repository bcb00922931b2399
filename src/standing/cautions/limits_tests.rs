//! Every limit of a caution: just below, just above, and on it. The limits are those of the method's description (ours).

use super::{Facts, all, why_not_sorting};
use crate::records::TrialRecords;
use crate::standing::evidence::{Evidence, gather};
use crate::standing::{Caution, CautionKind, Finding, FitCache, Severity, Standing, Validity, WhatIf, judge};
use crate::support::TrialBuilder;
use crate::support::trials::a_against_b;

/// A step that no rounding swallows.
const A_LITTLE: f64 = 1e-6;

/// Two benches with the machine's contact; A leads.
fn two_benches() -> TrialBuilder {
    let main = &["rolling wear"];
    a_against_b(main, &[])
        .a_wears_less()
        .other_bench(&["0.55", "0.57"], &["1.20", "1.22"])
}

fn judged(records: &TrialRecords) -> Standing {
    let draws = 400;
    judge(
        records,
        &WhatIf {
            draws,
            ..WhatIf::default()
        },
        &FitCache::default(),
    )
}

/// What a rule says of a standing that was changed.
fn with(standing: &Standing, change: impl FnOnce(&mut Standing)) -> Standing {
    let mut changed = standing.clone();
    change(&mut changed);
    changed
}

/// The cautions of a kind, of a standing and of the facts of its trial, which were changed.
fn said(
    kind: CautionKind,
    standing: &Standing,
    records: &TrialRecords,
    change: impl FnOnce(&mut Facts),
) -> Vec<Caution> {
    let evidence: Vec<Evidence> = gather(records);
    let mut facts = Facts::of_nothing(records, &evidence, &[]);
    change(&mut facts);
    let cautions = all(standing, &facts).into_iter();
    cautions.filter(|caution| caution.kind() == kind).collect()
}

fn severities(cautions: &[Caution]) -> Vec<Severity> {
    cautions.iter().map(|caution| caution.severity).collect()
}

#[test]
fn a_lead_leans_on_a_method_that_gives_more_than_half_of_it_and_resembles_below_0_4() {
    let records = two_benches().build();
    let standing = judged(&records);
    for (share, resemblance, leans) in [
        (0.5 - A_LITTLE, 0.1, false),
        (0.5, 0.1, false),
        (0.5 + A_LITTLE, 0.1, true),
        (0.9, 0.4 - A_LITTLE, true),
        (0.9, 0.4, false),
        (0.9, 0.4 + A_LITTLE, false),
    ] {
        let standing = with(&standing, |standing| {
            standing.tests[0].lead_share = Some(share);
            standing.tests[0].resemblance_best = Some(resemblance);
            standing.tests[1].lead_share = Some(1.0 - share);
            standing.tests[1].resemblance_best = Some(1.0);
        });
        let cautions = said(CautionKind::LeansOnOneTest, &standing, &records, |_| ());
        assert_eq!(cautions.len() == 1, leans, "{share} {resemblance}");
    }
}

#[test]
fn a_screen_that_decides_stops_from_half_of_the_first_places() {
    let weld_alone = a_against_b(&["adhesive wear"], &["scuffing", "seizure"])
        .weld_loads(&["160", "160"], &["500", "500"])
        .own_bench("bench", "scuffing")
        .runs("GOOD", "bench/wear", &["0.40", "0.41"])
        .runs("POOR", "bench/wear", &["1.40", "1.41"])
        .runs("A", "bench/wear", &["0.70", "0.72"])
        .runs("B", "bench/wear", &["0.72", "0.73"]);
    let records = weld_alone.build();
    let standing = judged(&records);
    for (p_best, severity) in [
        (0.5 - A_LITTLE, Severity::High),
        (0.5, Severity::Stop),
        (0.5 + A_LITTLE, Severity::Stop),
    ] {
        let standing = with(&standing, |standing| {
            let front = standing.front_runner.clone();
            let candidates = standing.candidates.iter_mut();
            candidates
                .filter(|candidate| Some(&candidate.blend) == front.as_ref())
                .for_each(|candidate| candidate.p_best = Some(p_best));
        });
        let cautions = said(CautionKind::RestsOnOneExtremeScreen, &standing, &records, |_| ());
        assert_eq!(severities(&cautions), [severity], "{p_best}");
    }
}

#[test]
fn below_the_known_poor_is_said_above_0_8_on_tests_that_resemble_above_0_5() {
    let records = two_benches().build();
    let standing = judged(&records);
    for (p, resemblance, fires) in [
        (0.8 - A_LITTLE, 0.9, false),
        (0.8, 0.9, false),
        (0.8 + A_LITTLE, 0.9, true),
        (0.9, 0.5 - A_LITTLE, false),
        (0.9, 0.5, false),
        (0.9, 0.5 + A_LITTLE, true),
    ] {
        let standing = with(&standing, |standing| {
            standing.tests[0].contacts[0].resemblance.value = Some(resemblance);
        });
        let key = standing.tests[0].key.clone();
        let cautions = said(CautionKind::WorseThanKnownPoor, &standing, &records, |facts| {
            facts.below_poor.insert(key, p);
        });
        assert_eq!(cautions.len() == 1, fires, "{p} {resemblance}");
    }
}

#[test]
fn both_at_the_cap_is_said_from_a_weight_of_0_1() {
    let records = two_benches().build();
    let standing = judged(&records);
    for (weight, fires) in [(0.1 - A_LITTLE, false), (0.1, true), (0.1 + A_LITTLE, true)] {
        let standing = with(&standing, |standing| {
            standing.tests[0].weight = weight;
            standing.tests[0]
                .estimates
                .values_mut()
                .for_each(|one| one.capped = true);
        });
        let cautions = said(CautionKind::Capped, &standing, &records, |_| ());
        assert_eq!(cautions.len() == 1, fires, "{weight}");
    }
}

#[test]
fn a_test_that_does_not_discriminate_is_grave_above_a_weight_of_0_1() {
    let records = two_benches().build();
    let standing = with(&judged(&records), |standing| {
        standing.tests[0].validity.good_over_poor = Some(0.5);
    });
    let key = &standing.tests[0].key;
    for (weight, severity) in [
        (0.1 - A_LITTLE, Severity::Medium),
        (0.1, Severity::Medium),
        (0.1 + A_LITTLE, Severity::High),
    ] {
        let cautions = said(CautionKind::NotSorting, &standing, &records, |facts| {
            facts.weight_if_sorting.insert(key.clone(), weight);
        });
        assert_eq!(severities(&cautions), [severity], "{weight}");
    }
}

#[test]
fn a_test_discriminates_from_0_95_against_poor_and_control_and_from_0_05_for_the_middle() {
    type Place = fn(f64) -> Validity;
    let good_over_poor: Place = |p| Validity {
        good_over_poor: Some(p),
        ..Validity::default()
    };
    let good_over_control: Place = |p| Validity {
        good_over_control: Some(p),
        ..Validity::default()
    };
    let middle_between: Place = |p| Validity {
        middle_between: Some(p),
        ..Validity::default()
    };
    for (place, limit) in [
        (good_over_poor, 0.95),
        (good_over_control, 0.95),
        (middle_between, 0.05),
    ] {
        assert!(
            why_not_sorting(&place(limit - A_LITTLE)).is_some(),
            "below {limit}"
        );
        assert!(
            why_not_sorting(&place(limit + A_LITTLE)).is_none(),
            "above {limit}"
        );
    }
    assert!(why_not_sorting(&good_over_poor(0.95)).is_none());
    assert!(why_not_sorting(&good_over_control(0.95)).is_none());
}

#[test]
fn a_contact_is_resembled_from_0_4_and_asked_about_from_a_share_of_0_2() {
    let records = two_benches().build();
    let standing = judged(&records);
    let found = |records: &TrialRecords, resemblance: f64| {
        let name = records.machine.contacts[0].name.clone();
        let cautions = said(CautionKind::NothingResembles, &standing, records, |facts| {
            facts.nearest.insert(name, resemblance);
        });
        cautions.first().map(|caution| caution.severity)
    };
    assert_eq!(found(&records, 0.4 - A_LITTLE), Some(Severity::Stop));
    assert_eq!(found(&records, 0.4), None);
    assert_eq!(found(&records, 0.4 + A_LITTLE), None);
    // beside a contact that is resembled, another one counts from its share on
    for (share, severity) in [
        (0.2 - A_LITTLE, None),
        (0.2, Some(Severity::High)),
        (0.2 + A_LITTLE, Some(Severity::High)),
    ] {
        let mut records = records.clone();
        let mut other = records.machine.contacts[0].clone();
        other.name = "other".to_owned();
        other.share = share;
        records.machine.contacts.push(other);
        assert_eq!(found(&records, 1.0), severity, "{share}");
    }
}

#[test]
fn components_support_a_choice_from_a_weight_of_0_1() {
    let records = two_benches().build();
    let standing = judged(&records);
    for (weight, fires) in [(0.1 - A_LITTLE, true), (0.1, false), (0.1 + A_LITTLE, false)] {
        let standing = with(&standing, |standing| {
            standing.tests.iter_mut().for_each(|test| test.weight = weight);
        });
        let cautions = said(CautionKind::OnlyScreens, &standing, &records, |_| ());
        assert_eq!(cautions.len() == 1, fires, "{weight}");
    }
}

#[test]
fn coverage_is_thin_below_0_6() {
    let records = two_benches().build();
    let standing = judged(&records);
    for (coverage, fires) in [(0.6 - A_LITTLE, true), (0.6, false), (0.6 + A_LITTLE, false)] {
        let standing = with(&standing, |standing| {
            standing
                .candidates
                .iter_mut()
                .for_each(|one| one.coverage = coverage);
        });
        let cautions = said(CautionKind::ThinCoverage, &standing, &records, |_| ());
        assert_eq!(cautions.len() == 1, fires, "{coverage}");
    }
}

#[test]
fn a_front_is_resolved_from_0_8_of_the_draws_and_0_9_against_each_rival() {
    let records = two_benches().build();
    let standing = judged(&records);
    let (front, rival) = (
        standing.front_runner.clone().unwrap(),
        standing.runner_up.clone().unwrap(),
    );
    let close_rivals = |p_best: f64, beats: f64| {
        let standing = with(&standing, |standing| {
            let mut candidates = standing.candidates.iter_mut();
            let of_front = candidates.find(|one| one.blend == front).unwrap();
            of_front.p_best = Some(p_best);
            of_front.wins.insert(rival.clone(), beats);
        });
        let cautions = said(CautionKind::NotResolved, &standing, &records, |_| ());
        cautions.first().map(|caution| match &caution.finding {
            Finding::NotResolved {
                cannot_be_told_apart, ..
            } => cannot_be_told_apart.len(),
            other => panic!("{other:?}"),
        })
    };
    assert_eq!(close_rivals(0.8, 0.9), None);
    assert_eq!(close_rivals(0.8 + A_LITTLE, 0.9 + A_LITTLE), None);
    assert_eq!(close_rivals(0.8 - A_LITTLE, 0.9), Some(0));
    assert_eq!(close_rivals(0.8, 0.9 - A_LITTLE), Some(1));
}

#[test]
fn a_lead_is_made_beyond_the_references_from_more_than_half_of_it() {
    let records = two_benches().build();
    let standing = judged(&records);
    let front = standing.front_runner.clone().unwrap();
    let fires = |beyond: f64, may_be_named: bool| {
        let standing = with(&standing, |standing| {
            for line in &mut standing.alternatives {
                line.may_be_named = may_be_named;
            }
            let mass = standing.resemblance_mass;
            for (test, weight) in standing.tests.iter_mut().zip([1.0, 0.0]) {
                test.weight = weight;
                test.lead_contribution = Some(weight / mass);
                for (blend, position) in &mut test.positions {
                    position.mean = if *blend == front { 1.0 + beyond } else { beyond };
                }
            }
        });
        !said(CautionKind::BeyondReferences, &standing, &records, |_| ()).is_empty()
    };
    assert!(!fires(0.5 - A_LITTLE, false));
    assert!(!fires(0.5, false));
    assert!(fires(0.5 + A_LITTLE, false));
    assert!(!fires(0.5 + A_LITTLE, true), "a leader is named without it");
}
