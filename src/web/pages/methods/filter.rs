//! What the list of methods can be narrowed by, and whether a method can be weighed.

use crate::app::usual_oil;
use crate::catalogue::{Category, Lubricant, Method, Mode, Quantity, Use};
use crate::resemblance::{Decided, contacts};
use crate::web::question::Pairs;
use std::collections::BTreeSet;

/// Whether results of a method can be weighed, and why not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Weighing {
    /// Its precision is published, or stated by the laboratory.
    Weighed,
    /// No precision is published: its runs are weighed once repeats in the trial show their scatter.
    ByRepeats,
    /// Pressure, sliding or slide-roll ratio of its contact is not known.
    ContactUnknown,
    /// It is shown, for the reason in its note.
    Shown,
    /// Nothing rubs.
    NoContact,
}

impl Weighing {
    pub(super) const ALL: [Self; 5] = [
        Self::Weighed,
        Self::ByRepeats,
        Self::ContactUnknown,
        Self::Shown,
        Self::NoContact,
    ];

    /// The word of an address.
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Weighed => "weighed",
            Self::ByRepeats => "by-repeats",
            Self::ContactUnknown => "contact-unknown",
            Self::Shown => "shown",
            Self::NoContact => "no-contact",
        }
    }

    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Weighed => "can be weighed",
            Self::ByRepeats => "weighed only by the trial's own repeats: no precision of it is known here",
            Self::ContactUnknown => "shown, not weighed: its contact is not known well enough",
            Self::Shown => "shown, not weighed: see its note",
            Self::NoContact => "never weighed: nothing rubs",
        }
    }

    /// By the quantity of a method that can be weighed best.
    pub(super) fn of(method: &Method) -> Self {
        let quantities = method.quantities.iter();
        let each = quantities.map(|quantity| Self::of_quantity(method, quantity));
        each.min().unwrap_or(Self::Shown)
    }

    fn of_quantity(method: &Method, quantity: &Quantity) -> Self {
        if !method.has_contact() {
            return Self::NoContact;
        }
        if quantity.usual_use != Use::Weigh {
            return Self::Shown;
        }
        let oil = usual_oil();
        let sides = contacts(method, quantity, Decided::default(), oil.as_ref()).unwrap_or_default();
        let is_known = sides.iter().any(|terms| {
            let pressure = terms.max_pressure_pa.or(terms.mean_pressure_pa);
            pressure.is_some() && terms.sliding_m_s.is_some() && terms.slide_roll.is_some()
        });
        match (is_known, &quantity.precision) {
            (false, _) => Self::ContactUnknown,
            (true, None) => Self::ByRepeats,
            (true, Some(_)) => Self::Weighed,
        }
    }
}

/// One field of the filter.
pub(super) struct Choice {
    pub(super) name: &'static str,
    pub(super) label: &'static str,
    /// What the option says that leaves all.
    pub(super) any: &'static str,
    /// What an address says, and what a reader sees.
    pub(super) options: Vec<(String, String)>,
    pub(super) chosen: String,
}

/// The fields, each with what the methods hold.
pub(super) fn choices(methods: &[Method], pairs: &Pairs) -> Vec<Choice> {
    let same = |word: &str| (word.to_string(), word.to_string());
    let modes: BTreeSet<Mode> = methods.iter().flat_map(modes_of).collect();
    let apparatus: BTreeSet<&str> = methods.iter().map(|method| method.apparatus.as_str()).collect();
    let categories = Category::ALL.into_iter();
    let held = categories.filter(|category| methods.iter().any(|method| method.category == *category));
    let fields = [
        (
            "mode",
            "Speaks of",
            "every failure mode",
            modes.into_iter().map(|mode| same(mode.word())).collect(),
        ),
        (
            "apparatus",
            "Apparatus",
            "every apparatus",
            apparatus
                .into_iter()
                .filter(|it| !it.is_empty())
                .map(same)
                .collect(),
        ),
        (
            "lubricant",
            "Lubricant",
            "oils and greases",
            [Lubricant::Oil, Lubricant::Grease]
                .map(|it| same(it.word()))
                .to_vec(),
        ),
        (
            "category",
            "Test category",
            "every category",
            held.map(|it| (it.word().to_string(), format!("{}: {}", it.word(), it.meaning())))
                .collect(),
        ),
        (
            "weighing",
            "Weighed",
            "weighed or not",
            Weighing::ALL
                .map(|it| (it.word().to_string(), it.words().to_string()))
                .to_vec(),
        ),
    ];
    let field = |(name, label, any, options): (_, _, _, Vec<(String, String)>)| Choice {
        name,
        label,
        any,
        options,
        chosen: pairs.field(name).unwrap_or_default().to_string(),
    };
    fields.into_iter().map(field).collect()
}

/// The failure modes that a method scores or covers.
pub(super) fn modes_of(method: &Method) -> impl Iterator<Item = Mode> {
    let quantities = method.quantities.iter();
    quantities.flat_map(|quantity| quantity.modes.iter().map(|(mode, _)| *mode))
}

/// Whether a method is left by all fields; an empty one leaves all.
pub(super) fn leaves(choices: &[Choice], method: &Method) -> bool {
    choices.iter().all(|choice| {
        let chosen = choice.chosen.as_str();
        chosen.is_empty()
            || match choice.name {
                "mode" => modes_of(method).any(|mode| mode.word() == chosen),
                "apparatus" => method.apparatus == chosen,
                "lubricant" => method.lubricant.word() == chosen,
                "category" => method.category.word() == chosen,
                _ => Weighing::of(method).word() == chosen,
            }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{built_in, built_in_method};

    #[test]
    fn whether_a_method_can_be_weighed_is_told_with_the_reason() {
        for (id, wanted) in [
            ("gear_A8", Weighing::Weighed),
            ("pump_vane_d7043", Weighing::Weighed),
            ("gear_slow_c005", Weighing::ByRepeats),
            ("thin_d6079", Weighing::Shown),
            ("ox_d943", Weighing::NoContact),
        ] {
            assert_eq!(Weighing::of(built_in_method(id).unwrap()), wanted, "{id}");
        }
        let mut unknown = built_in_method("pump_vane_d7043").unwrap().clone();
        if let crate::catalogue::MethodContact::Stated(stated) = &mut unknown.contacts[0].contact {
            stated.max_pressure_pa = None;
        }
        assert_eq!(Weighing::of(&unknown), Weighing::ContactUnknown);
    }

    #[test]
    fn every_method_is_found_under_what_it_is() {
        for method in built_in() {
            assert!(Weighing::ALL.contains(&Weighing::of(method)), "{}", method.id);
            assert!(modes_of(method).next().is_some() || Weighing::of(method) != Weighing::Weighed);
        }
    }
}
