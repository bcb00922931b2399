//! Writing records: an archive, all of it or nothing, and what the pages enter one by one. Rows are added; what is changed
//! is the set-up of a trial, what its runs cost, and that a result is void.

use crate::catalogue::MethodId;
use crate::records::table::Cell;
use crate::records::{
    Adoption, Archive, Blend, Component, Decision, Machine, OfTrial, OwnMethod, Parent, ResultStatus, Rig,
    RunCosts, RunResult, TermScale, Trial, TrialSlug,
};
use crate::store::merge::{Additions, merge};
use crate::store::read::{Scope, all_results};
use crate::store::table::{Connection, Reader, Written, insert, insert_parts, place, update};
use crate::store::{Added, Store, StoreError};
use sqlx::{Sqlite, Transaction};

impl Store {
    /// Writes what is new of an archive in one transaction. `entered_at` (ISO 8601) goes to results without one.
    ///
    /// # Errors
    /// `Conflicts` with every record that is there with other values; then nothing is written.
    pub async fn insert_archive(&self, archive: &Archive, entered_at: &str) -> Result<Added, StoreError> {
        let mut transaction = self.begin_write().await?;
        let added = add(&mut transaction, archive, entered_at).await?;
        transaction.commit().await?;
        Ok(added)
    }

    /// What [`Store::insert_archive`] would write; nothing is kept.
    ///
    /// # Errors
    /// Those of [`Store::insert_archive`].
    pub async fn preview_archive(&self, archive: &Archive) -> Result<Added, StoreError> {
        let mut transaction = self.begin_write().await?;
        let added = add(&mut transaction, archive, "").await?;
        transaction.rollback().await?;
        Ok(added)
    }

    /// Writes a new blend and the components that are not there yet.
    ///
    /// # Errors
    /// `AlreadyThere` where its code is taken.
    pub async fn insert_blend(&self, blend: &Blend, components: &[Component]) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let taken = "SELECT EXISTS (SELECT 1 FROM blends WHERE blend = $1)";
        if is_so(&mut transaction, taken, blend.code.as_str()).await? {
            return Err(StoreError::AlreadyThere(format!("the blend {}", blend.code)));
        }
        for component in components {
            let known = "SELECT EXISTS (SELECT 1 FROM components WHERE component = $1)";
            if !is_so(&mut transaction, known, component.name.as_str()).await? {
                insert(&mut transaction, &(), component, &[]).await?;
            }
        }
        write_blend(&mut transaction, blend).await?;
        finish(transaction).await
    }

    /// Writes a new version of a machine, or a new machine. `entered_at` is ISO 8601.
    ///
    /// # Errors
    /// `AlreadyThere` where a new machine's slug is taken; `NotCurrent` where the version is not the one after the
    /// newest.
    pub async fn insert_machine(&self, machine: &Machine, entered_at: &str) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let newest: i64 =
            sqlx::query_scalar("SELECT COALESCE(MAX(version), 0) FROM machine_versions WHERE machine = $1")
                .bind(machine.slug.as_str())
                .fetch_one(&mut *transaction)
                .await?;
        match (i64::from(machine.version), newest) {
            (version, newest) if version == newest + 1 => {}
            (1, _) => return Err(StoreError::AlreadyThere(format!("the machine {}", machine.slug))),
            (version, newest) => {
                let problem = format!(
                    "the newest version of {} is {newest}, so that {version} cannot follow",
                    machine.slug
                );
                return Err(StoreError::NotCurrent(problem));
            }
        }
        write_machine(&mut transaction, machine, entered_at).await?;
        finish(transaction).await
    }

    /// Makes a trial be judged with another version of its machine.
    ///
    /// # Errors
    /// `NotFound` where there is no such trial; `NotCurrent` where it is not judged with the version from which it
    /// would go over.
    pub async fn adopt_machine_version(
        &self,
        trial: &TrialSlug,
        adoption: &Adoption,
    ) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let now: Option<i64> = sqlx::query_scalar("SELECT machine_version FROM trials WHERE trial = $1")
            .bind(trial.as_str())
            .fetch_optional(&mut *transaction)
            .await?;
        let now = now.ok_or_else(|| StoreError::NotFound(format!("trial {trial}")))?;
        if now != i64::from(adoption.from_version) {
            let problem = format!("the trial is judged with version {now} of its machine by now");
            return Err(StoreError::NotCurrent(problem));
        }
        write_adoption(&mut transaction, trial, adoption).await?;
        finish(transaction).await
    }

    /// Writes a laboratory's own method.
    ///
    /// # Errors
    /// `AlreadyThere` where its id is taken.
    pub async fn insert_own_method(&self, method: &OwnMethod) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let taken = "SELECT EXISTS (SELECT 1 FROM methods WHERE method = $1)";
        if is_so(&mut transaction, taken, method.id.as_str()).await? {
            return Err(StoreError::AlreadyThere(format!("the method {}", method.id)));
        }
        write_method(&mut transaction, method).await?;
        finish(transaction).await
    }

    /// Writes a new trial with its blends and tests.
    ///
    /// # Errors
    /// `AlreadyThere` where its slug is taken.
    pub async fn insert_trial(&self, trial: &Trial) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        if status(&mut transaction, &trial.slug).await?.is_some() {
            return Err(StoreError::AlreadyThere(format!("the trial {}", trial.slug)));
        }
        write_trial(&mut transaction, trial).await?;
        write_parts(&mut transaction, trial).await?;
        finish(transaction).await
    }

    /// Writes the set-up of a trial anew. Its machine, and the version of it, stay.
    ///
    /// # Errors
    /// `NotFound` where there is no such trial; `NotCurrent` where it is decided or closed, or a blend or test that has
    /// results is no longer in it.
    pub async fn change_trial(&self, trial: &Trial) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let status = status(&mut transaction, &trial.slug).await?;
        let status = status.ok_or_else(|| StoreError::NotFound(format!("trial {}", trial.slug)))?;
        if !["planned", "running"].contains(&status.as_str()) {
            let problem = format!("the trial is {status}; its set-up stays as it is");
            return Err(StoreError::NotCurrent(problem));
        }
        refuse_orphans(&mut transaction, trial).await?;
        let kept = ["trial", "machine", "machine_version", "closed_on"];
        update(
            &mut transaction,
            &(),
            trial,
            ("trial", trial.slug.as_str()),
            &kept,
        )
        .await?;
        for parts in [
            "DELETE FROM trial_blends WHERE trial = $1",
            "DELETE FROM trial_methods WHERE trial = $1",
        ] {
            let delete = sqlx::query(parts).bind(trial.slug.as_str());
            delete.execute(&mut *transaction).await?;
        }
        write_parts(&mut transaction, trial).await?;
        finish(transaction).await
    }

    /// Sets cost and days of one run of some methods for a trial, which are part of its plan, not of its evidence; `None`
    /// goes back to the method's own. Returns whether the trial has all of the methods: otherwise nothing is written.
    ///
    /// # Errors
    /// `Db`.
    pub async fn set_costs(
        &self,
        trial: &TrialSlug,
        costs: &[(MethodId, RunCosts)],
    ) -> Result<bool, StoreError> {
        let mut transaction = self.begin_write().await?;
        for (method, RunCosts { cost, days }) in costs {
            let done =
                sqlx::query("UPDATE trial_methods SET cost = $1, days = $2 WHERE trial = $3 AND method = $4")
                    .bind(cost)
                    .bind(days)
                    .bind(trial.as_str())
                    .bind(method.as_str())
                    .execute(&mut *transaction)
                    .await?;
            if done.rows_affected() == 0 {
                return Ok(false);
            }
        }
        finish(transaction).await?;
        Ok(true)
    }

    /// Writes one change of what a term counts; the earlier ones stay.
    ///
    /// # Errors
    /// `NotCurrent` where a change of that term is there that is not older.
    pub async fn insert_term_scale(&self, scale: &TermScale) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let mut reader = Reader::new(&mut transaction);
        let there = reader.term_scales(Scope::Trial(&scale.trial)).await?;
        let there = reader.sound(there)?;
        if let Some(newest) = TermScale::newest(&there, scale.term)
            && newest.entered_at >= scale.entered_at
        {
            return Err(StoreError::NotCurrent(format!(
                "a change of {} is there already that was entered at {}, not before this one; look at it and enter yours again",
                scale.term, newest.entered_at
            )));
        }
        insert(&mut transaction, &(), scale, &[]).await?;
        finish(transaction).await
    }

    /// Writes a decision that was made on what the file held after a number of writes ([`Store::writes`]).
    ///
    /// # Errors
    /// `NotCurrent` where something was written since.
    pub async fn insert_decision(&self, decision: &Decision, writes: i64) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let now: i64 = sqlx::query_scalar("SELECT writes FROM archive_state WHERE id = 1")
            .fetch_one(&mut *transaction)
            .await?;
        if now != writes {
            let problem = "something was written since the decision was made";
            return Err(StoreError::NotCurrent(problem.to_string()));
        }
        insert(&mut transaction, &(), decision, &[]).await?;
        finish(transaction).await
    }

    /// Writes a result that corrects another one, which stays as it is, and returns the id of the new one.
    /// `entered_at` is ISO 8601.
    ///
    /// # Errors
    /// `NotFound`; `NotCurrent` where the other one is superseded or void.
    pub async fn correct_result(
        &self,
        earlier: i64,
        correction: &RunResult,
        entered_at: &str,
    ) -> Result<i64, StoreError> {
        let mut transaction = self.begin_write().await?;
        let there = current(&mut transaction, earlier).await?;
        if there.run_key() != correction.run_key() {
            return Err(StoreError::NotCurrent(format!("result {earlier} is another run")));
        }
        let written = RunResult {
            id: None,
            supersedes: Some(earlier),
            ..correction.clone()
        };
        write_result(&mut transaction, &written, entered_at).await?;
        let id = sqlx::query_scalar("SELECT id FROM results WHERE supersedes = $1")
            .bind(earlier)
            .fetch_one(&mut *transaction)
            .await?;
        finish(transaction).await?;
        Ok(id)
    }

    /// Voids a result, once. `voided_at` is ISO 8601.
    ///
    /// # Errors
    /// `NotFound`; `NotCurrent` where it is superseded or void.
    pub async fn void_result(&self, id: i64, reason: &str, voided_at: &str) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        current(&mut transaction, id).await?;
        sqlx::query("UPDATE results SET status = 'void', voided_at = $1, void_reason = $2 WHERE id = $3")
            .bind(voided_at)
            .bind(reason)
            .bind(id)
            .execute(&mut *transaction)
            .await?;
        finish(transaction).await
    }
}

/// Says that what was derived from the file before is stale, and keeps what was written.
pub(crate) async fn finish(mut transaction: Transaction<'static, Sqlite>) -> Written {
    count_a_write(&mut transaction).await?;
    transaction.commit().await?;
    Ok(())
}

async fn count_a_write(connection: &mut Connection) -> Written {
    sqlx::query("UPDATE archive_state SET writes = writes + 1 WHERE id = 1")
        .execute(connection)
        .await?;
    Ok(())
}

async fn is_so(connection: &mut Connection, sql: &'static str, name: &str) -> Result<bool, StoreError> {
    Ok(sqlx::query_scalar(sql).bind(name).fetch_one(connection).await?)
}

async fn status(connection: &mut Connection, trial: &TrialSlug) -> Result<Option<String>, StoreError> {
    let status = sqlx::query_scalar("SELECT status FROM trials WHERE trial = $1")
        .bind(trial.as_str())
        .fetch_optional(connection)
        .await?;
    Ok(status)
}

/// Somebody may have entered results since the form was opened.
async fn refuse_orphans(connection: &mut Connection, trial: &Trial) -> Written {
    let run: Vec<(String, String, String)> =
        sqlx::query_as("SELECT DISTINCT blend, method, quantity FROM results WHERE trial = $1")
            .bind(trial.slug.as_str())
            .fetch_all(connection)
            .await?;
    for (blend, method, quantity) in run {
        let has_blend = trial.blends.iter().any(|part| part.blend.as_str() == blend);
        let has_test = (trial.tests.iter())
            .any(|test| test.key.method.as_str() == method && test.key.quantity == quantity);
        if !(has_blend && has_test) {
            let problem =
                format!("{blend} has a result of {method}/{quantity} by now; both stay in the trial");
            return Err(StoreError::NotCurrent(problem));
        }
    }
    Ok(())
}

/// The result of an id, where no other one supersedes it and it is not void.
async fn current(connection: &mut Connection, id: i64) -> Result<RunResult, StoreError> {
    let results = all_results(connection).await?;
    let superseded = results.iter().any(|result| result.supersedes == Some(id));
    let found = results.into_iter().find(|result| result.id == Some(id));
    let found = found.ok_or_else(|| StoreError::NotFound(format!("result {id}")))?;
    if superseded {
        let problem = format!("result {id} is corrected by a later entry already");
        return Err(StoreError::NotCurrent(problem));
    }
    if found.status == ResultStatus::Void {
        return Err(StoreError::NotCurrent(format!("result {id} is void already")));
    }
    Ok(found)
}

async fn add(connection: &mut Connection, archive: &Archive, entered_at: &str) -> Result<Added, StoreError> {
    let mut reader = Reader::new(connection);
    let there = reader.archive().await?;
    let there = reader.sound(there)?;
    let (additions, added) = merge(&there, archive).map_err(StoreError::Conflicts)?;
    if added.new_records() == 0 {
        return Ok(added);
    }
    write(connection, &additions, entered_at).await?;
    count_a_write(connection).await?;
    Ok(added)
}

/// Parents before children, so that every foreign key finds its row.
async fn write(connection: &mut Connection, additions: &Additions<'_>, entered_at: &str) -> Written {
    for component in &additions.components {
        insert(connection, &(), *component, &[]).await?;
    }
    for blend in &additions.blends {
        write_blend(connection, blend).await?;
    }
    for machine in &additions.machines {
        write_machine(connection, machine, entered_at).await?;
    }
    for method in &additions.own_methods {
        write_method(connection, method).await?;
    }
    for rig in &additions.rigs {
        write_rig(connection, rig).await?;
    }
    for trial in &additions.trials {
        write_trial(connection, trial).await?;
    }
    for (trial, adoption) in &additions.adoptions {
        write_adoption(connection, trial, adoption).await?;
    }
    for (trial, at, part) in &additions.trial_blends {
        insert(connection, &trial.name_in_parts(), *part, &[place(*at)]).await?;
    }
    for (trial, at, test) in &additions.trial_tests {
        insert(connection, &trial.name_in_parts(), *test, &[place(*at)]).await?;
    }
    for scale in &additions.term_scales {
        insert(connection, &(), *scale, &[]).await?;
    }
    for result in &additions.results {
        write_result(connection, result, entered_at).await?;
    }
    for reading in &additions.readings {
        insert(connection, &(), *reading, &[]).await?;
    }
    for decision in &additions.decisions {
        insert(connection, &(), *decision, &[]).await?;
    }
    for outcome in &additions.outcomes {
        insert(connection, &(), *outcome, &[]).await?;
    }
    Ok(())
}

async fn write_blend(connection: &mut Connection, blend: &Blend) -> Written {
    insert(connection, &(), blend, &[]).await?;
    insert_parts(connection, &blend.name_in_parts(), &blend.composition).await
}

async fn write_method(connection: &mut Connection, method: &OwnMethod) -> Written {
    insert(connection, &(), method, &[]).await?;
    insert_parts(connection, &method.name_in_parts(), &method.quantities).await
}

async fn write_rig(connection: &mut Connection, rig: &Rig) -> Written {
    insert(connection, &(), rig, &[]).await?;
    for (at, method) in rig.methods.iter().enumerate() {
        sqlx::query("INSERT INTO rig_methods (rig, place, method) VALUES ($1, $2, $3)")
            .bind(rig.id.as_str())
            .bind(place(at).1)
            .bind(method.as_str())
            .execute(&mut *connection)
            .await?;
    }
    Ok(())
}

/// A version of a machine, later than those that are there; its contacts first, since the version seals them.
async fn write_machine(connection: &mut Connection, machine: &Machine, entered_at: &str) -> Written {
    sqlx::query(
        "INSERT INTO machines (machine, name, kind, note, caution) VALUES ($1, $2, $3, $4, $5) \
         ON CONFLICT (machine) DO UPDATE SET name = excluded.name, kind = excluded.kind, note = excluded.note, \
         caution = excluded.caution",
    )
    .bind(machine.slug.as_str())
    .bind(&machine.name)
    .bind(&machine.kind)
    .bind(&machine.note)
    .bind(&machine.caution)
    .execute(&mut *connection)
    .await?;
    insert_parts(connection, &machine.name_in_parts(), &machine.contacts).await?;
    let written = Machine {
        entered_at: given_or(&machine.entered_at, entered_at),
        ..machine.clone()
    };
    insert(connection, &(), &written, &[]).await
}

/// A trial without its parts, with the machine's version that it was opened with.
async fn write_trial(connection: &mut Connection, trial: &Trial) -> Written {
    let written = Trial {
        machine_version: trial.first_machine_version(),
        ..trial.clone()
    };
    insert(connection, &(), &written, &[]).await
}

async fn write_parts(connection: &mut Connection, trial: &Trial) -> Written {
    let owner = trial.name_in_parts();
    insert_parts(connection, &owner, &trial.blends).await?;
    insert_parts(connection, &owner, &trial.tests).await
}

/// That a trial goes over to another version of its machine.
async fn write_adoption(connection: &mut Connection, trial: &TrialSlug, adoption: &Adoption) -> Written {
    let owner = OfTrial { trial: trial.clone() };
    insert(connection, &owner, adoption, &[]).await?;
    sqlx::query("UPDATE trials SET machine_version = $1 WHERE trial = $2")
        .bind(adoption.to_version)
        .bind(trial.as_str())
        .execute(connection)
        .await?;
    Ok(())
}

/// A void result has its reason in a column of its own, so that voiding one changes nothing else.
pub(crate) async fn write_result(
    connection: &mut Connection,
    result: &RunResult,
    entered_at: &str,
) -> Written {
    let mut written = RunResult {
        entered_at: given_or(&result.entered_at, entered_at),
        ..result.clone()
    };
    let void_reason = match written.status {
        ResultStatus::Void => Cell::Text(std::mem::take(&mut written.reason)),
        ResultStatus::Valid | ResultStatus::Suspect => Cell::Empty,
    };
    insert(connection, &(), &written, &[("void_reason", void_reason)]).await
}

fn given_or(given: &str, otherwise: &str) -> String {
    if given.is_empty() { otherwise } else { given }.to_string()
}
