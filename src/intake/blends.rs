//! components.csv, blends.csv, composition.csv.

use crate::intake::Fault;
use crate::intake::cells::{Cells, Range};
use crate::intake::folder::{Folder, Names};
use crate::records::rows::{BLENDS, COMPONENTS, COMPOSITION};
use crate::records::{Blend, BlendCode, BlendKind, Component, ComponentName};
use std::collections::{BTreeMap, BTreeSet};

/// Components of one blend sum to 100 within this, wt%, or the blend says so.
pub(crate) const SUM_TOLERANCE_PCT: f64 = 0.5;

pub(crate) fn components(folder: &mut Folder) -> Vec<Component> {
    folder.refuse_doubles(COMPONENTS, &["component"]);
    let rows = folder.read(COMPONENTS, |_, cells| {
        let name = cells.name("component", ComponentName::new);
        Some(Component {
            name: name?,
            class: cells.text("class"),
            note: cells.text("note"),
        })
    });
    rows.into_iter().map(|(_, component)| component).collect()
}

pub(crate) fn blends(folder: &mut Folder) -> Vec<Blend> {
    folder.refuse_doubles(BLENDS, &["blend"]);
    folder.refuse_doubles(COMPOSITION, &["blend", "component"]);
    let mut blends = folder.read(BLENDS, blend);
    refuse_circles(folder, &blends);
    let parts = folder.read(COMPOSITION, part);
    warn_of_sums(folder, &parts);
    let mut compositions: BTreeMap<BlendCode, Vec<(ComponentName, f64)>> = BTreeMap::new();
    for (_, (code, component, wt_pct)) in parts {
        compositions.entry(code).or_default().push((component, wt_pct));
    }
    for (_, blend) in &mut blends {
        blend.composition = compositions.remove(&blend.code).unwrap_or_default();
    }
    blends.into_iter().map(|(_, blend)| blend).collect()
}

fn blend(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<Blend> {
    let code = cells.name("blend", BlendCode::new);
    let kind = cells.word("kind", BlendKind::from_word, &BlendKind::allowed());
    let made_on = cells.date("made_on");
    let parent = cells.optional_reference("parent", BlendCode::new, names.blends, "blends.csv");
    let kv40_mm2_s = cells.optional_number("kv40_mm2_s", Range::Above0);
    let kv100_mm2_s = cells.optional_number("kv100_mm2_s", Range::Above0);
    let density15_kg_m3 = cells.optional_number("density15_kg_m3", Range::Above0);
    let base_oil_kv40_mm2_s = cells.optional_number("base_oil_kv40_mm2_s", Range::Above0);
    Some(Blend {
        code: code?,
        name: cells.text("name"),
        kind: kind?,
        made_on: made_on?,
        parent: parent?,
        change: cells.text("change"),
        kv40_mm2_s: kv40_mm2_s?,
        kv100_mm2_s: kv100_mm2_s?,
        density15_kg_m3: density15_kg_m3?,
        base_oil_kv40_mm2_s: base_oil_kv40_mm2_s?,
        nlgi: cells.text("nlgi"),
        note: cells.text("note"),
        composition: Vec::new(),
    })
}

fn part(names: &Names<'_>, cells: &mut Cells<'_>) -> Option<(BlendCode, ComponentName, f64)> {
    let blend = cells.reference("blend", BlendCode::new, names.blends, "blends.csv");
    let component = cells.reference(
        "component",
        ComponentName::new,
        names.components,
        "components.csv",
    );
    let wt_pct = cells.number("wt_pct", Range::From0To100);
    Some((blend?, component?, wt_pct?))
}

/// A blend cannot be changed from itself, nor from one that was changed from it.
fn refuse_circles(folder: &mut Folder, blends: &[(u64, Blend)]) {
    let parents: BTreeMap<&BlendCode, &BlendCode> = blends
        .iter()
        .filter_map(|(_, blend)| Some((&blend.code, blend.parent.as_ref()?)))
        .collect();
    for (line, blend) in blends {
        let mut seen = BTreeSet::new();
        let mut at = parents.get(&blend.code);
        while let Some(parent) = at {
            if *parent == &blend.code {
                let problem = "the line of parents leads back to the blend itself";
                let text = blend.parent.as_ref().map_or("", BlendCode::as_str);
                folder
                    .faults
                    .push(Fault::new(BLENDS.name, *line, "parent", text, problem));
                break;
            }
            at = if seen.insert(*parent) {
                parents.get(parent)
            } else {
                None
            };
        }
    }
}

fn warn_of_sums(folder: &mut Folder, parts: &[(u64, (BlendCode, ComponentName, f64))]) {
    let mut sums: BTreeMap<&BlendCode, (u64, f64)> = BTreeMap::new();
    for (line, (blend, _, wt_pct)) in parts {
        sums.entry(blend).or_insert((*line, 0.0)).1 += wt_pct;
    }
    for (blend, (line, sum)) in sums {
        // Sums of decimals carry a rounding error of the last binary digit.
        if (sum - 100.0).abs() > SUM_TOLERANCE_PCT + 1e-9 {
            let problem = sum_words(sum);
            folder.warnings.push(Fault::new(
                COMPOSITION.name,
                line,
                "blend",
                blend.as_str(),
                problem,
            ));
        }
    }
}

/// That components do not sum to the whole.
pub(crate) fn sum_words(sum_wt_pct: f64) -> String {
    format!("the components sum to {sum_wt_pct:.2} wt%, not to 100")
}
