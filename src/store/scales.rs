//! What the terms of the resemblance count in a trial: rows are only added.

use crate::records::{Term, TermScale, TrialSlug};
use crate::store::insert::{Connection, Written, count_a_write, write_row};
use crate::store::read::Scope;
use crate::store::read::entities::rows;
use crate::store::row::Stored;
use crate::store::{Problem, Store, StoreError};

impl Store {
    /// Writes one change; the earlier ones stay.
    ///
    /// # Errors
    /// `NotCurrent` where a change of that term is there that is not older.
    pub async fn insert_term_scale(&self, scale: &TermScale) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let mut problems = Vec::new();
        let there = term_scales(&mut transaction, Scope::Trial(&scale.trial), &mut problems).await?;
        if !problems.is_empty() {
            return Err(StoreError::Damaged(problems));
        }
        if let Some(newest) = TermScale::newest(&there, scale.term)
            && newest.entered_at >= scale.entered_at
        {
            return Err(StoreError::NotCurrent(format!(
                "a change of {} is there already that was entered at {}, not before this one; look at it and enter yours again",
                scale.term, newest.entered_at
            )));
        }
        write_term_scale(&mut transaction, scale).await?;
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
    }
}

pub(super) async fn write_term_scale(connection: &mut Connection, s: &TermScale) -> Written {
    write_row!(
        connection,
        "INSERT INTO trial_scales (trial, term, importance, halving, reason, entered_at) \
         VALUES ($1, $2, $3, $4, $5, $6)",
        s.trial.as_str(),
        s.term.word(),
        s.importance,
        s.halving,
        s.reason.as_str(),
        s.entered_at.as_str(),
    );
    Ok(())
}

pub(super) async fn term_scales(
    connection: &mut Connection,
    scope: Scope<'_>,
    problems: &mut Vec<Problem>,
) -> Result<Vec<TermScale>, StoreError> {
    Ok(rows!(
        connection,
        "trial_scales",
        problems,
        "SELECT trial, term, importance, halving, reason, entered_at FROM trial_scales \
         WHERE $1 IS NULL OR trial = $1 ORDER BY id",
        [scope.trial()],
        term_scale
    ))
}

fn term_scale(row: &mut Stored<'_>) -> Result<Option<TermScale>, StoreError> {
    let trial = row.read("trial", TrialSlug::new)?;
    let term = row.read("term", Term::from_word)?;
    let (Some(trial), Some(term), Some(importance)) = (trial, term, row.real("importance")?) else {
        return Ok(None);
    };
    Ok(Some(TermScale {
        trial,
        term,
        importance,
        halving: row.real("halving")?,
        reason: row.text("reason")?,
        entered_at: row.text("entered_at")?,
    }))
}
