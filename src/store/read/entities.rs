//! Components, blends, machines, own methods, rigs.

use crate::records::{
    Blend, BlendCode, BlendKind, Component, ComponentName, Machine, MachineContact, MachineSlug, OwnMethod,
    OwnQuantity, Preset, Rig, RigId,
};
use crate::store::read::Scope;
use crate::store::row::Stored;
use crate::store::{Problem, StoreError};
use sqlx::SqliteConnection;
use std::collections::BTreeMap;

type Connection = SqliteConnection;

/// Reads every row of a statement with its values bound in order.
macro_rules! rows {
    ($connection:expr, $table:literal, $problems:expr, $sql:literal, [$($bind:expr),*], $read:expr) => {{
        let found = sqlx::query($sql)$(.bind($bind))*.fetch_all(&mut *$connection).await?;
        let mut items = Vec::new();
        for row in &found {
            let mut stored = Stored::new($table, row, $problems);
            if let Some(item) = $read(&mut stored)? {
                items.push(item);
            }
        }
        items
    }};
}
pub(crate) use rows;

pub(super) async fn components(
    connection: &mut Connection,
    problems: &mut Vec<Problem>,
) -> Result<Vec<Component>, StoreError> {
    Ok(rows!(
        connection,
        "components",
        problems,
        "SELECT component, class, note FROM components ORDER BY id",
        [],
        |row: &mut Stored<'_>| -> Result<Option<Component>, StoreError> {
            let (class, note) = (row.text("class")?, row.text("note")?);
            let name = row.read("component", ComponentName::new)?;
            Ok(name.map(|name| Component { name, class, note }))
        }
    ))
}

pub(super) async fn blends(
    connection: &mut Connection,
    scope: Scope<'_>,
    problems: &mut Vec<Problem>,
) -> Result<Vec<Blend>, StoreError> {
    let mut blends = rows!(
        connection,
        "blends",
        problems,
        "SELECT blend, name, kind, made_on, parent, change_note, kv40_mm2_s, kv100_mm2_s, density15_kg_m3, \
         base_oil_kv40_mm2_s, nlgi, note FROM blends WHERE $1 IS NULL \
         OR blend IN (SELECT blend FROM trial_blends WHERE trial = $1 UNION SELECT blend FROM results WHERE trial = $1) \
         ORDER BY id",
        [scope.trial()],
        blend
    );
    let parts = rows!(
        connection,
        "blend_components",
        problems,
        "SELECT blend, component, wt_pct FROM blend_components WHERE $1 IS NULL \
         OR blend IN (SELECT blend FROM trial_blends WHERE trial = $1 UNION SELECT blend FROM results WHERE trial = $1) \
         ORDER BY blend, place",
        [scope.trial()],
        |row: &mut Stored<'_>| -> Result<Option<(BlendCode, ComponentName, f64)>, StoreError> {
            let wt_pct = row.real("wt_pct")?.unwrap_or(f64::NAN);
            let blend = row.read("blend", BlendCode::new)?;
            let component = row.read("component", ComponentName::new)?;
            Ok(blend
                .zip(component)
                .map(|(blend, component)| (blend, component, wt_pct)))
        }
    );
    let mut compositions: BTreeMap<BlendCode, Vec<(ComponentName, f64)>> = BTreeMap::new();
    for (code, component, wt_pct) in parts {
        compositions.entry(code).or_default().push((component, wt_pct));
    }
    for blend in &mut blends {
        blend.composition = compositions.remove(&blend.code).unwrap_or_default();
    }
    Ok(blends)
}

fn blend(row: &mut Stored<'_>) -> Result<Option<Blend>, StoreError> {
    let code = row.read("blend", BlendCode::new)?;
    let kind = row.read("kind", BlendKind::from_word)?;
    let made_on = row.date("made_on")?;
    let parent = row.read_optional("parent", BlendCode::new)?;
    let (Some(code), Some(kind), Some(made_on), Some(parent)) = (code, kind, made_on, parent) else {
        return Ok(None);
    };
    Ok(Some(Blend {
        code,
        name: row.text("name")?,
        kind,
        made_on,
        parent,
        change: row.text("change_note")?,
        kv40_mm2_s: row.real("kv40_mm2_s")?,
        kv100_mm2_s: row.real("kv100_mm2_s")?,
        density15_kg_m3: row.real("density15_kg_m3")?,
        base_oil_kv40_mm2_s: row.real("base_oil_kv40_mm2_s")?,
        nlgi: row.text("nlgi")?,
        note: row.text("note")?,
        composition: Vec::new(),
    }))
}

/// Every version of every machine, or of one, the first version first.
pub(super) async fn machines(
    connection: &mut Connection,
    only: Option<&MachineSlug>,
    problems: &mut Vec<Problem>,
) -> Result<Vec<Machine>, StoreError> {
    let only = only.map(ToString::to_string);
    let mut machines = rows!(
        connection,
        "machine_versions",
        problems,
        "SELECT v.machine, v.version, v.name, v.kind, v.note, v.caution, v.change_note, v.entered_at \
         FROM machine_versions v JOIN machines m ON m.machine = v.machine \
         WHERE $1 IS NULL OR v.machine = $1 ORDER BY m.id, v.version",
        [only.clone()],
        machine
    );
    let contacts = rows!(
        connection,
        "machine_contacts",
        problems,
        "SELECT machine, version, contact, preset, parameters, share, main_modes, secondary_modes, minor_modes \
         FROM machine_contacts WHERE $1 IS NULL OR machine = $1 ORDER BY machine, version, place",
        [only],
        contact
    );
    for (slug, version, contact) in contacts {
        if let Some(machine) = machines
            .iter_mut()
            .find(|machine: &&mut Machine| machine.slug == slug && machine.version == version)
        {
            machine.contacts.push(contact);
        }
    }
    Ok(machines)
}

fn machine(row: &mut Stored<'_>) -> Result<Option<Machine>, StoreError> {
    let version = row.version("version")?;
    let slug = row.read("machine", MachineSlug::new)?;
    let Some((slug, version)) = slug.zip(version) else {
        return Ok(None);
    };
    Ok(Some(Machine {
        slug,
        name: row.text("name")?,
        kind: row.text("kind")?,
        note: row.text("note")?,
        caution: row.text("caution")?,
        contacts: Vec::new(),
        version,
        change: row.text("change_note")?,
        entered_at: row.text("entered_at")?,
    }))
}

fn contact(row: &mut Stored<'_>) -> Result<Option<(MachineSlug, u32, MachineContact)>, StoreError> {
    let machine = row
        .read("machine", MachineSlug::new)?
        .zip(row.version("version")?);
    let (word, parameters_json) = (row.text("preset")?, row.text("parameters")?);
    let preset = match Preset::parse(&word, &parameters_json) {
        Ok(preset) => Some(preset),
        Err(fault) => row.refuse("parameters", &parameters_json, &fault.to_string()),
    };
    let modes = |text: &str| -> Option<Vec<_>> {
        let words = text.split(';').map(str::trim).filter(|word| !word.is_empty());
        words.map(|word| word.parse().ok()).collect()
    };
    let main_modes = row.read("main_modes", modes)?;
    let secondary_modes = row.read("secondary_modes", modes)?;
    let minor_modes = row.read("minor_modes", modes)?;
    let (Some((machine, version)), Some(preset)) = (machine, preset) else {
        return Ok(None);
    };
    let (Some(main_modes), Some(secondary_modes), Some(minor_modes)) =
        (main_modes, secondary_modes, minor_modes)
    else {
        return Ok(None);
    };
    let contact = MachineContact {
        name: row.text("contact")?,
        preset,
        parameters_json,
        share: row.real("share")?.unwrap_or(f64::NAN),
        main_modes,
        secondary_modes,
        minor_modes,
    };
    Ok(Some((machine, version, contact)))
}

pub(super) async fn own_methods(
    connection: &mut Connection,
    problems: &mut Vec<Problem>,
) -> Result<Vec<OwnMethod>, StoreError> {
    let mut methods = rows!(
        connection,
        "methods",
        problems,
        "SELECT method, title, standard, based_on, lubricant, category, contacts, cost, days, caution, note, \
         conditions FROM methods ORDER BY id",
        [],
        own_method
    );
    let quantities = rows!(
        connection,
        "method_quantities",
        problems,
        "SELECT method, quantity, label, unit, better, scale, steps, cap, plain_number_is, modes, repeatability, \
         reproducibility, precision_kind, level, mark FROM method_quantities ORDER BY method, place",
        [],
        own_quantity
    );
    for (id, quantity) in quantities {
        if let Some(method) = methods.iter_mut().find(|method: &&mut OwnMethod| method.id == id) {
            method.quantities.push(quantity);
        }
    }
    Ok(methods)
}

fn own_method(row: &mut Stored<'_>) -> Result<Option<OwnMethod>, StoreError> {
    Ok(Some(OwnMethod {
        id: row.text("method")?,
        title: row.text("title")?,
        standard: row.text("standard")?,
        based_on: row.text("based_on")?,
        lubricant: row.text("lubricant")?,
        category: row.text("category")?,
        contacts_json: row.text("contacts")?,
        conditions_json: row.text("conditions")?,
        cost: row.real("cost")?,
        days: row.real("days")?,
        caution: row.text("caution")?,
        note: row.text("note")?,
        quantities: Vec::new(),
    }))
}

fn own_quantity(row: &mut Stored<'_>) -> Result<Option<(String, OwnQuantity)>, StoreError> {
    let quantity = OwnQuantity {
        quantity: row.text("quantity")?,
        label: row.text("label")?,
        unit: row.text("unit")?,
        better: row.text("better")?,
        scale: row.text("scale")?,
        steps: row.text("steps")?,
        cap: row.real("cap")?,
        plain_number_is: row.text("plain_number_is")?,
        modes: row.text("modes")?,
        repeatability: row.real("repeatability")?,
        reproducibility: row.real("reproducibility")?,
        precision_kind: row.text("precision_kind")?,
        level: row.real("level")?,
        mark: row.text("mark")?,
    };
    Ok(Some((row.text("method")?, quantity)))
}

pub(super) async fn rigs(
    connection: &mut Connection,
    problems: &mut Vec<Problem>,
) -> Result<Vec<Rig>, StoreError> {
    let mut rigs = rows!(
        connection,
        "rigs",
        problems,
        "SELECT rig, name, lab, reference_blend FROM rigs ORDER BY id",
        [],
        |row: &mut Stored<'_>| -> Result<Option<Rig>, StoreError> {
            let id = row.read("rig", RigId::new)?;
            let reference_blend = row.read_optional("reference_blend", BlendCode::new)?;
            let (name, lab) = (row.text("name")?, row.text("lab")?);
            Ok(id.zip(reference_blend).map(|(id, reference_blend)| Rig {
                id,
                name,
                lab,
                methods: Vec::new(),
                reference_blend,
            }))
        }
    );
    let methods = rows!(
        connection,
        "rig_methods",
        problems,
        "SELECT rig, method FROM rig_methods ORDER BY rig, place",
        [],
        |row: &mut Stored<'_>| -> Result<Option<(String, String)>, StoreError> {
            Ok(Some((row.text("rig")?, row.text("method")?)))
        }
    );
    for (id, method) in methods {
        if let Some(rig) = rigs.iter_mut().find(|rig: &&mut Rig| rig.id.as_str() == id) {
            rig.methods.push(method);
        }
    }
    Ok(rigs)
}
