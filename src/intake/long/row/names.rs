//! The names in a row: trial, blend, rig.

use crate::intake::long::columns::Field;
use crate::intake::long::row::Row;
use crate::records::{BlendCode, RigId, TestKey, Trial};

impl<'a> Row<'a> {
    pub(super) fn trial(&mut self) -> Option<&'a Trial> {
        let reader = self.reader;
        let slug = match (self.text(Field::Trial), reader.trial) {
            ("", Some(chosen)) => chosen.as_str(),
            ("", None) => return self.refuse(Field::Trial, "is empty, and no trial was chosen for the file"),
            (named, Some(chosen)) if named != chosen.as_str() => {
                let problem = format!("is not the trial that was chosen for the file, {chosen}");
                return self.refuse(Field::Trial, problem);
            }
            (named, _) => named,
        };
        let found = reader.trials.get(slug).copied();
        found.or_else(|| self.refuse(Field::Trial, "is not a trial of this archive"))
    }

    pub(super) fn blend(&mut self) -> Option<&'a BlendCode> {
        let reader = self.reader;
        let code = self.text(Field::Blend);
        if code.is_empty() {
            return self.refuse(Field::Blend, "is empty");
        }
        let found = reader.blends.get(code).copied();
        found.or_else(|| {
            let hint = spelt_otherwise(reader.blends.keys(), code);
            self.refuse(Field::Blend, format!("is not a blend of this archive{hint}"))
        })
    }

    /// The outer `None` is a fault.
    pub(super) fn rig(&mut self) -> Option<Option<RigId>> {
        let reader = self.reader;
        let id = self.text(Field::Rig);
        if id.is_empty() {
            return Some(None);
        }
        match reader.rigs.get(id) {
            Some(rig) => Some(Some((*rig).clone())),
            None => {
                let hint = spelt_otherwise(reader.rigs.keys(), id);
                self.refuse(Field::Rig, format!("is not a rig of this archive{hint}"))
            }
        }
    }

    pub(super) fn remark_on_strangers(&mut self, trial: &Trial, blend: &BlendCode, key: &TestKey) {
        if !trial.blends.iter().any(|part| &part.blend == blend) {
            let remark = "the trial does not name this blend; nothing weighs the result";
            self.remarks.push(remark.to_string());
        }
        if !trial.tests.iter().any(|test| &test.key == key) {
            let remark = format!("the trial does not name the test {key}; nothing weighs the result");
            self.remarks.push(remark);
        }
    }
}

/// `; 'K-09' is`, where a name differs in capitals only.
fn spelt_otherwise<'a>(names: impl Iterator<Item = &'a &'a str>, given: &str) -> String {
    let mut names = names;
    names
        .find(|name| name.to_lowercase() == given.to_lowercase())
        .map_or(String::new(), |name| format!("; '{name}' is"))
}
