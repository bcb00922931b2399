//! Which blend came from which. The records may hold a circle; then the walk ends where it began, and says so.

use crate::records::{Blend, BlendCode};
use std::collections::{BTreeMap, BTreeSet};

/// A member of a family.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// The blend.
    pub blend: Blend,
    /// Place of its parent among the members; `None` for the first.
    pub parent: Option<usize>,
    /// How many changes away from the first.
    pub depth: usize,
    /// How it is related to the blend that was asked about.
    pub kin: Kin,
}

/// How a member is related to the blend that was asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kin {
    /// It is that blend.
    Itself,
    /// That blend came from it.
    Ancestor,
    /// It came from that blend.
    Descendant,
    /// Both came from a third.
    Relative,
}

/// A family of blends, each after the one it was changed from.
#[derive(Clone, Debug, PartialEq)]
pub struct Lineage {
    /// The members.
    pub members: Vec<Member>,
    /// Whether the records go round in a circle: a blend is its own ancestor.
    pub goes_round: bool,
}

/// The family of a blend; `None` where there is no such blend.
pub(crate) fn lineage(code: &BlendCode, blends: &[Blend]) -> Option<Lineage> {
    let by_code: BTreeMap<&BlendCode, &Blend> = blends.iter().map(|blend| (&blend.code, blend)).collect();
    let asked = by_code.get(code)?;
    let mut ancestors = BTreeSet::from([&asked.code]);
    let mut first: &Blend = asked;
    let mut goes_round = false;
    while let Some(parent) = first.parent.as_ref().and_then(|parent| by_code.get(parent)) {
        if !ancestors.insert(&parent.code) {
            goes_round = true;
            break;
        }
        first = parent;
    }
    let mut children: BTreeMap<&BlendCode, Vec<&Blend>> = BTreeMap::new();
    for blend in blends {
        if let Some(parent) = &blend.parent {
            children.entry(parent).or_default().push(blend);
        }
    }
    let mut members: Vec<Member> = Vec::new();
    let mut seen: BTreeSet<&BlendCode> = BTreeSet::new();
    let mut ahead: Vec<(&Blend, Option<usize>, usize)> = vec![(first, None, 0)];
    while let Some((blend, parent, depth)) = ahead.pop() {
        if !seen.insert(&blend.code) {
            continue;
        }
        let from_asked = parent.is_some_and(|parent| {
            let parent: &Member = &members[parent];
            matches!(parent.kin, Kin::Itself | Kin::Descendant)
        });
        let kin = match (&blend.code == code, from_asked, ancestors.contains(&blend.code)) {
            (true, ..) => Kin::Itself,
            (_, true, _) => Kin::Descendant,
            (_, _, true) => Kin::Ancestor,
            _ => Kin::Relative,
        };
        let place = members.len();
        members.push(Member {
            blend: blend.clone(),
            parent,
            depth,
            kin,
        });
        let own = children.get(&blend.code).into_iter().flatten().rev();
        ahead.extend(own.map(|child| (*child, Some(place), depth + 1)));
    }
    Some(Lineage { members, goes_round })
}

/// A component whose share changed from one blend to the next: name, wt% before and after; 0 where it is not there.
pub type Change = (String, f64, f64);

/// What changed in the composition from one blend to the next, the greatest change first; `None` where one of the two
/// has no composition on record.
pub(crate) fn changes(from: &Blend, to: &Blend) -> Option<Vec<Change>> {
    /// Smaller differences are rounding, wt%.
    const ROUNDING_PCT: f64 = 1e-6;
    if from.composition.is_empty() || to.composition.is_empty() {
        return None;
    }
    let share = |blend: &Blend, name: &str| -> f64 {
        let parts = blend.composition.iter();
        parts
            .filter(|(component, _)| component.as_str() == name)
            .map(|(_, share)| share)
            .fold(0.0, |sum, share| sum + share)
    };
    let names: BTreeSet<&str> = from
        .composition
        .iter()
        .chain(&to.composition)
        .map(|(name, _)| name.as_str())
        .collect();
    let mut changes: Vec<Change> = names
        .into_iter()
        .map(|name| (name.to_string(), share(from, name), share(to, name)))
        .filter(|(_, before, after)| (after - before).abs() > ROUNDING_PCT)
        .collect();
    changes.sort_by(|a, b| (b.2 - b.1).abs().total_cmp(&(a.2 - a.1).abs()));
    Some(changes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::{BlendKind, ComponentName};

    fn blend(code: &str, parent: &str) -> Blend {
        Blend {
            code: BlendCode::new(code).unwrap(),
            name: String::new(),
            kind: BlendKind::Oil,
            made_on: None,
            parent: BlendCode::new(parent),
            change: String::new(),
            kv40_mm2_s: None,
            kv100_mm2_s: None,
            density15_kg_m3: None,
            base_oil_kv40_mm2_s: None,
            base_oil_kv100_mm2_s: None,
            nlgi: String::new(),
            note: String::new(),
            composition: Vec::new(),
        }
    }

    fn family(code: &str, blends: &[Blend]) -> Vec<(String, usize, Kin)> {
        let found = lineage(&BlendCode::new(code).unwrap(), blends).unwrap();
        let members = found.members.into_iter();
        members
            .map(|member| (member.blend.code.to_string(), member.depth, member.kin))
            .collect()
    }

    #[test]
    fn a_family_runs_from_the_first_blend_with_each_child_after_its_parent() {
        let blends = [
            blend("C", "B"),
            blend("A", ""),
            blend("B", "A"),
            blend("D", "A"),
            blend("E", "C"),
        ];
        let expected = [
            ("A", 0, Kin::Ancestor),
            ("B", 1, Kin::Itself),
            ("C", 2, Kin::Descendant),
            ("E", 3, Kin::Descendant),
            ("D", 1, Kin::Relative),
        ];
        let expected = expected.map(|(code, depth, kin)| (code.to_string(), depth, kin));
        assert_eq!(family("B", &blends), expected);
    }

    #[test]
    fn a_circle_in_the_records_ends_and_is_said() {
        let blends = [blend("A", "C"), blend("B", "A"), blend("C", "B"), blend("S", "S")];
        let found = lineage(&BlendCode::new("B").unwrap(), &blends).unwrap();
        assert!(found.goes_round);
        assert_eq!(found.members.len(), 3);
        let own = lineage(&BlendCode::new("S").unwrap(), &blends).unwrap();
        assert!(own.goes_round && own.members.len() == 1);
    }

    #[test]
    fn a_parent_that_is_not_there_starts_the_family_at_the_child() {
        assert_eq!(family("A", &[blend("A", "gone")]).len(), 1);
        assert!(lineage(&BlendCode::new("X").unwrap(), &[]).is_none());
    }

    #[test]
    fn a_change_names_what_came_what_went_and_what_moved() {
        let part = |name: &str, share| (ComponentName::new(name).unwrap(), share);
        let from = Blend {
            composition: vec![part("base", 98.0), part("old", 2.0)],
            ..blend("A", "")
        };
        let to = Blend {
            composition: vec![part("base", 97.0), part("new", 3.0)],
            ..blend("B", "A")
        };
        let expected = [("new", 0.0, 3.0), ("old", 2.0, 0.0), ("base", 98.0, 97.0)];
        let expected = expected.map(|(name, before, after)| (name.to_string(), before, after));
        assert_eq!(changes(&from, &to).unwrap(), expected);
        assert!(changes(&from, &to).unwrap()[0].1.is_sign_positive());
        assert_eq!(changes(&from, &blend("C", "A")), None);
    }
}
