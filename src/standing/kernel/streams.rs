//! Which random numbers a candidate gets.

use std::collections::BTreeMap;

use crate::standing::kernel::TestInput;
use crate::stats::draws::StreamKey;

/// One key per candidate, made from its results in all tests and from nothing else, so that neither names nor the order
/// of rows, tests or candidates can move a number.
///
/// The scheme: results are turned so that greater is better, put into their fixed order, test after test by test key,
/// and hashed. Candidates with exactly the same results in every test are numbered in the order of their names
/// (`names`, one per candidate; equal names in the order given), and the number goes into the hash: their draws are
/// independent, so that copies of one blend split its first places within Monte Carlo error. Renaming such twins can at
/// most exchange their numbers with one another. Adding a candidate changes nobody else's draws; adding a result changes
/// those of its own candidate only. Blocks and shifts are left out, so raw and adjusted results share their draws.
pub fn candidate_streams(names: &[String], tests: &[TestInput]) -> Vec<u64> {
    let mut by_key: Vec<&TestInput> = tests.iter().collect();
    by_key.sort_by(|a, b| a.key.cmp(&b.key));
    let data: Vec<u64> = (0..names.len()).map(|i| hash_of_results(i, &by_key)).collect();
    let mut twins: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
    for (i, &hash) in data.iter().enumerate() {
        twins.entry(hash).or_default().push(i);
    }
    let mut streams = vec![0; names.len()];
    for (hash, mut members) in twins {
        members.sort_by(|&a, &b| names[a].cmp(&names[b]));
        for (number, &i) in members.iter().enumerate() {
            streams[i] = StreamKey::new("candidate")
                .number(hash)
                .number(number as u64)
                .value();
        }
    }
    streams
}

fn hash_of_results(candidate: usize, by_key: &[&TestInput]) -> u64 {
    let mut key = StreamKey::new("results");
    for test in by_key {
        let Some(cell) = test.candidates.get(candidate) else {
            continue;
        };
        let mut results: Vec<_> = cell.observations.iter().map(|&(o, _)| test.oriented(o)).collect();
        results.sort_by(|a, b| a.order(b));
        key = key.text(&test.key).number(results.len() as u64);
        for result in results {
            let (kind, lo, hi) = result.bits();
            key = key.number(u64::from(kind)).number(lo).number(hi);
        }
    }
    key.value()
}
