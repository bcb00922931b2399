//! The first steps in an archive that is still empty.

use crate::desk::Progress;

/// One step.
pub(crate) struct Step {
    pub(crate) name: &'static str,
    pub(crate) why: &'static str,
    pub(crate) href: &'static str,
    pub(crate) action: &'static str,
    pub(crate) is_done: bool,
}

impl Step {
    /// `done` or `to do`.
    pub(crate) fn state(&self) -> &'static str {
        if self.is_done { "done" } else { "to do" }
    }
}

/// The four steps to a first comparison; none once all of them are done.
#[derive(Default)]
pub(crate) struct FirstSteps {
    pub(crate) steps: Vec<Step>,
    /// Whether the demo can still be had: nothing at all has been entered.
    pub(crate) offers_demo: bool,
}

impl FirstSteps {
    pub(crate) fn of(progress: Progress) -> Self {
        let steps = [
            Step {
                name: "Describe the machine",
                why: "Its contacts, with load, speed and temperature. Tests are weighed by how much they resemble it.",
                href: "/machines/new",
                action: "enter a machine",
                is_done: progress.machines,
            },
            Step {
                name: "Enter the blends",
                why: "The candidates, and oils of known behaviour between which they are placed.",
                href: "/blends/new",
                action: "enter a blend",
                is_done: progress.blends,
            },
            Step {
                name: "Set up a trial",
                why: "The question, which blend has which role, and the test methods with what each is used for.",
                href: "/trials/new",
                action: "set up a trial",
                is_done: progress.trials,
            },
            Step {
                name: "Enter results",
                why: "Typed on the page of the trial, or taken in from a file or a spreadsheet.",
                href: "/import",
                action: "take results in",
                is_done: progress.results,
            },
        ];
        if steps.iter().all(|step| step.is_done) {
            return Self::default();
        }
        Self {
            steps: steps.into_iter().collect(),
            offers_demo: progress.is_empty,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn progress(done: usize) -> Progress {
        Progress {
            machines: done > 0,
            blends: done > 1,
            trials: done > 2,
            results: done > 3,
            is_empty: done == 0,
        }
    }

    #[test]
    fn the_steps_go_when_all_are_done_and_the_demo_with_the_first() {
        for done in 0..4 {
            let first = FirstSteps::of(progress(done));
            assert_eq!(first.steps.iter().filter(|step| step.is_done).count(), done);
            assert_eq!(first.offers_demo, done == 0);
        }
        assert!(FirstSteps::of(progress(4)).steps.is_empty());
    }
}
