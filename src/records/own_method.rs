//! A laboratory's own method, from the rows of its archive to a method like the built-in ones.

use crate::catalogue::{
    Category, Condition, ContactFault, LoadRule, Method, MethodContact, Mode, NamedContact, OldWords, Origin,
    PlainNumber, Precision, PressureFrom, Quantity, Scale, ScaleFault, ScaleKind, ScaleParts, Use, Words,
    bare_standard, built_in_method, conditions_from_json, contact_from_json, from_word, own_mark,
};
use crate::records::table::items;
use crate::records::{OwnMethod, OwnQuantity};
use crate::units::{Interval, UnknownUnit};
use serde::de::DeserializeOwned;

/// Why rows are not a method: which quantity's row (`None`: the method's own row), which column, what is wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnMethodFault {
    /// The quantity whose row it stands in.
    pub quantity: Option<String>,
    /// The column.
    pub column: &'static str,
    /// What is wrong.
    pub problem: OwnMethodProblem,
}

/// What is wrong with a cell of a laboratory's own method.
#[derive(Clone, Debug, PartialEq)]
pub enum OwnMethodProblem {
    /// It is based on no built-in method of this id.
    NotBuiltIn(String),
    /// None of the words of its list.
    NoneOf(Vec<&'static str>),
    /// No JSON list of contacts, as its reader says.
    NoContacts(String),
    /// One of the contacts.
    Contact(ContactFault),
    /// No JSON list of conditions, as its reader says.
    NoConditions(String),
    /// No scale of this word.
    Scale(String),
    /// No unit.
    Unit(UnknownUnit),
    /// A step that is no number.
    NoSteps,
    /// A scale of steps or classes without them.
    Bare,
    /// Steps or classes where values are read off.
    ReadOff,
    /// Steps that do not rise.
    FallingSteps,
    /// No failure mode of this word.
    Mode(String),
    /// The method has no contact of this name.
    NoContact(String),
    /// Two of its contacts have this name.
    SameName(String),
    /// A mode with its strength, which does not lie between 0 and 1.
    Strength(String),
    /// A repeatability or reproducibility that is not above 0.
    Precision,
    /// A range that is no rising pair of numbers.
    Range,
}

fn fault(column: &'static str, problem: OwnMethodProblem) -> OwnMethodFault {
    OwnMethodFault {
        quantity: None,
        column,
        problem,
    }
}

/// The method that the rows describe. What they leave empty comes from the method it is based on.
pub fn method_of(rows: &OwnMethod) -> Result<Method, OwnMethodFault> {
    let base = match rows.based_on.as_str() {
        "" => None,
        id => Some(
            built_in_method(id)
                .ok_or_else(|| fault("based_on", OwnMethodProblem::NotBuiltIn(id.to_string())))?,
        ),
    };
    let contacts = match rows.contacts_json.trim() {
        "" => base.map(|method| method.contacts.clone()).unwrap_or_default(),
        json => with_names(contacts(json)?),
    };
    let has_rig_load = contacts
        .iter()
        .any(|named| matches!(named.contact, MethodContact::Rig { .. }));
    let mut quantities = Vec::new();
    for row in &rows.quantities {
        let built = quantity(row, base, has_rig_load, contacts.is_empty());
        let built = built.and_then(|quantity| with_contacts(row, quantity, &contacts));
        quantities.push(built.map_err(|f| OwnMethodFault {
            quantity: Some(row.quantity.clone()),
            ..f
        })?);
    }
    if quantities.is_empty() {
        quantities = base.map(|method| method.quantities.clone()).unwrap_or_default();
    }
    let lubricant = word(&rows.lubricant, "lubricant", vec!["oil", "grease"])?;
    let category = word(
        &rows.category,
        "category",
        Category::ALL.map(Category::word).to_vec(),
    )?;
    let method = Method {
        id: rows.id.clone(),
        title: rows.title.clone(),
        standard: rows.standard.clone(),
        standard_title: String::new(),
        lubricant,
        category,
        contacts,
        apparatus: match (rows.apparatus.as_str(), base) {
            ("", Some(base)) => base.family().to_string(),
            (own, _) => own.to_string(),
        },
        conditions: match rows.conditions_json.trim() {
            "" => base.map(|method| method.conditions.clone()).unwrap_or_default(),
            json => conditions_from_json(json)
                .map_err(|error| fault("conditions", OwnMethodProblem::NoConditions(error.to_string())))?,
        },
        caution: rows.caution.clone(),
        safety: match (rows.safety.trim(), base) {
            ("", Some(base)) => base.safety.clone(),
            _ => rows.safety.clone(),
        },
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
        left_out: Vec::new(),
    };
    Ok(match base {
        Some(base) => in_words_of_its_own(method, base),
        None => method,
    })
}

/// What [`OldWords`] are those of a copy beside the method that it comes from.
pub fn old_words(copy: &Method, original: &Method) -> OldWords {
    let steps = |quantity: &Quantity| {
        let of_original = original.quantity(&quantity.id);
        of_original.is_some_and(|it| it.scale.is_stepped() && it.scale != quantity.scale)
    };
    let other_steps = copy.quantities.iter().any(steps);
    OldWords::between(original, &copy.contacts, &copy.conditions, other_steps)
}

/// A copy without the words of its original that state conditions which it does not have.
fn in_words_of_its_own(mut copy: Method, base: &Method) -> Method {
    let old = old_words(&copy, base);
    if !old.differs() {
        return copy;
    }
    let mut left_out = Vec::new();
    let (out_of_date, kept) = std::mem::take(&mut copy.conditions)
        .into_iter()
        .partition(|condition| old.is_out_of_date(condition));
    copy.conditions = kept;
    let out_of_date: Vec<Condition> = out_of_date;
    left_out.extend(
        out_of_date
            .into_iter()
            .map(|condition| Words::Condition(condition.name)),
    );
    let is_of_base =
        copy.standard == base.standard || copy.standard.ends_with(&format!(" {}", base.standard));
    let bare = bare_standard(&base.standard);
    if is_of_base && bare != base.standard {
        let before = copy
            .standard
            .strip_suffix(base.standard.as_str())
            .unwrap_or_default();
        let before = if bare.is_empty() {
            before.trim_end().trim_end_matches(", after")
        } else {
            before
        };
        copy.standard = format!("{before}{bare}");
        left_out.push(Words::Standard);
    }
    for (text, of_base, words) in [
        (&mut copy.caution, &base.caution, Words::Caution),
        (&mut copy.safety, &base.safety, Words::Safety),
        (&mut copy.note, &base.note, Words::Note),
    ] {
        let kept = old.without(text, of_base);
        if kept != *text {
            *text = kept;
            left_out.push(words);
        }
    }
    for quantity in &mut copy.quantities {
        let Some(of_base) = base.quantity(&quantity.id) else {
            continue;
        };
        let label = old.label_without(&quantity.label, &of_base.label);
        if label != quantity.label {
            quantity.label = label;
            left_out.push(Words::Label(quantity.id.clone()));
        }
        quantity.worn_pressure_pa = worn_pressure(quantity, &copy.contacts, base);
    }
    copy.left_out = left_out;
    copy
}

/// The mean pressure on a worn area of the same size goes with the load.
fn worn_pressure(quantity: &Quantity, contacts: &[NamedContact], base: &Method) -> Option<f64> {
    let fixed = |contacts: &[NamedContact]| match contacts.first().map(|named| &named.contact) {
        Some(MethodContact::Rig {
            load: LoadRule::FixedForce(force),
            ..
        }) => Some(*force),
        _ => None,
    };
    let worn = quantity.worn_pressure_pa?;
    match (fixed(&base.contacts), fixed(contacts)) {
        (Some(before), Some(after)) => Some(worn * after / before),
        _ => Some(worn),
    }
}

/// Contacts of which each has a name, as several need: one without has that of its place.
fn with_names(mut contacts: Vec<NamedContact>) -> Vec<NamedContact> {
    if contacts.len() > 1 {
        for (place, named) in contacts.iter_mut().enumerate() {
            if named.name.trim().is_empty() {
                named.name = format!("contact {}", place + 1);
            }
        }
    }
    contacts
}

/// A name that two contacts of a method have: no quantity could say from which of them it comes.
pub fn name_of_two_contacts(contacts: &[NamedContact]) -> Option<(usize, &str)> {
    let mut named = contacts.iter().enumerate();
    named.find_map(|(place, one)| {
        let is_same = |earlier: &NamedContact| earlier.name.trim() == one.name.trim();
        let is_double = contacts[..place].iter().any(is_same);
        is_double.then_some((place, one.name.as_str()))
    })
}

/// Whether every quantity of the method it is based on is there: then the same readings give its results.
fn has_all(quantities: &[Quantity], base: &Method) -> bool {
    let is_there = |wanted: &Quantity| quantities.iter().any(|quantity| quantity.id == wanted.id);
    base.quantities.iter().all(is_there)
}

/// The member of a closed list that a cell names.
fn word<T: DeserializeOwned>(
    cell: &str,
    column: &'static str,
    list: Vec<&'static str>,
) -> Result<T, OwnMethodFault> {
    from_word(cell).ok_or_else(|| fault(column, OwnMethodProblem::NoneOf(list)))
}

/// A quantity whose contacts the method has. Where its row names none, and those of the method it is based on go by
/// other names here, it comes from all of them.
fn with_contacts(
    row: &OwnQuantity,
    quantity: Quantity,
    contacts: &[NamedContact],
) -> Result<Quantity, OwnMethodFault> {
    let is_there = |name: &&String| contacts.iter().any(|named| named.name == **name);
    match quantity.contacts.iter().find(|name| !is_there(name)) {
        Some(name) if items(&row.contacts).next().is_some() => {
            Err(fault("contacts", OwnMethodProblem::NoContact(name.clone())))
        }
        Some(_) => Ok(Quantity {
            contacts: Vec::new(),
            ..quantity
        }),
        None => Ok(quantity),
    }
}

fn contacts(json: &str) -> Result<Vec<NamedContact>, OwnMethodFault> {
    let items: Vec<serde_json::Value> = serde_json::from_str(json)
        .map_err(|error| fault("contacts", OwnMethodProblem::NoContacts(error.to_string())))?;
    items
        .into_iter()
        .map(|item| contact_from_json(item).map_err(|f| fault("contacts", OwnMethodProblem::Contact(f))))
        .collect()
}

fn quantity(
    row: &OwnQuantity,
    base: Option<&Method>,
    has_rig_load: bool,
    is_bench: bool,
) -> Result<Quantity, OwnMethodFault> {
    let from_base = base.and_then(|method| method.quantity(&row.quantity));
    let kind =
        from_word(&row.scale).ok_or_else(|| fault("scale", OwnMethodProblem::Scale(row.scale.clone())))?;
    let plain_number = word(
        &row.plain_number_is,
        "plain_number_is",
        vec!["exact", "failure", "pass"],
    )?;
    let precision = precision(row)?;
    let of_base = |range: fn(&Quantity) -> Option<Interval>| from_base.and_then(range);
    Ok(Quantity {
        id: row.quantity.clone(),
        label: row.label.clone(),
        unit: row
            .unit
            .parse()
            .map_err(|unknown| fault("unit", OwnMethodProblem::Unit(unknown)))?,
        better: word(&row.better, "better", vec!["higher", "lower"])?,
        scale: scale(row, kind)?,
        first_inspected: from_base.and_then(|quantity| quantity.first_inspected),
        plain_number,
        fails_by: from_base.map(|quantity| quantity.fails_by).unwrap_or_default(),
        modes: modes_of(&row.modes).map_err(|problem| fault("modes", problem))?,
        usual_use: if is_bench || kind == ScaleKind::Class {
            Use::Gate
        } else if precision.is_none() {
            Use::Show
        } else {
            Use::Weigh
        },
        contacts: match (items(&row.contacts).next(), from_base) {
            (None, Some(base)) => base.contacts.clone(),
            _ => items(&row.contacts).map(str::to_string).collect(),
        },
        pressure_from: pressure_from(from_base, plain_number, has_rig_load),
        worn_pressure_pa: from_base.and_then(|quantity| quantity.worn_pressure_pa),
        load_of: from_base.and_then(|quantity| quantity.load_of.clone()),
        scar_of: from_base.and_then(|quantity| quantity.scar_of.clone()),
        nominal: from_base.and_then(|quantity| quantity.nominal),
        resolution: from_base.and_then(|quantity| quantity.resolution),
        possible: range("possible", &row.possible)?.or(of_base(|quantity| quantity.possible)),
        usual: range("usual", &row.usual)?.or(of_base(|quantity| quantity.usual)),
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

fn scale(row: &OwnQuantity, kind: ScaleKind) -> Result<Scale, OwnMethodFault> {
    let (mut steps, mut classes) = (Vec::new(), Vec::new());
    if kind == ScaleKind::Class {
        classes = items(&row.steps).map(str::to_string).collect();
    } else {
        let parsed: Option<_> = items(&row.steps).map(|word| word.parse().ok()).collect();
        steps = parsed.ok_or_else(|| fault("steps", OwnMethodProblem::NoSteps))?;
    }
    let cap = row.cap;
    let parts = ScaleParts {
        kind,
        steps,
        cap,
        classes,
    };
    Scale::try_from(parts).map_err(|of_scale| {
        let problem = match of_scale {
            ScaleFault::Bare => OwnMethodProblem::Bare,
            ScaleFault::ReadOff => OwnMethodProblem::ReadOff,
            ScaleFault::Falling => OwnMethodProblem::FallingSteps,
        };
        fault("steps", problem)
    })
}

/// The range of a cell `lo;hi`; `None` of an empty one.
fn range(column: &'static str, cell: &str) -> Result<Option<Interval>, OwnMethodFault> {
    if cell.trim().is_empty() {
        return Ok(None);
    }
    let ends: Option<Vec<f64>> = cell.split(';').map(|end| end.trim().parse().ok()).collect();
    let range = match ends.as_deref() {
        Some(&[lo, hi]) if lo < hi => Interval::new(lo, hi),
        _ => None,
    };
    let no_range = || fault(column, OwnMethodProblem::Range);
    range.map(Some).ok_or_else(no_range)
}

/// The failure modes of a cell `mode=strength;…`.
///
/// # Errors
/// The first item that is none.
pub fn modes_of(text: &str) -> Result<Vec<(Mode, f64)>, OwnMethodProblem> {
    items(text).map(mode).collect()
}

fn mode(item: &str) -> Result<(Mode, f64), OwnMethodProblem> {
    let (word, strength) = item.split_once('=').unwrap_or((item, "1"));
    let mode = Mode::from_word(word).ok_or_else(|| OwnMethodProblem::Mode(word.trim().to_string()))?;
    let strength = strength
        .trim()
        .parse::<f64>()
        .ok()
        .filter(|s| (0.0..=1.0).contains(s));
    let strength = strength.ok_or_else(|| OwnMethodProblem::Strength(item.to_string()))?;
    Ok((mode, strength))
}

fn precision(row: &OwnQuantity) -> Result<Option<Precision>, OwnMethodFault> {
    let Some(repeatability) = row.repeatability else {
        return Ok(None);
    };
    let kind = word(
        &row.precision_kind,
        "precision_kind",
        vec!["constant", "percent", "steps"],
    )?;
    let usable = |value: f64| value.is_finite() && value > 0.0;
    if !usable(repeatability) || row.reproducibility.is_some_and(|value| !usable(value)) {
        return Err(fault("r", OwnMethodProblem::Precision));
    }
    Ok(Some(Precision {
        kind,
        repeatability,
        reproducibility: row.reproducibility,
        level: row.level,
    }))
}
