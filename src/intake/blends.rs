//! components.csv, blends.csv, composition.csv.

use crate::intake::folder::Folder;
use crate::records::{Blend, BlendCode, Component, ComponentName, OfBlend, is_whole_blend};
use std::collections::{BTreeMap, BTreeSet};

/// A component with its share, wt%.
pub(crate) type Portion = (ComponentName, f64);

pub(crate) fn components(folder: &mut Folder) -> Vec<Component> {
    folder.refuse_doubles::<Component>();
    let rows = folder.read::<Component>();
    rows.into_iter().map(|(_, (), component)| component).collect()
}

pub(crate) fn blends(folder: &mut Folder) -> Vec<Blend> {
    folder.refuse_doubles::<Blend>();
    folder.refuse_doubles::<Portion>();
    let blends = folder.read::<Blend>();
    refuse_circles(folder, &blends);
    let portions = folder.read::<Portion>();
    warn_of_sums(folder, &portions);
    let mut compositions: BTreeMap<BlendCode, Vec<Portion>> = BTreeMap::new();
    for (_, owner, portion) in portions {
        compositions.entry(owner.blend).or_default().push(portion);
    }
    let with_composition = |(_, (), blend): (u64, (), Blend)| Blend {
        composition: compositions.remove(&blend.code).unwrap_or_default(),
        ..blend
    };
    blends.into_iter().map(with_composition).collect()
}

/// A blend cannot be changed from itself, nor from one that was changed from it.
fn refuse_circles(folder: &mut Folder, blends: &[(u64, (), Blend)]) {
    let parents: BTreeMap<&BlendCode, &BlendCode> = blends
        .iter()
        .filter_map(|(_, (), blend)| Some((&blend.code, blend.parent.as_ref()?)))
        .collect();
    for (line, (), blend) in blends {
        let mut seen = BTreeSet::new();
        let mut at = parents.get(&blend.code);
        while let Some(parent) = at {
            if *parent == &blend.code {
                let problem = "the line of parents leads back to the blend itself";
                let text = blend.parent.as_ref().map_or("", BlendCode::as_str);
                folder.refuse::<Blend>(*line, "parent", text, problem);
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

fn warn_of_sums(folder: &mut Folder, portions: &[(u64, OfBlend, Portion)]) {
    let mut sums: BTreeMap<&BlendCode, (u64, f64)> = BTreeMap::new();
    for (line, owner, (_, wt_pct)) in portions {
        sums.entry(&owner.blend).or_insert((*line, 0.0)).1 += wt_pct;
    }
    for (blend, (line, sum)) in sums {
        if !is_whole_blend(sum) {
            folder.warn::<Portion>(line, "blend", blend.as_str(), sum_words(sum));
        }
    }
}

/// That components do not sum to the whole.
pub(crate) fn sum_words(sum_wt_pct: f64) -> String {
    format!("the components sum to {sum_wt_pct:.2} wt%, not to 100")
}
