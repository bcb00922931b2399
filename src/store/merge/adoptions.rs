//! How trials came to the version of their machine with which they are judged.

use crate::records::Trial;
use crate::store::merge::{Conflict, Count, Merge};

impl<'a> Merge<'a> {
    /// A trial that is there already takes later adoptions in behind
    /// its own, and one that adopted another version since still equals the row from which it came.
    pub(super) fn adoptions(&mut self, there: &[Trial], given: &'a [Trial]) {
        let mut count = Count::default();
        for trial in given {
            let known = there.iter().find(|known| known.slug == trial.slug);
            let known_steps = known.map_or(&[][..], |known| &known.adoptions);
            let common = known_steps.len().min(trial.adoptions.len());
            let same_start =
                known.is_none_or(|known| known.first_machine_version() == trial.first_machine_version());
            if !same_start || known_steps[..common] != trial.adoptions[..common] {
                self.conflicts.push(Conflict {
                    what: "trial",
                    key: trial.slug.to_string(),
                    there: known.map(versions).unwrap_or_default(),
                    given: versions(trial),
                });
                continue;
            }
            count.same += common;
            count.new += trial.adoptions.len() - common;
            let new = trial.adoptions[common..].iter();
            self.additions
                .adoptions
                .extend(new.map(|adoption| (&trial.slug, adoption)));
        }
        self.added.count("machine adoption", count);
    }
}

/// `machine_version '1', then '2' (reason)`.
fn versions(trial: &Trial) -> String {
    let then = trial.adoptions.iter();
    let then = then.map(|step| format!(", then '{}' ({})", step.to_version, step.reason));
    format!(
        "machine_version '{}'{}",
        trial.first_machine_version(),
        then.collect::<String>()
    )
}
