//! Writing the set-up of one trial: its question, its blends with their roles, its tests.

use crate::records::{Trial, TrialSlug};
use crate::store::insert::{
    Connection, Written, count_a_write, write_row, write_trial, write_trial_blend, write_trial_test,
};
use crate::store::{Store, StoreError};

impl Store {
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
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
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
        write_row!(
            transaction,
            "UPDATE trials SET title = $1, question = $2, status = $3, opened_on = $4, machine_confidence = $5, \
             invented = $6 WHERE trial = $7",
            trial.title.as_str(),
            trial.question.as_str(),
            trial.status.word(),
            trial.opened_on.map(|date| date.to_string()),
            trial.machine_confidence.word(),
            i64::from(trial.invented),
            trial.slug.as_str(),
        );
        write_row!(
            transaction,
            "DELETE FROM trial_blends WHERE trial = $1",
            trial.slug.as_str()
        );
        write_row!(
            transaction,
            "DELETE FROM trial_methods WHERE trial = $1",
            trial.slug.as_str()
        );
        write_parts(&mut transaction, trial).await?;
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
    }
}

async fn status(connection: &mut Connection, trial: &TrialSlug) -> Result<Option<String>, StoreError> {
    let status = sqlx::query_scalar("SELECT status FROM trials WHERE trial = $1")
        .bind(trial.as_str())
        .fetch_optional(&mut *connection)
        .await?;
    Ok(status)
}

async fn write_parts(connection: &mut Connection, trial: &Trial) -> Written {
    for (place, part) in trial.blends.iter().enumerate() {
        write_trial_blend(connection, &trial.slug, place, part).await?;
    }
    for (place, test) in trial.tests.iter().enumerate() {
        write_trial_test(connection, &trial.slug, place, test).await?;
    }
    Ok(())
}

/// Somebody may have entered results since the form was opened.
async fn refuse_orphans(connection: &mut Connection, trial: &Trial) -> Written {
    let run: Vec<(String, String, String)> =
        sqlx::query_as("SELECT DISTINCT blend, method, quantity FROM results WHERE trial = $1")
            .bind(trial.slug.as_str())
            .fetch_all(&mut *connection)
            .await?;
    for (blend, method, quantity) in run {
        let has_blend = trial.blends.iter().any(|part| part.blend.as_str() == blend);
        let has_test =
            (trial.tests.iter()).any(|test| test.key.method == method && test.key.quantity == quantity);
        if !(has_blend && has_test) {
            let problem =
                format!("{blend} has a result of {method}/{quantity} by now; both stay in the trial");
            return Err(StoreError::NotCurrent(problem));
        }
    }
    Ok(())
}
