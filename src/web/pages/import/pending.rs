//! Files that were looked at and not yet confirmed, kept in memory for a while.

use crate::web::token::random_key;
use axum::body::Bytes;
use std::collections::BTreeMap;
use std::sync::{LazyLock, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// How long a preview can be confirmed.
pub(super) const KEPT_FOR: Duration = Duration::from_secs(30 * 60);
/// More than this is not kept: the oldest file goes first.
const MOST_KEPT_BYTES: usize = 256 << 20;
const MOST_KEPT_FILES: usize = 64;

/// A file as it was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Kept {
    pub(super) name: String,
    pub(super) trial: String,
    pub(super) bytes: Bytes,
}

#[derive(Default)]
struct PendingImports {
    files: BTreeMap<String, (Instant, Kept)>,
}

static PENDING_IMPORTS: LazyLock<Mutex<PendingImports>> = LazyLock::new(Mutex::default);

/// Keeps a file and returns the key to it.
pub(super) fn keep(kept: Kept) -> String {
    let mut pending = PENDING_IMPORTS.lock().unwrap_or_else(PoisonError::into_inner);
    pending.put(kept, Instant::now())
}

/// The file of a key, unless it was kept too long.
pub(super) fn find(key: &str) -> Option<Kept> {
    let mut pending = PENDING_IMPORTS.lock().unwrap_or_else(PoisonError::into_inner);
    pending.get(key, Instant::now())
}

impl PendingImports {
    fn put(&mut self, kept: Kept, now: Instant) -> String {
        let key = random_key();
        self.files.insert(key.clone(), (now, kept));
        self.forget(now);
        key
    }

    fn get(&mut self, key: &str, now: Instant) -> Option<Kept> {
        self.forget(now);
        self.files.get(key).map(|(_, kept)| kept.clone())
    }

    fn forget(&mut self, now: Instant) {
        self.files
            .retain(|_, (since, _)| now.duration_since(*since) < KEPT_FOR);
        let size = |files: &BTreeMap<String, (Instant, Kept)>| -> usize {
            files.values().map(|(_, kept)| kept.bytes.len()).sum()
        };
        while self.files.len() > MOST_KEPT_FILES || size(&self.files) > MOST_KEPT_BYTES {
            let oldest = self.files.iter().min_by_key(|(_, (since, _))| *since);
            let Some(key) = oldest.map(|(key, _)| key.clone()) else {
                break;
            };
            self.files.remove(&key);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kept(name: &str) -> Kept {
        Kept {
            name: name.into(),
            trial: String::new(),
            bytes: Bytes::from_static(b"blend"),
        }
    }

    #[test]
    fn a_file_is_forgotten_after_its_time_and_when_many_came_later() {
        let (mut pending, start) = (PendingImports::default(), Instant::now());
        let key = pending.put(kept("a"), start);
        assert_eq!(pending.get(&key, start), Some(kept("a")));
        assert_eq!(pending.get("other", start), None);
        assert_eq!(pending.get(&key, start + KEPT_FOR), None);
        let first = pending.put(kept("first"), start);
        for number in 1..=MOST_KEPT_FILES as u64 {
            pending.put(kept("later"), start + Duration::from_secs(number));
        }
        assert_eq!(pending.get(&first, start + Duration::from_secs(100)), None);
        assert_eq!(pending.files.len(), MOST_KEPT_FILES);
    }
}
