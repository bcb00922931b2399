//! A blend as it is typed into a form, read by the rules of an archive folder into a blend with the components that are
//! new with it, or into every fault with the field it belongs to.

use crate::intake::blends::{Portion, sum_words};
use crate::intake::cells::Names;
use crate::intake::form::{DraftFault, Faults};
use crate::intake::read_number;
use crate::records::table::Record;
use crate::records::{Blend, Component, ComponentName, is_whole_blend};
use std::collections::BTreeSet;

/// The most components of a blend that a form takes.
pub const MOST_COMPONENTS: usize = 40;

/// What is typed for a blend.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BlendDraft {
    /// Code.
    pub code: String,
    /// Name.
    pub name: String,
    /// Oil, grease or other.
    pub kind: String,
    /// When it was made.
    pub made_on: String,
    /// The code of the blend it was changed from.
    pub parent: String,
    /// What was changed.
    pub change: String,
    /// Kinematic viscosity at 40 °C, mm2/s.
    pub kv40: String,
    /// Kinematic viscosity at 100 °C, mm2/s.
    pub kv100: String,
    /// Density at 15 °C, kg/m3.
    pub density15: String,
    /// Kinematic viscosity at 40 °C of a grease's base oil, mm2/s.
    pub base_oil_kv40: String,
    /// Kinematic viscosity at 100 °C of a grease's base oil, mm2/s.
    pub base_oil_kv100: String,
    /// Consistency number of a grease.
    pub nlgi: String,
    /// A note.
    pub note: String,
    /// `kept` where the components may sum to something else than 100 wt%.
    pub odd_sum: String,
    /// Components.
    pub components: Vec<ComponentDraft>,
}

/// What is typed for a component of a blend.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ComponentDraft {
    /// Its name.
    pub component: String,
    /// Its class; empty for a component that is there already.
    pub class: String,
    /// How much of it, wt%.
    pub wt_pct: String,
}

impl ComponentDraft {
    fn is_empty(&self) -> bool {
        [&self.component, &self.class, &self.wt_pct]
            .iter()
            .all(|text| text.trim().is_empty())
    }
}

/// What a blend may name.
#[derive(Clone, Copy, Debug)]
pub struct BlendNames<'a> {
    /// All blends.
    pub blends: &'a [Blend],
    /// All components.
    pub components: &'a [Component],
}

/// What a draft comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct BlendReading {
    /// The blend, and the components that are not there yet; `None` where there is a fault.
    pub blend: Option<(Blend, Vec<Component>)>,
    /// What the components sum to, wt%; `None` where there is none or one cannot be read.
    pub sum_wt_pct: Option<f64>,
    /// Every fault.
    pub faults: Vec<DraftFault>,
}

/// Reads a draft; nothing stops at the first fault. A row of which nothing is typed is passed over.
pub fn read_blend(draft: &BlendDraft, names: BlendNames<'_>) -> BlendReading {
    let mut faults = Faults::default();
    let code = faults.line("code", "a code, such as K-14", &draft.code);
    if code == "new" {
        faults.wrong("code", "is an address of this program; take another one");
    }
    if names.blends.iter().any(|known| known.code.as_str() == code) {
        faults.wrong("code", "is the code of another blend; take another one");
    }
    let parent = draft.parent.trim();
    if !parent.is_empty() && !names.blends.iter().any(|known| known.code.as_str() == parent) {
        faults.wrong("parent", "is no blend of this file; choose one of the list");
    }
    for (field, typed) in [
        ("name", &draft.name),
        ("change", &draft.change),
        ("nlgi", &draft.nlgi),
    ] {
        if !typed.trim().is_empty() {
            faults.line(field, "", typed);
        }
    }
    let note = faults.text("note", &draft.note);
    let new = check_components(draft, names, &mut faults);
    let sum_wt_pct = sum(draft);
    if let Some(sum) = sum_wt_pct
        && !is_whole_blend(sum)
        && draft.odd_sum != "kept"
    {
        let problem = format!("{}; mend them, or say below that it is meant so", sum_words(sum));
        faults.wrong("components", problem);
    }
    let read = read_rows(draft, names, &new, &mut faults);
    BlendReading {
        blend: read
            .filter(|_| faults.is_empty())
            .map(|blend| (Blend { note, ..blend }, new)),
        sum_wt_pct,
        faults: faults.0,
    }
}

/// The rows of components in which something is typed, with their places.
fn rows(draft: &BlendDraft) -> impl Iterator<Item = (usize, &ComponentDraft)> {
    let rows = draft.components.iter().enumerate();
    rows.filter(|(_, row)| !row.is_empty())
}

fn sum(draft: &BlendDraft) -> Option<f64> {
    let amounts: Option<Vec<f64>> = rows(draft)
        .map(|(_, row)| read_number(row.wt_pct.trim()).ok())
        .collect();
    amounts
        .filter(|amounts| !amounts.is_empty())
        .map(|amounts| amounts.iter().sum())
}

/// The components that are new with this blend.
fn check_components(draft: &BlendDraft, names: BlendNames<'_>, faults: &mut Faults) -> Vec<Component> {
    let mut seen = BTreeSet::new();
    let mut new = Vec::new();
    for (place, row) in rows(draft) {
        let field = |name: &str| format!("c{place}.{name}");
        let before = faults.len();
        let name = faults.line(&field("component"), "the name of a component", &row.component);
        let class = row.class.trim();
        if !class.is_empty() {
            faults.line(&field("class"), "", class);
        }
        if !name.is_empty() && !seen.insert(name.clone()) {
            let problem = "stands in an earlier row already";
            faults.wrong(field("component"), problem);
        }
        let known = names.components.iter().find(|known| known.name.as_str() == name);
        match known {
            Some(known) if !class.is_empty() && class != known.class => {
                let problem = format!("is '{}' in this file; leave it empty or write that", known.class);
                faults.wrong(field("class"), problem);
            }
            None if class.is_empty() && !name.is_empty() => {
                let problem = "is empty; the component is new, so its class belongs here, such as antiwear";
                faults.missing(field("class"), problem);
            }
            None if faults.len() == before => {
                new.extend(ComponentName::new(&name).map(|name| Component {
                    name,
                    class: class.to_string(),
                    note: String::new(),
                }));
            }
            _ => {}
        }
    }
    new
}

/// The blend by the rules of an archive folder.
fn read_rows(
    draft: &BlendDraft,
    names: BlendNames<'_>,
    new: &[Component],
    faults: &mut Faults,
) -> Option<Blend> {
    let code = draft.code.trim();
    let codes = names.blends.iter().map(|blend| blend.code.as_str());
    let components = names.components.iter().chain(new);
    let defined = Names::defined([
        (Blend::FILE, codes.chain([code]).map(str::to_string).collect()),
        (
            Component::FILE,
            components.map(|component| component.name.to_string()).collect(),
        ),
    ]);
    let head: &[(&str, &str)] = &[
        ("blend", &draft.code),
        ("name", &draft.name),
        ("kind", &draft.kind),
        ("made_on", &draft.made_on),
        ("parent", &draft.parent),
        ("change", &draft.change),
        ("kv40_mm2_s", &draft.kv40),
        ("kv100_mm2_s", &draft.kv100),
        ("density15_kg_m3", &draft.density15),
        ("base_oil_kv40_mm2_s", &draft.base_oil_kv40),
        ("base_oil_kv100_mm2_s", &draft.base_oil_kv100),
        ("nlgi", &draft.nlgi),
    ];
    let field = |column: &str| match column {
        "blend" => "code".to_string(),
        other => other
            .trim_end_matches("_mm2_s")
            .trim_end_matches("_kg_m3")
            .to_string(),
    };
    let blend: Option<Blend> = faults.row(&defined, head, field, |cells| cells.record());
    if !code.is_empty() && draft.parent.trim() == code {
        faults.wrong("parent", "the line of parents leads back to the blend itself");
    }
    let mut composition = Vec::new();
    for (place, row) in rows(draft) {
        let cells: &[(&str, &str)] = &[
            ("blend", &draft.code),
            ("component", &row.component),
            ("wt_pct", &row.wt_pct),
        ];
        let field = |column: &str| match column {
            // A blend that cannot be named is said at its code.
            "blend" => "code".to_string(),
            column => format!("c{place}.{column}"),
        };
        composition.extend(faults.row::<Portion>(&defined, cells, field, |cells| cells.record()));
    }
    Some(Blend {
        composition,
        ..blend?
    })
}

/// A draft of a blend that is changed from another one: its properties and components, to be changed.
pub fn child_of(parent: &Blend, components: &[Component]) -> BlendDraft {
    let number = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    let class = |name: &ComponentName| {
        let known = components.iter().find(|known| &known.name == name);
        known.map(|known| known.class.clone()).unwrap_or_default()
    };
    BlendDraft {
        kind: parent.kind.word().to_string(),
        parent: parent.code.to_string(),
        base_oil_kv40: number(parent.base_oil_kv40_mm2_s),
        base_oil_kv100: number(parent.base_oil_kv100_mm2_s),
        nlgi: parent.nlgi.clone(),
        components: parent
            .composition
            .iter()
            .map(|(name, wt_pct)| ComponentDraft {
                component: name.to_string(),
                class: class(name),
                wt_pct: wt_pct.to_string(),
            })
            .collect(),
        ..BlendDraft::default()
    }
}
