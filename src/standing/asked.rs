//! The records of a trial as a question has them: the machine under another duty, other reference oils.

use crate::records::{BlendCode, DutyChange, DutyFactors, Level, Role, TrialRecords};
use crate::standing::{Anchor, WhatIf};

/// What a duty has changed in one contact of the machine.
#[derive(Clone, Debug, PartialEq)]
pub struct ContactDuty {
    /// The contact's name.
    pub contact: String,
    /// What was changed; empty where nothing of it depends on load or speed.
    pub changes: Vec<DutyChange>,
}

/// The records as a question has them.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The records.
    pub records: TrialRecords,
    /// What another duty has changed, by contact; empty under the recorded duty.
    pub duty: Vec<ContactDuty>,
}

/// Why the records cannot be changed as a question asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AskedFault {
    /// The field of the question: `duty`, `known_good`, `known_poor`.
    pub field: &'static str,
    /// What is wrong, with the mend.
    pub problem: String,
}

impl WhatIf {
    /// The records under the question. To be taken once, of the records as they are: a duty multiplies.
    ///
    /// A test that names a reference oil of its own keeps it.
    ///
    /// # Errors
    /// A duty that takes a parameter out of its range; an oil that is no reference oil of the trial; the same oil as
    /// both ends.
    pub fn records(&self, records: &TrialRecords) -> Result<Asked, AskedFault> {
        let mut asked = records.clone();
        let duty = if self.duty.is_as_given() {
            Vec::new()
        } else {
            under(&mut asked, self.duty)?
        };
        self.refuse_one_oil_for_both()?;
        let ends = [
            ("known_good", Level::KnownGood, &self.known_good),
            ("known_poor", Level::KnownPoor, &self.known_poor),
        ];
        for (_, level, anchor) in ends {
            if anchor.is_some() {
                clear(&mut asked, level);
            }
        }
        for (field, level, anchor) in ends {
            if let Some(Anchor::Oil(oil)) = anchor {
                set(&mut asked, field, level, oil)?;
            }
        }
        Ok(Asked { records: asked, duty })
    }

    fn refuse_one_oil_for_both(&self) -> Result<(), AskedFault> {
        match (&self.known_good, &self.known_poor) {
            (Some(Anchor::Oil(good)), Some(Anchor::Oil(poor))) if good == poor => Err(AskedFault {
                field: "known_poor",
                problem: format!("'{poor}' is taken as the known good already; choose another oil"),
            }),
            _ => Ok(()),
        }
    }
}

fn under(records: &mut TrialRecords, duty: DutyFactors) -> Result<Vec<ContactDuty>, AskedFault> {
    let mut told = Vec::new();
    for contact in &mut records.machine.contacts {
        let (preset, changes) = contact.preset.under(duty).map_err(|fault| AskedFault {
            field: "duty",
            problem: format!("the contact '{}' cannot have it: {fault}", contact.name),
        })?;
        contact.parameters_json = preset.parameters_json();
        contact.preset = preset;
        told.push(ContactDuty {
            contact: contact.name.clone(),
            changes,
        });
    }
    Ok(told)
}

fn clear(records: &mut TrialRecords, level: Level) {
    for part in &mut records.trial.blends {
        if part.level == Some(level) {
            part.level = None;
        }
    }
}

fn set(
    records: &mut TrialRecords,
    field: &'static str,
    level: Level,
    oil: &BlendCode,
) -> Result<(), AskedFault> {
    let references = || {
        let codes: Vec<&str> = records
            .with_role(Role::Reference)
            .map(BlendCode::as_str)
            .collect();
        codes.join(", ")
    };
    let place =
        (records.trial.blends.iter()).position(|part| part.role == Role::Reference && &part.blend == oil);
    let Some(place) = place else {
        return Err(AskedFault {
            field,
            problem: format!(
                "'{oil}' is no reference oil of this trial; write one of {}, or {}",
                references(),
                Anchor::NONE
            ),
        });
    };
    records.trial.blends[place].level = Some(level);
    // the oil cannot stand at the other end of a test as well
    for test in &mut records.trial.tests {
        let other = match level {
            Level::KnownGood => &mut test.known_poor,
            Level::KnownPoor | Level::KnownMiddle => &mut test.known_good,
        };
        if other.as_ref() == Some(oil) {
            *other = None;
        }
    }
    Ok(())
}
