//! A laboratory's own method, from the rows of its archive to a method like the built-in ones.

use crate::catalogue::{
    Method, MethodContact, Mode, Origin, PlainNumber, Precision, PressureFrom, Quantity, Scale, Use,
    built_in_method, conditions_from_json, contact_from_json, from_word, own_mark,
};
use crate::records::{OwnMethod, OwnQuantity};

/// Why rows are not a method: which quantity's row (`None`: the method's own row), which column, what is wrong.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{column}: {problem}")]
pub struct OwnMethodFault {
    /// The quantity whose row it stands in.
    pub quantity: Option<String>,
    /// The column.
    pub column: &'static str,
    /// What is wrong, with the mend.
    pub problem: String,
}

fn fault(column: &'static str, problem: impl Into<String>) -> OwnMethodFault {
    OwnMethodFault {
        quantity: None,
        column,
        problem: problem.into(),
    }
}

/// The method that the rows describe. What they leave empty comes from the method it is based on.
pub fn method_of(rows: &OwnMethod) -> Result<Method, OwnMethodFault> {
    let base = match rows.based_on.as_str() {
        "" => None,
        id => Some(
            built_in_method(id)
                .ok_or_else(|| fault("based_on", format!("'{id}' is not a built-in method")))?,
        ),
    };
    let contacts = match rows.contacts_json.trim() {
        "" => base.map(|method| method.contacts.clone()).unwrap_or_default(),
        json => contacts(json)?,
    };
    let has_rig_load = contacts
        .iter()
        .any(|contact| matches!(contact, MethodContact::Rig { .. }));
    let mut quantities = Vec::new();
    for row in &rows.quantities {
        let built = quantity(row, base, has_rig_load, contacts.is_empty());
        quantities.push(built.map_err(|f| OwnMethodFault {
            quantity: Some(row.quantity.clone()),
            ..f
        })?);
    }
    if quantities.is_empty() {
        quantities = base.map(|method| method.quantities.clone()).unwrap_or_default();
    }
    let lubricant = from_word(&rows.lubricant).ok_or_else(|| fault("lubricant", "use oil or grease"))?;
    let category = from_word(&rows.category)
        .ok_or_else(|| fault("category", "use I, II, III, IV, V, VI or chemical bench"))?;
    Ok(Method {
        id: rows.id.clone(),
        title: rows.title.clone(),
        standard: rows.standard.clone(),
        standard_title: String::new(),
        lubricant,
        category,
        contacts,
        conditions: match rows.conditions_json.trim() {
            "" => base.map(|method| method.conditions.clone()).unwrap_or_default(),
            json => conditions_from_json(json).map_err(|error| fault("conditions", error.to_string()))?,
        },
        caution: rows.caution.clone(),
        safety: base.map(|method| method.safety.clone()).unwrap_or_default(),
        note: rows.note.clone(),
        readings: base
            .filter(|base| has_all(&quantities, base))
            .and_then(|base| base.readings),
        quantities,
        several_specimens_per_run: base.is_some_and(|method| method.several_specimens_per_run),
        cost: rows.cost.or(base.and_then(|method| method.cost)),
        days: rows.days.or(base.and_then(|method| method.days)),
        sources: rows
            .quantities
            .iter()
            .map(|q| own_mark(&format!("quantity.{}", q.quantity), &q.label, &q.mark))
            .collect(),
        origin: Origin::Own,
    })
}

/// Whether every quantity of the method it is based on is there: then the same readings give its results.
fn has_all(quantities: &[Quantity], base: &Method) -> bool {
    let is_there = |wanted: &Quantity| quantities.iter().any(|quantity| quantity.id == wanted.id);
    base.quantities.iter().all(is_there)
}

fn contacts(json: &str) -> Result<Vec<MethodContact>, OwnMethodFault> {
    let items: Vec<serde_json::Value> = serde_json::from_str(json)
        .map_err(|error| fault("contacts", format!("is not a JSON list of contacts: {error}")))?;
    items
        .into_iter()
        .map(|item| contact_from_json(item).map_err(|f| fault("contacts", f.to_string())))
        .collect()
}

fn quantity(
    row: &OwnQuantity,
    base: Option<&Method>,
    has_rig_load: bool,
    is_bench: bool,
) -> Result<Quantity, OwnMethodFault> {
    let from_base = base.and_then(|method| method.quantity(&row.quantity));
    let scale = from_word(&row.scale).ok_or_else(|| {
        fault(
            "scale",
            format!("'{}': use identity, ln, ladder, stage or class", row.scale),
        )
    })?;
    let plain_number = from_word(&row.plain_number_is)
        .ok_or_else(|| fault("plain_number_is", "use exact, failure or pass"))?;
    let precision = precision(row)?;
    Ok(Quantity {
        id: row.quantity.clone(),
        label: row.label.clone(),
        unit: row
            .unit
            .parse()
            .map_err(|error: crate::units::UnknownUnit| fault("unit", error.to_string()))?,
        better: from_word(&row.better).ok_or_else(|| fault("better", "use higher or lower"))?,
        scale,
        steps: if scale == Scale::Class {
            Vec::new()
        } else {
            steps(&row.steps)?
        },
        cap: row.cap,
        first_inspected: from_base.and_then(|quantity| quantity.first_inspected),
        classes: if scale == Scale::Class {
            words(&row.steps)
        } else {
            Vec::new()
        },
        plain_number,
        modes: modes(&row.modes)?,
        usual_use: if is_bench || scale == Scale::Class {
            Use::Gate
        } else if precision.is_none() {
            Use::Show
        } else {
            Use::Weigh
        },
        pressure_from: pressure_from(from_base, plain_number, has_rig_load),
        load_of: from_base.and_then(|quantity| quantity.load_of.clone()),
        scar_of: from_base.and_then(|quantity| quantity.scar_of.clone()),
        nominal: from_base.and_then(|quantity| quantity.nominal),
        resolution: from_base.and_then(|quantity| quantity.resolution),
        precision,
        precision_note: row.mark.clone(),
    })
}

fn pressure_from(base: Option<&Quantity>, plain: PlainNumber, has_rig_load: bool) -> PressureFrom {
    match (base, has_rig_load, plain) {
        (Some(quantity), ..) => quantity.pressure_from,
        (None, false, _) => PressureFrom::None,
        (None, true, PlainNumber::Exact) => PressureFrom::FixedLoad,
        (None, true, _) => PressureFrom::DecidingLoad,
    }
}

fn words(text: &str) -> Vec<String> {
    text.split(';')
        .map(str::trim)
        .filter(|word| !word.is_empty())
        .map(str::to_string)
        .collect()
}

fn steps(text: &str) -> Result<Vec<f64>, OwnMethodFault> {
    let parsed: Option<Vec<f64>> = words(text).iter().map(|word| word.parse().ok()).collect();
    let steps = parsed.ok_or_else(|| fault("steps", "write numbers with ';' between them"))?;
    if steps.windows(2).any(|pair| pair[0] >= pair[1]) {
        return Err(fault("steps", "the steps must rise"));
    }
    Ok(steps)
}

fn modes(text: &str) -> Result<Vec<(Mode, f64)>, OwnMethodFault> {
    words(text).iter().map(|item| mode(item)).collect()
}

fn mode(item: &str) -> Result<(Mode, f64), OwnMethodFault> {
    let (word, strength) = item.split_once('=').unwrap_or((item, "1"));
    let mode = word
        .parse::<Mode>()
        .map_err(|error| fault("modes", error.to_string()))?;
    let strength = strength
        .trim()
        .parse::<f64>()
        .ok()
        .filter(|s| (0.0..=1.0).contains(s));
    let strength =
        strength.ok_or_else(|| fault("modes", format!("'{item}': the strength lies between 0 and 1")))?;
    Ok((mode, strength))
}

fn precision(row: &OwnQuantity) -> Result<Option<Precision>, OwnMethodFault> {
    let Some(repeatability) = row.repeatability else {
        return Ok(None);
    };
    let kind = from_word(&row.precision_kind)
        .ok_or_else(|| fault("precision_kind", "use constant, percent or steps"))?;
    let usable = |value: f64| value.is_finite() && value > 0.0;
    if !usable(repeatability) || row.reproducibility.is_some_and(|value| !usable(value)) {
        return Err(fault("r", "repeatability and reproducibility must be above 0"));
    }
    Ok(Some(Precision {
        kind,
        repeatability,
        reproducibility: row.reproducibility,
        level: row.level,
    }))
}
