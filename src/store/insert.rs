//! Writing an archive: all of it or nothing.

mod blends;
pub(crate) mod machines;
pub(crate) mod runs;
mod trials;

use crate::records::{Archive, Blend, Component, OwnMethod, Rig, Trial, TrialBlend, TrialSlug, TrialTest};
use crate::store::insert::machines::{write_adoption, write_machine};
use crate::store::insert::runs::{write_decision, write_outcome, write_reading, write_result};
use crate::store::merge::{Additions, merge};
use crate::store::read::read_all;
use crate::store::scales::write_term_scale;
use crate::store::{Added, Store, StoreError};
use sqlx::SqliteConnection;

pub(crate) type Connection = SqliteConnection;
pub(crate) type Written = Result<(), StoreError>;

/// One statement with its values bound in order.
macro_rules! write_row {
    ($connection:expr, $sql:literal, $($value:expr),+ $(,)?) => {
        sqlx::query($sql)$(.bind($value))+.execute(&mut *$connection).await?
    };
}

pub(crate) use write_row;

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
}

async fn add(connection: &mut Connection, archive: &Archive, entered_at: &str) -> Result<Added, StoreError> {
    let mut problems = Vec::new();
    let there = read_all(connection, &mut problems).await?;
    if !problems.is_empty() {
        return Err(StoreError::Damaged(problems));
    }
    let (additions, added) = merge(&there, archive).map_err(StoreError::Conflicts)?;
    if added.new_records() == 0 {
        return Ok(added);
    }
    write(connection, &additions, entered_at).await?;
    count_a_write(connection).await?;
    Ok(added)
}

/// Says that what was derived from the file before is stale.
pub(crate) async fn count_a_write(connection: &mut Connection) -> Written {
    sqlx::query("UPDATE archive_state SET writes = writes + 1 WHERE id = 1")
        .execute(&mut *connection)
        .await?;
    Ok(())
}

/// Parents before children, so that every foreign key finds its row.
async fn write(connection: &mut Connection, additions: &Additions<'_>, entered_at: &str) -> Written {
    for component in &additions.components {
        write_component(connection, component).await?;
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
    for (trial, place, part) in &additions.trial_blends {
        write_trial_blend(connection, trial, *place, part).await?;
    }
    for (trial, place, test) in &additions.trial_tests {
        write_trial_test(connection, trial, *place, test).await?;
    }
    for scale in &additions.term_scales {
        write_term_scale(connection, scale).await?;
    }
    for result in &additions.results {
        write_result(connection, result, entered_at).await?;
    }
    for reading in &additions.readings {
        write_reading(connection, reading).await?;
    }
    for decision in &additions.decisions {
        write_decision(connection, decision).await?;
    }
    for outcome in &additions.outcomes {
        write_outcome(connection, outcome).await?;
    }
    Ok(())
}

fn text<T: ToString>(value: &Option<T>) -> Option<String> {
    value.as_ref().map(ToString::to_string)
}

pub(crate) fn number(index: usize) -> i64 {
    i64::try_from(index).unwrap_or(i64::MAX)
}

async fn write_component(connection: &mut Connection, c: &Component) -> Written {
    write_row!(
        connection,
        "INSERT INTO components (component, class, note) VALUES ($1, $2, $3)",
        c.name.as_str(),
        c.class.as_str(),
        c.note.as_str(),
    );
    Ok(())
}

async fn write_blend(connection: &mut Connection, b: &Blend) -> Written {
    write_row!(
        connection,
        "INSERT INTO blends (blend, name, kind, made_on, parent, change_note, kv40_mm2_s, kv100_mm2_s, \
         density15_kg_m3, base_oil_kv40_mm2_s, nlgi, note) \
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)",
        b.code.as_str(),
        b.name.as_str(),
        b.kind.word(),
        text(&b.made_on),
        text(&b.parent),
        b.change.as_str(),
        b.kv40_mm2_s,
        b.kv100_mm2_s,
        b.density15_kg_m3,
        b.base_oil_kv40_mm2_s,
        b.nlgi.as_str(),
        b.note.as_str(),
    );
    for (place, (component, wt_pct)) in b.composition.iter().enumerate() {
        write_row!(
            connection,
            "INSERT INTO blend_components (blend, place, component, wt_pct) VALUES ($1, $2, $3, $4)",
            b.code.as_str(),
            number(place),
            component.as_str(),
            *wt_pct,
        );
    }
    Ok(())
}

pub(crate) async fn write_method(connection: &mut Connection, m: &OwnMethod) -> Written {
    write_row!(
        connection,
        "INSERT INTO methods (method, title, standard, based_on, lubricant, category, contacts, cost, days, caution, \
         note, conditions) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)",
        m.id.as_str(),
        m.title.as_str(),
        m.standard.as_str(),
        m.based_on.as_str(),
        m.lubricant.as_str(),
        m.category.as_str(),
        m.contacts_json.as_str(),
        m.cost,
        m.days,
        m.caution.as_str(),
        m.note.as_str(),
        m.conditions_json.as_str(),
    );
    for (place, q) in m.quantities.iter().enumerate() {
        write_row!(
            connection,
            "INSERT INTO method_quantities (method, place, quantity, label, unit, better, scale, steps, cap, \
             plain_number_is, modes, repeatability, reproducibility, precision_kind, level, mark) \
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)",
            m.id.as_str(),
            number(place),
            q.quantity.as_str(),
            q.label.as_str(),
            q.unit.as_str(),
            q.better.as_str(),
            q.scale.as_str(),
            q.steps.as_str(),
            q.cap,
            q.plain_number_is.as_str(),
            q.modes.as_str(),
            q.repeatability,
            q.reproducibility,
            q.precision_kind.as_str(),
            q.level,
            q.mark.as_str(),
        );
    }
    Ok(())
}

async fn write_rig(connection: &mut Connection, r: &Rig) -> Written {
    write_row!(
        connection,
        "INSERT INTO rigs (rig, name, lab, reference_blend) VALUES ($1, $2, $3, $4)",
        r.id.as_str(),
        r.name.as_str(),
        r.lab.as_str(),
        text(&r.reference_blend),
    );
    for (place, method) in r.methods.iter().enumerate() {
        write_row!(
            connection,
            "INSERT INTO rig_methods (rig, place, method) VALUES ($1, $2, $3)",
            r.id.as_str(),
            number(place),
            method.as_str(),
        );
    }
    Ok(())
}

async fn write_trial(connection: &mut Connection, t: &Trial) -> Written {
    write_row!(
        connection,
        "INSERT INTO trials (trial, title, question, machine, status, opened_on, closed_on, machine_confidence, \
         invented, machine_version) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)",
        t.slug.as_str(),
        t.title.as_str(),
        t.question.as_str(),
        t.machine.as_str(),
        t.status.word(),
        text(&t.opened_on),
        text(&t.closed_on),
        t.machine_confidence.word(),
        i64::from(t.invented),
        i64::from(t.first_machine_version()),
    );
    Ok(())
}

async fn write_trial_blend(
    connection: &mut Connection,
    trial: &TrialSlug,
    place: usize,
    part: &TrialBlend,
) -> Written {
    write_row!(
        connection,
        "INSERT INTO trial_blends (trial, place, blend, role, level) VALUES ($1, $2, $3, $4, $5)",
        trial.as_str(),
        number(place),
        part.blend.as_str(),
        part.role.word(),
        part.level.map(|level| level.word()),
    );
    Ok(())
}

async fn write_trial_test(
    connection: &mut Connection,
    trial: &TrialSlug,
    place: usize,
    test: &TrialTest,
) -> Written {
    write_row!(
        connection,
        "INSERT INTO trial_methods (trial, place, method, quantity, used_to, gate_limit, known_good, known_poor, \
         cost, days, reason) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)",
        trial.as_str(),
        number(place),
        test.key.method.as_str(),
        test.key.quantity.as_str(),
        test.used_to.word(),
        test.limit.as_str(),
        text(&test.known_good),
        text(&test.known_poor),
        test.cost,
        test.days,
        test.reason.as_str(),
    );
    Ok(())
}
