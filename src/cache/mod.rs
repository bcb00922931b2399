//! What was computed and still holds.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// What was computed from some inputs. It holds while nothing was written to the file, and longer where the inputs that
/// are read again are the same: what is written to one trial makes nobody judge another again. At most `MOST` are held; the
/// one that was asked for longest ago makes room.
#[derive(Debug)]
pub(crate) struct Cache<K, I, V, const MOST: usize> {
    held: Mutex<Held<K, I, V>>,
}

#[derive(Debug)]
struct Held<K, I, V> {
    known: BTreeMap<K, Known<I, V>>,
    /// How often anything was asked for or put.
    asked: u64,
}

#[derive(Debug)]
struct Known<I, V> {
    /// Number of writes to the file at which the inputs were last seen.
    writes: i64,
    /// When it was asked for last, as counted by [`Held::asked`].
    asked: u64,
    inputs: I,
    value: V,
}

impl<K, I, V, const MOST: usize> Default for Cache<K, I, V, MOST> {
    fn default() -> Self {
        let (known, asked) = (BTreeMap::new(), 0);
        let held = Mutex::new(Held { known, asked });
        Self { held }
    }
}

impl<K: Ord + Clone, I: PartialEq, V: Clone, const MOST: usize> Cache<K, I, V, MOST> {
    /// What was computed at the same number of writes.
    pub(crate) fn unless_written(&self, writes: i64, key: &K) -> Option<V> {
        self.asked_for(key, |one| one.writes == writes)
    }

    /// What was computed from the same inputs, which were read at a number of writes.
    fn of_the_same(&self, writes: i64, key: &K, inputs: &I) -> Option<V> {
        self.asked_for(key, |one| {
            let is_same = one.inputs == *inputs;
            if is_same {
                one.writes = one.writes.max(writes);
            }
            is_same
        })
    }

    /// What was computed from the same inputs, which were read at a number of writes; where there is none, what
    /// `computed` comes to, which is remembered. Nothing is computed where it is known.
    ///
    /// # Errors
    /// Those of `computed`; then nothing is remembered.
    pub(crate) async fn get_or<E>(
        &self,
        writes: i64,
        key: K,
        inputs: I,
        computed: impl Future<Output = Result<V, E>>,
    ) -> Result<V, E> {
        if let Some(known) = self.of_the_same(writes, &key, &inputs) {
            return Ok(known);
        }
        let value = computed.await?;
        self.put(writes, key, inputs, value.clone());
        Ok(value)
    }

    fn asked_for(&self, key: &K, holds: impl FnOnce(&mut Known<I, V>) -> bool) -> Option<V> {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.asked += 1;
        let asked = held.asked;
        let one = held.known.get_mut(key)?;
        holds(one).then(|| {
            one.asked = asked;
            one.value.clone()
        })
    }

    fn put(&self, writes: i64, key: K, inputs: I, value: V) {
        let mut held = self.held.lock().unwrap_or_else(PoisonError::into_inner);
        held.asked += 1;
        let asked = held.asked;
        if held.known.len() >= MOST && !held.known.contains_key(&key) {
            let oldest = held.known.iter().min_by_key(|(_, one)| one.asked);
            if let Some(key) = oldest.map(|(key, _)| key.clone()) {
                held.known.remove(&key);
            }
        }
        let one = Known {
            writes,
            asked,
            inputs,
            value,
        };
        held.known.insert(key, one);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_write_elsewhere_forgets_nothing_and_another_input_is_another_answer() {
        let remembered: Cache<&str, f64, &str, 2> = Cache::default();
        remembered.put(1, "trial", 0.5, "standing");
        assert_eq!(remembered.unless_written(1, &"trial"), Some("standing"));
        assert_eq!(remembered.unless_written(2, &"trial"), None);
        assert_eq!(remembered.of_the_same(2, &"trial", &0.6), None);
        assert_eq!(remembered.of_the_same(2, &"trial", &0.5), Some("standing"));
        assert_eq!(remembered.unless_written(2, &"trial"), Some("standing"));
    }

    #[test]
    fn what_was_computed_from_older_inputs_answers_for_them_alone() {
        let remembered: Cache<&str, f64, &str, 2> = Cache::default();
        remembered.put(5, "trial", 0.6, "newer");
        remembered.put(4, "trial", 0.5, "older, but it took longer");
        assert_eq!(remembered.unless_written(5, &"trial"), None);
        assert_eq!(remembered.of_the_same(5, &"trial", &0.6), None);
    }

    #[test]
    fn no_more_is_held_than_the_most() {
        let remembered: Cache<usize, f64, usize, 2> = Cache::default();
        for key in 0..5 {
            remembered.put(1, key, 0.0, key);
        }
        let held = (0..5).filter(|key| remembered.unless_written(1, key).is_some());
        assert_eq!(held.collect::<Vec<usize>>(), [3, 4]);
    }

    #[test]
    fn what_is_asked_for_again_and_again_stays() {
        let remembered: Cache<usize, f64, usize, 2> = Cache::default();
        for key in 0..5 {
            remembered.put(1, key, 0.0, key);
            assert_eq!(remembered.of_the_same(1, &0, &0.0), Some(0), "after {key}");
        }
        assert_eq!(remembered.unless_written(1, &4), Some(4));
        assert_eq!(remembered.unless_written(1, &3), None);
    }
}
