//! Trials with their blends and tests.

use crate::catalogue::from_word;
use crate::records::{
    Adoption, BlendCode, Confidence, Level, MachineSlug, Role, TestKey, Trial, TrialBlend, TrialSlug,
    TrialStatus, TrialTest,
};
use crate::store::read::Scope;
use crate::store::read::entities::rows;
use crate::store::row::Stored;
use crate::store::{Problem, StoreError};
use sqlx::SqliteConnection;

type Connection = SqliteConnection;

pub(super) async fn trials(
    connection: &mut Connection,
    scope: Scope<'_>,
    problems: &mut Vec<Problem>,
) -> Result<Vec<Trial>, StoreError> {
    let mut trials = rows!(
        connection,
        "trials",
        problems,
        "SELECT trial, title, question, machine, status, opened_on, closed_on, machine_confidence, invented, \
         machine_version FROM trials WHERE $1 IS NULL OR trial = $1 ORDER BY id",
        [scope.trial()],
        trial
    );
    let blends = rows!(
        connection,
        "trial_blends",
        problems,
        "SELECT trial, blend, role, level FROM trial_blends WHERE $1 IS NULL OR trial = $1 ORDER BY trial, place",
        [scope.trial()],
        trial_blend
    );
    for (slug, part) in blends {
        if let Some(trial) = trials
            .iter_mut()
            .find(|trial: &&mut Trial| trial.slug.as_str() == slug)
        {
            trial.blends.push(part);
        }
    }
    let tests = rows!(
        connection,
        "trial_methods",
        problems,
        "SELECT trial, method, quantity, used_to, gate_limit, known_good, known_poor, cost, days, reason \
         FROM trial_methods WHERE $1 IS NULL OR trial = $1 ORDER BY trial, place",
        [scope.trial()],
        trial_test
    );
    for (slug, test) in tests {
        if let Some(trial) = trials
            .iter_mut()
            .find(|trial: &&mut Trial| trial.slug.as_str() == slug)
        {
            trial.tests.push(test);
        }
    }
    let adoptions = rows!(
        connection,
        "machine_adoptions",
        problems,
        "SELECT trial, from_version, to_version, adopted_at, reason FROM machine_adoptions \
         WHERE $1 IS NULL OR trial = $1 ORDER BY id",
        [scope.trial()],
        adoption
    );
    for (slug, adoption) in adoptions {
        if let Some(trial) = trials
            .iter_mut()
            .find(|trial: &&mut Trial| trial.slug.as_str() == slug)
        {
            trial.adoptions.push(adoption);
        }
    }
    Ok(trials)
}

fn adoption(row: &mut Stored<'_>) -> Result<Option<(String, Adoption)>, StoreError> {
    let versions = row.version("from_version")?.zip(row.version("to_version")?);
    let Some((from_version, to_version)) = versions else {
        return Ok(None);
    };
    let adoption = Adoption {
        from_version,
        to_version,
        adopted_at: row.text("adopted_at")?,
        reason: row.text("reason")?,
    };
    Ok(Some((row.text("trial")?, adoption)))
}

fn trial(row: &mut Stored<'_>) -> Result<Option<Trial>, StoreError> {
    let slug = row.read("trial", TrialSlug::new)?;
    let machine = row.read("machine", MachineSlug::new)?;
    let status = row.read("status", TrialStatus::from_word)?;
    let confidence = row.read("machine_confidence", Confidence::from_word)?;
    let (opened_on, closed_on) = (row.date("opened_on")?, row.date("closed_on")?);
    let version = row.version("machine_version")?;
    let (Some(slug), Some(machine), Some(status), Some(machine_version)) = (slug, machine, status, version)
    else {
        return Ok(None);
    };
    let (Some(machine_confidence), Some(opened_on), Some(closed_on)) = (confidence, opened_on, closed_on)
    else {
        return Ok(None);
    };
    Ok(Some(Trial {
        slug,
        title: row.text("title")?,
        question: row.text("question")?,
        machine,
        status,
        opened_on,
        closed_on,
        machine_confidence,
        invented: row.is_set("invented")?,
        blends: Vec::new(),
        tests: Vec::new(),
        machine_version,
        adoptions: Vec::new(),
    }))
}

fn trial_blend(row: &mut Stored<'_>) -> Result<Option<(String, TrialBlend)>, StoreError> {
    let trial = row.text("trial")?;
    let blend = row.read("blend", BlendCode::new)?;
    let role = row.read("role", Role::from_word)?;
    let level = row.read_optional("level", Level::from_word)?;
    let (Some(blend), Some(role), Some(level)) = (blend, role, level) else {
        return Ok(None);
    };
    Ok(Some((trial, TrialBlend { blend, role, level })))
}

fn trial_test(row: &mut Stored<'_>) -> Result<Option<(String, TrialTest)>, StoreError> {
    let used_to = row.read("used_to", from_word)?;
    let known_good = row.read_optional("known_good", BlendCode::new)?;
    let known_poor = row.read_optional("known_poor", BlendCode::new)?;
    let (Some(used_to), Some(known_good), Some(known_poor)) = (used_to, known_good, known_poor) else {
        return Ok(None);
    };
    let test = TrialTest {
        key: TestKey {
            method: row.text("method")?,
            quantity: row.text("quantity")?,
        },
        used_to,
        limit: row.text("gate_limit")?,
        known_good,
        known_poor,
        cost: row.real("cost")?,
        days: row.real("days")?,
        reason: row.text("reason")?,
    };
    Ok(Some((row.text("trial")?, test)))
}
