//! Writing versions of machines, and which of them a trial is judged with.

use crate::records::{Adoption, Machine, OwnMethod, TrialSlug, rows};
use crate::store::insert::{Connection, Written, count_a_write, number, write_method, write_row};
use crate::store::{Store, StoreError};

impl Store {
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
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
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
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
    }

    /// Writes a laboratory's own method.
    ///
    /// # Errors
    /// `AlreadyThere` where its id is taken.
    pub async fn insert_own_method(&self, method: &OwnMethod) -> Result<(), StoreError> {
        let mut transaction = self.begin_write().await?;
        let taken: i64 = sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM methods WHERE method = $1)")
            .bind(method.id.as_str())
            .fetch_one(&mut *transaction)
            .await?;
        if taken != 0 {
            return Err(StoreError::AlreadyThere(format!("the method {}", method.id)));
        }
        write_method(&mut transaction, method).await?;
        count_a_write(&mut transaction).await?;
        transaction.commit().await?;
        Ok(())
    }
}

/// A version of a machine, later than those that are there; its contacts first, since the version seals them.
pub(crate) async fn write_machine(connection: &mut Connection, m: &Machine, entered_at: &str) -> Written {
    write_row!(
        connection,
        "INSERT INTO machines (machine, name, kind, note, caution) VALUES ($1, $2, $3, $4, $5) \
         ON CONFLICT (machine) DO UPDATE SET name = excluded.name, kind = excluded.kind, note = excluded.note, \
         caution = excluded.caution",
        m.slug.as_str(),
        m.name.as_str(),
        m.kind.as_str(),
        m.note.as_str(),
        m.caution.as_str(),
    );
    for (place, contact) in m.contacts.iter().enumerate() {
        let [.., main, secondary, minor, _] = &rows::contact(m, contact)[..] else {
            continue;
        };
        write_row!(
            connection,
            "INSERT INTO machine_contacts (machine, version, place, contact, preset, parameters, share, main_modes, \
             secondary_modes, minor_modes) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)",
            m.slug.as_str(),
            i64::from(m.version),
            number(place),
            contact.name.as_str(),
            contact.preset.word(),
            contact.parameters_json.as_str(),
            contact.share,
            main.as_str(),
            secondary.as_str(),
            minor.as_str(),
        );
    }
    let entered_at = if m.entered_at.is_empty() {
        entered_at
    } else {
        &m.entered_at
    };
    write_row!(
        connection,
        "INSERT INTO machine_versions (machine, version, name, kind, note, caution, change_note, entered_at) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
        m.slug.as_str(),
        i64::from(m.version),
        m.name.as_str(),
        m.kind.as_str(),
        m.note.as_str(),
        m.caution.as_str(),
        m.change.as_str(),
        entered_at,
    );
    Ok(())
}

/// That a trial goes over to another version of its machine.
pub(crate) async fn write_adoption(
    connection: &mut Connection,
    trial: &TrialSlug,
    adoption: &Adoption,
) -> Written {
    write_row!(
        connection,
        "INSERT INTO machine_adoptions (trial, from_version, to_version, adopted_at, reason) \
         VALUES ($1, $2, $3, $4, $5)",
        trial.as_str(),
        i64::from(adoption.from_version),
        i64::from(adoption.to_version),
        adoption.adopted_at.as_str(),
        adoption.reason.as_str(),
    );
    write_row!(
        connection,
        "UPDATE trials SET machine_version = $1 WHERE trial = $2",
        i64::from(adoption.to_version),
        trial.as_str(),
    );
    Ok(())
}
