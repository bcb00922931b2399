//! What more than one test's trial begins with. All data is invented.

use super::{SLOW_ROLLERS, TrialBuilder, trial_on};

/// Slow rollers: two reference oils and the candidates A and B, of which nothing was run.
pub fn a_against_b(main: &[&str], secondary: &[&str]) -> TrialBuilder {
    let references = trial_on(SLOW_ROLLERS, main, secondary).good("GOOD").poor("POOR");
    references.candidate("A").candidate("B")
}

impl TrialBuilder {
    /// An own bench with the machine's contact, category II, r 0.1 mm, R 0.2 mm: the known good wears little, the known
    /// poor much.
    pub fn wear_bench(self) -> Self {
        self.own_bench("bench", "rolling wear")
            .runs("GOOD", "bench/wear", &["0.40", "0.42", "0.38"])
            .runs("POOR", "bench/wear", &["1.40", "1.42", "1.38"])
    }

    /// A in front on the first bench, by far.
    pub fn a_wears_less(self) -> Self {
        self.wear_bench()
            .runs("A", "bench/wear", &["0.42", "0.44", "0.40"])
            .runs("B", "bench/wear", &["1.10", "1.12", "1.08"])
    }

    /// The same bench a second time, by another method, so that neither is the only one.
    pub fn other_bench(self, a: &[&str], b: &[&str]) -> Self {
        self.own_bench("other", "rolling wear")
            .runs("GOOD", "other/wear", &["0.50", "0.52"])
            .runs("POOR", "other/wear", &["1.50", "1.52"])
            .runs("A", "other/wear", a)
            .runs("B", "other/wear", b)
    }

    /// Weld loads of the two reference oils, three load steps apart, and of the candidates.
    pub fn weld_loads(self, a: &[&str], b: &[&str]) -> Self {
        self.weigh("fb_ep_oil/weld")
            .runs("GOOD", "fb_ep_oil/weld", &["250", "250"])
            .runs("POOR", "fb_ep_oil/weld", &["126", "126"])
            .runs("A", "fb_ep_oil/weld", a)
            .runs("B", "fb_ep_oil/weld", b)
    }
}
