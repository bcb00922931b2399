//! The contacts of a test beside those of the machine, and how closely the two resemble each other.

use crate::catalogue::{Category, Value};
use crate::contact::ContactError;
use crate::contact::terms::ContactTerms;
use crate::lubricant::Oil;
use crate::records::{BlendCode, Level, MachineContact, Role, TrialRecords};
use crate::resemblance::{Decided, Resemblance, Scales, Scores, compare, contacts, decided, relevance};
use crate::standing::evidence::Evidence;
use crate::standing::{ContactLikeness, NotWeighed, film_oil};

/// How one test resembles the machine and what that makes it weigh before grouping.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Likeness {
    /// One comparison per machine contact.
    pub(crate) contacts: Vec<ContactLikeness>,
    /// Share-weighted sum of the resemblance; `None` where a comparison cannot be made.
    pub(crate) resemblance: Option<f64>,
    /// Weight before grouping: sum of share times resemblance times relevance.
    pub(crate) raw_weight: f64,
    /// The greatest resemblance to a single contact of the machine for which the quantity has relevance; `None` where there
    /// is none. Every threshold on resemblance judges this one.
    pub(crate) best: Option<f64>,
    /// Beyond the machine's most resembling contact in at least two respects.
    pub(crate) beyond: Option<BeyondMachine>,
    /// The load and scar at which its contact was computed.
    pub(crate) decided: Decided,
    /// Why it cannot be weighed; `None` when it can.
    pub(crate) not_weighed: Option<NotWeighed>,
}

/// What a test is that goes beyond the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeyondMachine {
    /// An extreme-condition screen: it runs specimens.
    Screen,
    /// It runs real components, harder than the machine does.
    Components,
}

impl BeyondMachine {
    /// What a test of this category is that goes beyond the machine.
    pub(crate) fn of(category: Category) -> Self {
        match category.has_components() {
            true => Self::Components,
            false => Self::Screen,
        }
    }
}

impl Likeness {
    /// Whether the test is an extreme-condition screen.
    pub(crate) fn is_extreme(&self) -> bool {
        self.beyond == Some(BeyondMachine::Screen)
    }
}

/// The machine's side of every comparison: the terms of its contacts with the oil whose film is taken.
pub(crate) struct MachineSide<'a> {
    oil: Option<Oil>,
    contacts: Vec<(&'a MachineContact, Result<ContactTerms, ContactError>)>,
}

impl<'a> MachineSide<'a> {
    pub(crate) fn of(records: &'a TrialRecords) -> Self {
        let oil = reference_oil(records);
        let terms = |contact: &'a MachineContact| (contact, contact.preset.terms(oil.as_ref()));
        Self {
            contacts: records.machine.contacts.iter().map(terms).collect(),
            oil,
        }
    }
}

/// A test's contacts beside one of the machine's.
#[derive(Clone, Debug)]
struct Pair {
    contact: String,
    share: f64,
    machine: ContactTerms,
    relevance: f64,
}

/// The contacts of a test and of the machine, laid side by side: nothing here depends on the scales.
#[derive(Clone, Debug)]
pub(crate) struct SideBySide {
    decided: Decided,
    scores: Scores,
    category: Category,
    test: Vec<ContactTerms>,
    /// Their names.
    names: Vec<String>,
    /// With every contact of the machine, or why nothing can be compared.
    pairs: Result<Vec<Pair>, NotWeighed>,
}

/// Lays a test beside every contact of the machine.
pub(crate) fn side_by_side(machine: &MachineSide, evidence: &Evidence, all: &[Evidence]) -> SideBySide {
    let scores = Scores::of(evidence.quantity);
    let nothing = |why: NotWeighed| SideBySide {
        decided: Decided::default(),
        scores,
        category: evidence.method.category,
        test: Vec::new(),
        names: Vec::new(),
        pairs: Err(why),
    };
    if !evidence.method.has_contact() {
        return nothing(NotWeighed::NoContact);
    }
    let decided = conditions_that_decided(evidence, all);
    let test = match contacts(evidence.method, evidence.quantity, decided, machine.oil.as_ref()) {
        Ok(sides) => sides,
        Err(error) => return nothing(NotWeighed::ContactNotComputed(error)),
    };
    let mut pairs = Vec::new();
    for (contact, terms) in &machine.contacts {
        let name = &contact.name;
        let terms = match terms {
            Ok(terms) => terms,
            Err(error) => {
                return nothing(NotWeighed::MachineNotComputed {
                    contact: name.clone(),
                    error: error.clone(),
                });
            }
        };
        pairs.push(Pair {
            contact: name.clone(),
            share: contact.share,
            machine: terms.clone(),
            relevance: relevance(evidence.quantity, contact),
        });
    }
    SideBySide {
        decided,
        scores,
        category: evidence.method.category,
        test,
        names: evidence.method.names_of(evidence.quantity),
        pairs: Ok(pairs),
    }
}

impl SideBySide {
    /// The comparison, with what each term counts.
    pub(crate) fn on(&self, scales: &Scales) -> Likeness {
        let compared = |pair: &Pair| {
            let (place, resemblance) = most_alike(&self.test, &pair.machine, self.scores, scales);
            ContactLikeness {
                contact: pair.contact.clone(),
                share: pair.share,
                of_test: self.names.get(place).cloned().unwrap_or_default(),
                resemblance,
                relevance: pair.relevance,
            }
        };
        match &self.pairs {
            Ok(pairs) => {
                let compared = pairs.iter().map(compared).collect();
                from_comparisons(compared, self.decided, self.category)
            }
            Err(why) => Likeness {
                contacts: Vec::new(),
                resemblance: None,
                raw_weight: 0.0,
                best: None,
                beyond: None,
                decided: self.decided,
                not_weighed: Some(why.clone()),
            },
        }
    }
}

/// A quantity may come from several contacts: the one most like the machine's counts, which is the one at this place.
pub(crate) fn most_alike(
    sides: &[ContactTerms],
    machine: &ContactTerms,
    scores: Scores,
    scales: &Scales,
) -> (usize, Resemblance) {
    let compare = |side| compare(side, machine, scores, scales);
    let mut compared: Vec<Resemblance> = sides.iter().map(compare).collect();
    let likeness = |resemblance: &Resemblance| resemblance.value.unwrap_or(-1.0);
    let mut best = (0, compared.remove(0));
    for (place, other) in (1..).zip(compared) {
        if likeness(&other) > likeness(&best.1) {
            best = (place, other);
        }
    }
    best
}

fn from_comparisons(contacts: Vec<ContactLikeness>, decided: Decided, category: Category) -> Likeness {
    let value = |contact: &ContactLikeness| contact.resemblance.value;
    let known = contacts.iter().any(|contact| value(contact).is_some());
    let resemblance = contacts
        .iter()
        .filter_map(|c| value(c).map(|value| c.share * value))
        .sum::<f64>();
    let raw_weight = contacts
        .iter()
        .filter_map(|c| value(c).map(|value| c.share * value * c.relevance))
        .sum::<f64>();
    let by_likeness = |a: &&ContactLikeness, b: &&ContactLikeness| {
        value(a).unwrap_or(-1.0).total_cmp(&value(b).unwrap_or(-1.0))
    };
    let nearest = contacts.iter().max_by(by_likeness);
    let goes_beyond = nearest.is_some_and(|nearest| nearest.resemblance.is_beyond());
    let speaks = contacts.iter().filter(|contact| contact.relevance > 0.0);
    let best = speaks.filter_map(value).max_by(f64::total_cmp);
    let not_weighed = match (known, raw_weight > 0.0) {
        (false, _) => Some(NotWeighed::TermsUnknown),
        (true, false) => Some(NotWeighed::NoModeThatMatters),
        (true, true) => None,
    };
    Likeness {
        resemblance: known.then_some(resemblance),
        raw_weight: raw_weight.min(1.0),
        best,
        beyond: goes_beyond.then(|| BeyondMachine::of(category)),
        decided,
        not_weighed,
        contacts,
    }
}

/// The load and scar that decided a test: from the reference oils, or without any from the candidates.
fn conditions_that_decided(evidence: &Evidence, all: &[Evidence]) -> Decided {
    let of_quantity = |id: Option<&String>| {
        id.and_then(|id| {
            all.iter()
                .find(|other| other.key().method == evidence.key().method && &other.key().quantity == id)
        })
    };
    let load_source = of_quantity(evidence.quantity.load_of.as_ref());
    let scar_source = of_quantity(evidence.quantity.scar_of.as_ref());
    let scar_unit = scar_source.map_or(evidence.quantity.unit, |source| source.quantity.unit);
    decided(
        evidence.quantity,
        &values_of_oils(evidence),
        &load_source.map(values_of_oils).unwrap_or_default(),
        &scar_source.map(values_of_oils).unwrap_or_default(),
        scar_unit.factor(),
    )
}

fn values_of_oils<'a>(evidence: &Evidence<'a>) -> Vec<Vec<&'a Value>> {
    let of_role = |role: Role| {
        let cells = evidence.cells.iter().filter(move |cell| cell.role == role);
        let values = cells.map(|cell| {
            cell.results
                .iter()
                .map(|result| &result.value)
                .collect::<Vec<_>>()
        });
        values.filter(|values| !values.is_empty()).collect::<Vec<_>>()
    };
    let references = of_role(Role::Reference);
    if references.is_empty() {
        of_role(Role::Candidate)
    } else {
        references
    }
}

/// The oil whose film is taken: the trial's known-good reference; a grease's base oil.
fn reference_oil(records: &TrialRecords) -> Option<Oil> {
    let good = records
        .trial
        .blends
        .iter()
        .find(|part| part.level == Some(Level::KnownGood))?;
    oil_of(records, &good.blend)
}

fn oil_of(records: &TrialRecords, code: &BlendCode) -> Option<Oil> {
    film_oil(records.blend(code)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_test_beyond_the_machine_is_a_screen_from_category_v_on() {
        let components = |category: &Category| BeyondMachine::of(*category) == BeyondMachine::Components;
        let words = Category::ALL.into_iter().filter(components).map(Category::word);
        assert_eq!(words.collect::<Vec<_>>(), ["I", "II", "III", "IV"]);
    }

    use crate::support::{FAST_MESH, SLOW_ROLLERS, contact};

    #[test]
    fn of_a_methods_contacts_the_one_most_like_the_machine_counts_wherever_it_stands() {
        let terms = |json| {
            contact("contact", json, 1.0, &[], &[])
                .preset
                .terms(None)
                .unwrap()
        };
        let (rollers, mesh) = (terms(SLOW_ROLLERS), terms(FAST_MESH));
        let unknown = ContactTerms::default();
        let best = |sides: &[&ContactTerms]| {
            let sides: Vec<ContactTerms> = sides.iter().map(|side| (*side).clone()).collect();
            most_alike(&sides, &rollers, Scores::OtherModes, &Scales::default())
                .1
                .value
        };
        assert!(best(&[&mesh]).unwrap() < 0.5);
        assert_eq!(best(&[&unknown]), None);
        for sides in [
            [&rollers, &mesh, &unknown],
            [&mesh, &rollers, &unknown],
            [&unknown, &mesh, &rollers],
        ] {
            assert_eq!(best(&sides), best(&[&rollers]));
        }
        assert_eq!(best(&[&unknown, &mesh]), best(&[&mesh]));
    }
}
