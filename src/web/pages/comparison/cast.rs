//! Who is who in a trial: each candidate's place decides its colour and shape on every chart.

use crate::charts::{Svg, legend_control, legend_mark, mark_words};
use crate::records::{BlendCode, Level, Role, TrialRecords};

/// The blends of a trial by role.
pub(crate) struct Cast<'a> {
    records: &'a TrialRecords,
    candidates: Vec<&'a BlendCode>,
    controls: Vec<&'a BlendCode>,
}

/// A blend in a legend.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LegendEntry {
    /// Place among the candidates; `None` for a control fluid.
    pub(crate) index: Option<usize>,
    pub(crate) code: String,
    pub(crate) name: String,
    pub(crate) mark: Svg,
    pub(crate) mark_words: &'static str,
}

impl<'a> Cast<'a> {
    pub(crate) fn of(records: &'a TrialRecords) -> Self {
        Self {
            records,
            candidates: records.with_role(Role::Candidate).collect(),
            controls: records.with_role(Role::Control).collect(),
        }
    }

    /// Place of a candidate in the trial.
    pub(crate) fn index(&self, blend: &BlendCode) -> Option<usize> {
        self.candidates.iter().position(|code| *code == blend)
    }

    /// The blend's name, empty where it has none but its code.
    pub(crate) fn name(&self, blend: &BlendCode) -> String {
        self.records
            .blend(blend)
            .map(|record| record.name.clone())
            .filter(|name| name != blend.as_str())
            .unwrap_or_default()
    }

    /// `candidate`, `known good`, `control fluid`.
    pub(crate) fn role_words(&self, blend: &BlendCode) -> &'static str {
        let part = self.records.trial.blends.iter().find(|part| &part.blend == blend);
        match part.map(|part| (part.role, part.level)) {
            Some((Role::Candidate, _)) => "candidate",
            Some((Role::Control, _)) => "control fluid",
            Some((Role::Reference, Some(level))) => level_words(level),
            Some((Role::Reference, None)) => "reference oil",
            None => "not in the trial",
        }
    }

    pub(crate) fn legend(&self) -> Vec<LegendEntry> {
        let candidates = self
            .candidates
            .iter()
            .enumerate()
            .map(|(index, code)| LegendEntry {
                index: Some(index),
                code: code.to_string(),
                name: self.name(code),
                mark: legend_mark(index),
                mark_words: mark_words(index),
            });
        let controls = self.controls.iter().map(|code| LegendEntry {
            index: None,
            code: code.to_string(),
            name: self.name(code),
            mark: legend_control(),
            mark_words: "dashed ring",
        });
        candidates.chain(controls).collect()
    }

    pub(crate) fn count(&self, role: Role) -> usize {
        self.records.with_role(role).count()
    }
}

/// `known good`, as a page says it.
pub(crate) fn level_words(level: Level) -> &'static str {
    match level {
        Level::KnownGood => "known good",
        Level::KnownMiddle => "known middle",
        Level::KnownPoor => "known poor",
    }
}
