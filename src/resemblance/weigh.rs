//! From likeness and failure modes to weights: one run, one vote; one apparatus, not two.

use crate::catalogue::{MethodId, Quantity};
use crate::records::MachineContact;
use std::collections::BTreeMap;

/// How much the modes that a quantity scores matter in a contact, 0 to 1.
///
/// # Formula
/// The greatest of strength of the mode in the test times importance of the mode in the contact. Ours.
pub fn relevance(quantity: &Quantity, contact: &MachineContact) -> f64 {
    let products = quantity
        .modes
        .iter()
        .map(|(mode, strength)| strength * contact.importance(*mode));
    products.fold(0.0, f64::max)
}

/// Weights of the weighed quantities of one method from their weights before grouping.
///
/// A method weighs as much as its heaviest quantity; its quantities share that in proportion. One run of one method
/// gives all its quantities, so it has one vote.
fn share_one_vote(raw: &[f64]) -> Vec<f64> {
    let total: f64 = raw.iter().sum();
    let heaviest = raw.iter().copied().fold(0.0, f64::max);
    if total <= 0.0 {
        return vec![0.0; raw.len()];
    }
    raw.iter().map(|weight| heaviest * weight / total).collect()
}

/// Correlation taken between what two methods of one family of apparatus tell (ours).
pub const FAMILY_CORRELATION: f64 = 0.8;

/// A weighed quantity: whose vote its weight is part of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Voter<'m> {
    /// Its method.
    pub method: &'m MethodId,
    /// The family of apparatus of its method.
    pub family: &'m str,
    /// Its weight before grouping.
    pub raw_weight: f64,
}

/// Weights of the quantities of several methods: each method has one vote, and the methods of one family of apparatus share
/// one that is little greater.
pub fn votes(voters: &[Voter<'_>]) -> Vec<f64> {
    let mut weights = vec![0.0; voters.len()];
    for members in alike(voters, |voter| voter.method) {
        let own: Vec<f64> = members.iter().map(|place| voters[*place].raw_weight).collect();
        for (place, weight) in members.iter().zip(share_one_vote(&own)) {
            weights[*place] = weight;
        }
    }
    for members in alike(voters, |voter| voter.family) {
        let mut of_methods: BTreeMap<&MethodId, f64> = BTreeMap::new();
        for place in &members {
            *of_methods.entry(voters[*place].method).or_default() += weights[*place];
        }
        let of_methods: Vec<f64> = of_methods.into_values().collect();
        let share = share_of_family(&of_methods);
        for place in members {
            weights[place] *= share;
        }
    }
    weights
}

/// The part of its weight that each method of a family keeps, from the weights of them all.
///
/// # Formula
/// n methods that weigh something weigh together as much as the heaviest of them times `n / (1 + (n - 1) 0.8)`, never more
/// than their sum nor than 1, shared in proportion: two conditions of one apparatus tell much the same. Ours.
fn share_of_family(weights: &[f64]) -> f64 {
    let sum: f64 = weights.iter().sum();
    if sum <= 0.0 {
        return 1.0;
    }
    let number = weights.iter().filter(|weight| **weight > 0.0).count() as f64;
    let heaviest = weights.iter().copied().fold(0.0, f64::max);
    let together = heaviest * number / (1.0 + (number - 1.0) * FAMILY_CORRELATION);
    together.min(sum).min(1.0) / sum
}

/// Places of the voters that have one key in common.
fn alike<'m, K: Ord>(voters: &[Voter<'m>], key: impl Fn(&Voter<'m>) -> K) -> Vec<Vec<usize>> {
    let mut places: BTreeMap<K, Vec<usize>> = BTreeMap::new();
    for (place, voter) in voters.iter().enumerate() {
        places.entry(key(voter)).or_default().push(place);
    }
    places.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_quantities_of_one_method_share_the_weight_of_the_heavier() {
        let shared = share_one_vote(&[0.6, 0.3]);
        assert!((shared[0] - 0.4).abs() < 1e-12 && (shared[1] - 0.2).abs() < 1e-12);
    }

    #[test]
    fn one_quantity_keeps_its_weight_and_none_weighs_nothing() {
        assert_eq!(share_one_vote(&[0.5]), [0.5]);
        assert_eq!(share_one_vote(&[0.0, 0.0]), [0.0, 0.0]);
    }

    fn votes_of(listed: &[(&str, &str, f64)]) -> Vec<f64> {
        let ids: Vec<MethodId> = listed.iter().map(|(id, ..)| MethodId::new(id).unwrap()).collect();
        let voters: Vec<Voter> = ids
            .iter()
            .zip(listed)
            .map(|(method, (_, family, raw_weight))| Voter {
                method,
                family,
                raw_weight: *raw_weight,
            })
            .collect();
        votes(&voters)
    }

    fn near(found: &[f64], wanted: &[f64]) -> bool {
        found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-12) && found.len() == wanted.len()
    }

    #[test]
    fn one_method_of_a_family_keeps_its_weight_and_two_weigh_a_ninth_more_than_the_heavier() {
        assert!(near(&votes_of(&[("a", "f", 0.5)]), &[0.5]));
        let two = votes_of(&[("a", "f", 0.5), ("b", "f", 0.5), ("c", "g", 0.5)]);
        assert!(near(&two, &[0.5 / 1.8, 0.5 / 1.8, 0.5]));
        let uneven = votes_of(&[("a", "f", 0.6), ("b", "f", 0.3)]);
        let together = 0.6 * 2.0 / 1.8;
        assert!(near(&uneven, &[together * 2.0 / 3.0, together / 3.0]));
        let three = votes_of(&[("a", "f", 0.5), ("b", "f", 0.5), ("c", "f", 0.5)]);
        assert!(near(&three, &[0.5 / 2.6; 3]));
    }

    #[test]
    fn a_family_never_weighs_more_than_its_methods_nor_than_1_nor_counts_one_that_weighs_nothing() {
        assert!(near(
            &votes_of(&[("a", "f", 0.9), ("b", "f", 0.01)]),
            &[0.9, 0.01]
        ));
        let full = votes_of(&[("a", "f", 1.0), ("b", "f", 1.0)]);
        assert!(near(&full, &[0.5, 0.5]));
        assert!(near(&votes_of(&[("a", "f", 0.4), ("b", "f", 0.0)]), &[0.4, 0.0]));
        assert!(near(&votes_of(&[("a", "f", 0.0), ("b", "f", 0.0)]), &[0.0, 0.0]));
    }

    #[test]
    fn a_method_has_one_vote_before_its_family_shares() {
        let weights = votes_of(&[("a", "f", 0.6), ("a", "f", 0.3), ("b", "f", 0.6)]);
        let together = 0.6 * 2.0 / 1.8;
        assert!(near(&weights, &[together / 3.0, together / 6.0, together / 2.0]));
    }
}
