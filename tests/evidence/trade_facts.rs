//! What the trade knows of bench tests, as trials. Common practice, no source; all data is invented.

use crate::support::judged::{fires, is_silent, standing};
use crate::support::trials::a_against_b;
use crate::support::{FAST_MESH, SLOW_ROLLERS, TrialBuilder, trial_on};
use likewear::facade::catalogue::{Mode, Use, built_in};
use likewear::facade::standing::CautionKind;

/// Weld loads of reference oils and of a fluid with water that nobody would choose.
fn with_syrup(weld: &str) -> TrialBuilder {
    a_against_b(&["adhesive wear"], &["scuffing", "seizure"])
        .weld_loads(&["200", "200"], &["160", "160"])
        .control("SYRUP")
        .runs("SYRUP", "fb_ep_oil/weld", &[weld, weld, weld])
}

fn weight_of_weld(trial: &TrialBuilder) -> f64 {
    let standing = standing(&trial.clone().build());
    let weld = standing
        .tests
        .iter()
        .find(|test| test.key.to_string() == "fb_ep_oil/weld");
    weld.unwrap().weight
}

#[test]
fn where_a_fluid_with_water_outranks_the_known_good_in_a_four_ball_test_the_test_weighs_nothing() {
    // It welds above the base oil, the known poor, and below the known good: the test goes on counting.
    let above_base_oil = with_syrup("160");
    is_silent(&above_base_oil.clone().build(), CautionKind::NotSorting);
    assert!(weight_of_weld(&above_base_oil) > 0.0);
    let above_the_best = with_syrup("500");
    fires(&above_the_best.clone().build(), CautionKind::NotSorting);
    assert_eq!(weight_of_weld(&above_the_best), 0.0);
}

#[test]
fn a_better_weld_load_alone_never_names_a_leader() {
    for machine in [SLOW_ROLLERS, FAST_MESH] {
        for weld in ["250", "400", "620", ">800"] {
            let trial = trial_on(machine, &["adhesive wear"], &["scuffing", "seizure"])
                .good("GOOD")
                .poor("POOR")
                .candidate("A")
                .candidate("B");
            let alone = trial.weld_loads(&["126", "126"], &[weld, weld]);
            assert_eq!(standing(&alone.clone().build()).leader, None, "{weld}, alone");
            let beside_a_bench = alone
                .own_bench("bench", "adhesive wear")
                .runs("GOOD", "bench/wear", &["0.40", "0.41"])
                .runs("POOR", "bench/wear", &["1.40", "1.41"])
                .runs("A", "bench/wear", &["0.70", "0.72"])
                .runs("B", "bench/wear", &["0.70", "0.72"]);
            assert_eq!(
                standing(&beside_a_bench.build()).leader,
                None,
                "{weld}, equal on the bench"
            );
        }
    }
}

#[test]
fn hours_of_an_oxidation_test_are_a_requirement_and_never_weighed() {
    let of_oxidation = built_in().iter().flat_map(|method| &method.quantities);
    let of_oxidation: Vec<_> = of_oxidation
        .filter(|quantity| quantity.scores(Mode::Oxidation))
        .collect();
    assert!(of_oxidation.len() >= 3, "{}", of_oxidation.len());
    for quantity in of_oxidation {
        assert_ne!(quantity.usual_use, Use::Weigh, "{}", quantity.id);
    }
    // Asked to weigh it, the standing does not: nothing rubs.
    let trial = a_against_b(&["oxidation"], &[])
        .weigh("ox_d943/life")
        .runs("GOOD", "ox_d943/life", &["5000", "5200"])
        .runs("POOR", "ox_d943/life", &["1000", "1100"])
        .runs("A", "ox_d943/life", &["8000", "8000"])
        .runs("B", "ox_d943/life", &["1500", "1500"]);
    let standing = standing(&trial.build());
    assert!(standing.tests.iter().all(|test| test.weight == 0.0));
    assert_eq!(standing.leader, None);
}
