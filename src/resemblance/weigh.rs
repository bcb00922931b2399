//! From likeness and failure modes to weights: one run, one vote.

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
pub fn share_one_vote(raw: &[f64]) -> Vec<f64> {
    let total: f64 = raw.iter().sum();
    let heaviest = raw.iter().copied().fold(0.0, f64::max);
    if total <= 0.0 {
        return vec![0.0; raw.len()];
    }
    raw.iter().map(|weight| heaviest * weight / total).collect()
}

/// The same for quantities of several methods, each with its method and its weight before grouping.
pub fn one_vote_each<'m>(raw: &[(&'m MethodId, f64)]) -> Vec<f64> {
    let mut of_method: BTreeMap<&'m MethodId, Vec<usize>> = BTreeMap::new();
    for (place, (method, _)) in raw.iter().enumerate() {
        of_method.entry(method).or_default().push(place);
    }
    let mut weights = vec![0.0; raw.len()];
    for members in of_method.values() {
        let own: Vec<f64> = members.iter().map(|place| raw[*place].1).collect();
        for (place, weight) in members.iter().zip(share_one_vote(&own)) {
            weights[*place] = weight;
        }
    }
    weights
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
}
