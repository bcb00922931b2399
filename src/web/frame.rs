//! What surrounds every page: title, navigation, search, the caution at its foot.

use crate::records::{TrialRecords, TrialStatus};
use crate::web::assets;
use crate::web::question::encoded;
use crate::web::token::token;

/// Which entry of the navigation a page belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Section {
    /// List of trials, comparisons.
    Trials,
    /// Machines.
    Machines,
    /// Blends.
    Blends,
    /// Rigs.
    Rigs,
    /// Catalogue of methods.
    Methods,
    /// Taking results in.
    Import,
    /// Single questions without an archive.
    Calculate,
    /// How numbers are computed.
    About,
    /// None of them.
    Elsewhere,
}

/// Whether a page shows invented data; it says so itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum DataIs {
    /// Somebody's records.
    Recorded,
    /// The demo's.
    Invented,
}

/// The kind of the data, from whether a trial behind it is marked as invented.
impl From<bool> for DataIs {
    fn from(invented: bool) -> Self {
        if invented { Self::Invented } else { Self::Recorded }
    }
}

/// A page of a trial's bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tab {
    /// Who leads.
    Comparison,
    /// Why each test counts that much.
    Weights,
    /// The comparison under a question.
    WhatIf,
    /// What to run.
    Plan,
    /// Every run, and entering one.
    Runs,
    /// What was decided.
    Decision,
    /// What the trial compares.
    SetUp,
    /// The report.
    Print,
    /// A page beside them.
    Beside,
}

impl Tab {
    /// Whether it puts a question, which a comparison answers beside itself.
    pub(crate) fn asks(&self) -> bool {
        *self == Self::WhatIf
    }
}

/// The bar that every page of a trial carries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct TrialBar {
    pub(crate) title: String,
    pub(crate) current: Tab,
    path: String,
    runs: usize,
    /// Whether the set-up may still be changed: a trial that is decided or closed keeps its own.
    may_change: bool,
}

impl TrialBar {
    /// Address of the comparison.
    pub(crate) fn home(&self) -> &str {
        &self.path
    }

    /// Where a number from a data sheet is held against this trial.
    pub(crate) fn number(&self) -> String {
        let slug = self.path.trim_start_matches("/trials/");
        format!("/number?trial={slug}")
    }

    /// The pages in their order: which, address, words.
    pub(crate) fn tabs(&self) -> Vec<(Tab, String, String)> {
        let at = |end: &str| format!("{}{end}", self.path);
        let runs = format!("Runs {}", self.runs);
        let all = [
            (Tab::Comparison, at(""), "Comparison".to_string()),
            (Tab::Weights, at("/weights"), "Weights".to_string()),
            (Tab::WhatIf, at("/what-if"), "What if".to_string()),
            (Tab::Plan, at("/plan"), "Plan".to_string()),
            (Tab::Runs, at("/results"), runs),
            (Tab::Decision, at("/decision"), "Decision".to_string()),
            (Tab::SetUp, at("/setup"), "Set-up".to_string()),
            (Tab::Print, at("/report"), "Print".to_string()),
        ];
        let offered = |(tab, ..): &(Tab, String, String)| self.may_change || *tab != Tab::SetUp;
        all.into_iter().filter(offered).collect()
    }
}

/// What surrounds a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Frame {
    pub(crate) title: String,
    pub(crate) section: Section,
    pub(crate) data: DataIs,
    pub(crate) style: &'static str,
    pub(crate) script: &'static str,
    pub(crate) icon: &'static str,
    /// The bar of the trial that the page belongs to.
    pub(crate) trial: Option<TrialBar>,
    /// Words that trials are searched for.
    pub(crate) asked: String,
}

impl Frame {
    /// A page of a title.
    pub(crate) fn new(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            section: Section::Elsewhere,
            data: DataIs::Recorded,
            style: assets::style(),
            script: assets::script(),
            icon: assets::icon(),
            trial: None,
            asked: String::new(),
        }
    }

    /// A page of a trial.
    pub(crate) fn in_trial(self, records: &TrialRecords, current: Tab) -> Self {
        let trial = &records.trial;
        let bar = TrialBar {
            title: trial.title.clone(),
            current,
            path: format!("/trials/{}", encoded(trial.slug.as_str())),
            runs: records.current_results().count(),
            may_change: matches!(trial.status, TrialStatus::Planned | TrialStatus::Running),
        };
        Self {
            trial: Some(bar),
            ..self.of(Section::Trials).showing(trial.invented.into())
        }
    }

    /// With another page of the trial's bar marked.
    pub(crate) fn of_tab(mut self, current: Tab) -> Self {
        if let Some(bar) = &mut self.trial {
            bar.current = current;
        }
        self
    }

    /// In a section.
    pub(crate) fn of(mut self, section: Section) -> Self {
        self.section = section;
        self
    }

    /// With the words that trials are searched for.
    pub(crate) fn asking(mut self, words: &str) -> Self {
        self.asked = words.to_string();
        self
    }

    /// Of data of a kind.
    pub(crate) fn showing(mut self, data: DataIs) -> Self {
        self.data = data;
        self
    }

    /// The entries of the navigation: section, address, words.
    pub(crate) fn navigation(&self) -> [(Section, &'static str, &'static str); 8] {
        [
            (Section::Trials, "/", "Trials"),
            (Section::Machines, "/machines", "Machines"),
            (Section::Blends, "/blends", "Blends"),
            (Section::Methods, "/methods", "Methods"),
            (Section::Rigs, "/rigs", "Rigs"),
            (Section::Import, "/import", "Import"),
            (Section::Calculate, "/calculate", "Calculate"),
            (Section::About, "/about", "How it is computed"),
        ]
    }

    /// The token that every form of the page carries.
    pub(crate) fn token(&self) -> &'static str {
        token()
    }

    pub(crate) fn is_invented(&self) -> bool {
        self.data == DataIs::Invented
    }
}
