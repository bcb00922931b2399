//! methods.csv, method_quantities.csv, and the look-up of methods and quantities by id.

use crate::catalogue::{
    Method, MethodId, Quantity, ScaleFault, ScaleKind, built_in, built_in_method, from_word,
};
use crate::intake::cells::Cells;
use crate::intake::folder::Folder;
use crate::intake::table::Table;
use crate::prose::faults::{R_ALONE, own_method_problem, steps_fault};
use crate::records::table::items;
use crate::records::{
    OfMethod, OwnMethod, OwnMethodFault, OwnMethodProblem, OwnQuantity, TestKey, method_of,
    name_of_two_contacts,
};
use std::collections::{BTreeMap, BTreeSet};

pub(crate) fn own_methods(folder: &mut Folder) -> Vec<OwnMethod> {
    folder.refuse_doubles::<OwnMethod>();
    folder.refuse_doubles::<OwnQuantity>();
    let mut methods = folder.read_with::<OwnMethod>(|cells| {
        let method = cells.record();
        let id = cells.trimmed("method");
        if built_in_method(id).is_some() {
            let problem = "is a built-in method; a variant needs an id of its own";
            return cells.refuse("method", problem);
        }
        if !is_id(id) {
            return cells.refuse("method", NO_ID);
        }
        method
    });
    for (line, owner, quantity) in folder.read_with(quantity) {
        let own = methods.iter_mut().find(|(.., method)| method.id == owner.method);
        match own {
            Some((.., method)) => method.quantities.push(quantity),
            None if defines(folder.table::<OwnMethod>(), owner.method.as_str()) => {}
            None => {
                let problem = "is not defined in methods.csv";
                folder.refuse::<OwnQuantity>(line, "method", owner.method.as_str(), problem);
            }
        }
    }
    for (line, (), method) in &methods {
        refuse_what_is_no_method(folder, *line, method);
    }
    methods.into_iter().map(|(.., method)| method).collect()
}

fn defines(table: &Table, id: &str) -> bool {
    !table.has("method")
        || table
            .rows
            .iter()
            .any(|row| table.cell(row, "method").trim() == id)
}

const NO_ID: &str = "must be a word of at most 120 characters without '/'";

fn is_id(text: &str) -> bool {
    !text.is_empty() && text.chars().count() <= 120 && !text.contains('/')
}

fn quantity(cells: &mut Cells<'_>) -> Option<(OfMethod, OwnQuantity)> {
    let quantity = cells.record();
    let (method, scale) = (cells.trimmed("method"), cells.trimmed("scale"));
    let of_method = match method {
        "" => Some("is empty"),
        _ if !is_id(method) => Some("is longer than 120 characters"),
        _ => None,
    };
    let id = (!is_id(cells.trimmed("quantity"))).then_some(NO_ID);
    let has_steps = items(cells.trimmed("steps")).next().is_some();
    let fault = match from_word(scale).map(ScaleKind::has_list) {
        Some(true) if !has_steps => Some(ScaleFault::Bare),
        Some(false) if has_steps => Some(ScaleFault::ReadOff),
        _ => None,
    };
    let steps = fault.map(|fault| format!("the scale '{scale}' {}", steps_fault(fault)));
    let r_alone = (cells.trimmed("r").is_empty() && !cells.trimmed("R").is_empty()).then_some(R_ALONE);
    let sound = [
        cells.passes("r", r_alone),
        cells.passes("method", of_method),
        cells.passes("quantity", id),
        cells.passes("steps", steps),
    ];
    quantity.filter(|_| sound == [true; 4])
}

/// Notes every column that keeps the rows from being a method. [`method_of`] stops at the first one, so that each
/// faulty cell is put right in a copy and the copy tried again.
fn refuse_what_is_no_method(folder: &mut Folder, line: u64, method: &OwnMethod) {
    let mut head = OwnMethod {
        quantities: Vec::new(),
        ..method.clone()
    };
    while let Err(fault) = method_of(&head) {
        let text = mend_method(&mut head, &fault);
        let cell = text.clone().unwrap_or_default();
        folder.refuse::<OwnMethod>(line, fault.column, &cell, own_method_problem(&fault.problem));
        if text.is_none() {
            break;
        }
    }
    let contacts = method_of(&head).map(|built| built.contacts).unwrap_or_default();
    if let Some((_, name)) = name_of_two_contacts(&contacts) {
        let problem = own_method_problem(&OwnMethodProblem::SameName(name.to_string()));
        folder.refuse::<OwnMethod>(line, "contacts", name, problem);
    }
    for quantity in &method.quantities {
        let at = line_of(
            folder.table::<OwnQuantity>(),
            method.id.as_str(),
            &quantity.quantity,
        );
        let mut alone = OwnMethod {
            quantities: vec![quantity.clone()],
            ..head.clone()
        };
        while let Err(fault) = method_of(&alone) {
            let text = mend_quantity(&mut alone.quantities[0], &fault);
            let cell = text.clone().unwrap_or_default();
            folder.refuse::<OwnQuantity>(at, fault.column, &cell, own_method_problem(&fault.problem));
            if text.is_none() {
                break;
            }
        }
    }
}

/// The faulty text, which is replaced by one that cannot be faulty; `None` where it is that already.
fn mend_method(head: &mut OwnMethod, fault: &OwnMethodFault) -> Option<String> {
    match fault.column {
        "based_on" => replaced(&mut head.based_on, ""),
        "lubricant" => replaced(&mut head.lubricant, "oil"),
        "category" => replaced(&mut head.category, "VI"),
        "contacts" => replaced(&mut head.contacts_json, ""),
        "conditions" => replaced(&mut head.conditions_json, ""),
        _ => None,
    }
}

/// The faulty text, which is replaced by one that cannot be faulty; `None` where it is that already.
fn mend_quantity(row: &mut OwnQuantity, fault: &OwnMethodFault) -> Option<String> {
    match fault.column {
        "unit" => replaced(&mut row.unit, "-"),
        "better" => replaced(&mut row.better, "higher"),
        // With the steps as they are, which may have a fault of their own.
        "scale" if items(&row.steps).next().is_some() => replaced(&mut row.scale, "ladder"),
        "scale" => replaced(&mut row.scale, "identity"),
        "steps" => {
            row.scale = "identity".to_string();
            replaced(&mut row.steps, "")
        }
        "plain_number_is" => replaced(&mut row.plain_number_is, "exact"),
        "modes" => replaced(&mut row.modes, ""),
        "contacts" => replaced(&mut row.contacts, ""),
        "possible" => replaced(&mut row.possible, ""),
        "usual" => replaced(&mut row.usual, ""),
        "precision_kind" => replaced(&mut row.precision_kind, "constant"),
        _ => None,
    }
}

fn replaced(cell: &mut String, sound: &str) -> Option<String> {
    (cell != sound).then(|| std::mem::replace(cell, sound.to_string()))
}

fn line_of(table: &Table, method: &str, quantity: &str) -> u64 {
    let is_it = |row: &&crate::intake::table::Row| {
        table.cell(row, "method").trim() == method && table.cell(row, "quantity").trim() == quantity
    };
    table.rows.iter().find(is_it).map_or(0, |row| row.line)
}

/// What is known of an id.
pub(crate) enum Found<'a, T> {
    /// It is this.
    Known(&'a T),
    /// Its definition has a fault, which is reported where it stands.
    Faulty,
    /// Nobody defines it; these are defined.
    Unknown(String),
}

/// Built-in methods and those of the folder.
pub(crate) struct Methods {
    own: BTreeMap<MethodId, Option<Method>>,
    /// Ids in methods.csv, also of rows with a fault.
    written: BTreeSet<String>,
    /// Method and quantity ids in method_quantities.csv, also of rows with a fault.
    written_quantities: BTreeSet<TestKey>,
}

impl Methods {
    pub(crate) fn new(folder: &Folder, own: &[OwnMethod]) -> Self {
        let (methods, quantities) = (folder.table::<OwnMethod>(), folder.table::<OwnQuantity>());
        let key = |row| {
            let method = MethodId::new(quantities.cell(row, "method"))?;
            Some(TestKey::new(&method, quantities.cell(row, "quantity").trim()))
        };
        Self {
            written: methods
                .rows
                .iter()
                .map(|row| methods.cell(row, "method").trim().to_string())
                .collect(),
            written_quantities: quantities.rows.iter().filter_map(key).collect(),
            ..Self::of(own)
        }
    }

    /// The built-in methods and these, none of which is faulty.
    pub(crate) fn of(own: &[OwnMethod]) -> Self {
        Self {
            own: own
                .iter()
                .map(|rows| (rows.id.clone(), method_of(rows).ok()))
                .collect(),
            written: BTreeSet::new(),
            written_quantities: BTreeSet::new(),
        }
    }

    pub(crate) fn method(&self, id: &str) -> Found<'_, Method> {
        if let Some(method) = built_in_method(id) {
            return Found::Known(method);
        }
        match MethodId::new(id).and_then(|id| self.own.get(&id)) {
            Some(Some(method)) => Found::Known(method),
            Some(None) => Found::Faulty,
            None if self.written.contains(id) => Found::Faulty,
            None => {
                let built_in = built_in().iter().map(|method| method.id.as_str());
                let all: Vec<&str> = built_in.chain(self.own.keys().map(MethodId::as_str)).collect();
                Found::Unknown(all.join(", "))
            }
        }
    }

    /// The method of an id, where it is known and sound.
    pub(crate) fn known(&self, id: &MethodId) -> Option<&Method> {
        match self.method(id.as_str()) {
            Found::Known(method) => Some(method),
            Found::Faulty | Found::Unknown(_) => None,
        }
    }

    /// The key and quantity that a row names; `None` notes the fault, or keeps quiet where the method is faulty.
    pub(crate) fn test(&self, cells: &mut Cells<'_>) -> Option<(TestKey, &Quantity)> {
        let method = self.known_method(cells, "method")?;
        let id = cells.trimmed("quantity");
        match method.quantity(id) {
            Some(quantity) => Some((TestKey::new(&method.id, id), quantity)),
            None if self.written_quantities.contains(&TestKey::new(&method.id, id)) => None,
            None => {
                let known: Vec<&str> = method.quantities.iter().map(|q| q.id.as_str()).collect();
                let problem = format!("is not a quantity of {}; it has {}", method.id, known.join(", "));
                cells.refuse("quantity", problem)
            }
        }
    }

    /// The method that a row names.
    pub(crate) fn known_method(&self, cells: &mut Cells<'_>, column: &str) -> Option<&Method> {
        match self.method(cells.trimmed(column)) {
            Found::Known(method) => Some(method),
            Found::Faulty => None,
            Found::Unknown(known) => cells.refuse(
                column,
                format!("is not a method; built in or in methods.csv are {known}"),
            ),
        }
    }
}
