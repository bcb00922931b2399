//! The first steps in an archive that is still empty.

use crate::app::Progress;
use crate::web::pages::trials::words;

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
        if self.is_done { words::DONE } else { words::TO_DO }
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
                name: words::DESCRIBE_THE_MACHINE,
                why: words::WHY_DESCRIBE_THE_MACHINE,
                href: "/machines/new",
                action: words::GO_ENTER_A_MACHINE,
                is_done: progress.machines,
            },
            Step {
                name: words::ENTER_THE_BLENDS,
                why: words::WHY_ENTER_THE_BLENDS,
                href: "/blends/new",
                action: words::GO_ENTER_A_BLEND,
                is_done: progress.blends,
            },
            Step {
                name: words::SET_UP_A_TRIAL,
                why: words::WHY_SET_UP_A_TRIAL,
                href: "/trials/new",
                action: words::GO_SET_UP_A_TRIAL,
                is_done: progress.trials,
            },
            Step {
                name: words::ENTER_RESULTS,
                why: words::HOW_RESULTS_ARE_ENTERED,
                href: "/import",
                action: words::GO_TAKE_RESULTS_IN,
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
