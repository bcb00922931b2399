//! How closely each test method resembles each contact of a machine, before anything is run.

use crate::catalogue::Method;
use crate::contact::terms::ContactTerms;
use crate::lubricant::Oil;
use crate::records::{Blend, BlendKind, Machine, TestKey};
use crate::resemblance::{Decided, Resemblance, Scales, Scores, contacts, relevance};
use crate::standing::likeness::{BeyondMachine, most_alike};

/// One quantity of a method beside one contact of a machine.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyLine {
    /// Method and quantity.
    pub key: TestKey,
    /// Method title.
    pub title: String,
    /// Standard.
    pub standard: String,
    /// Quantity label.
    pub label: String,
    /// The comparison with the method's contact that is most like the machine's.
    pub resemblance: Resemblance,
    /// How much the failure modes that the quantity scores matter in this contact, 0 to 1.
    pub relevance: f64,
    /// Whether the quantity goes beyond the machine's most resembling contact in at least two respects.
    pub extreme: bool,
}

/// What a survey of one machine contact gives.
#[derive(Clone, Debug, PartialEq)]
pub struct ContactSurvey {
    /// The contact's terms, or why they cannot be computed.
    pub terms: Result<ContactTerms, String>,
    /// Every quantity with a rubbing contact, the most alike first; of equal likeness the more relevant first.
    pub lines: Vec<SurveyLine>,
}

/// The oil whose film is taken when a blend lubricates: its own viscosity, for a grease that of its base oil; `None`
/// where its viscosities at 40 and 100 °C are not both known.
pub fn film_oil(blend: &Blend) -> Option<Oil> {
    let (kv40, kv100) = match blend.kind {
        BlendKind::Grease => (
            blend.base_oil_kv40_mm2_s.or(blend.kv40_mm2_s),
            blend.base_oil_kv100_mm2_s.or(blend.kv100_mm2_s),
        ),
        _ => (blend.kv40_mm2_s, blend.kv100_mm2_s),
    };
    Oil::new(kv40?, kv100?, blend.density15_kg_m3, None).ok()
}

/// Compares every method, at its nominal loads, with every contact of a machine; one survey per contact, in order.
pub fn survey(machine: &Machine, methods: &[Method], oil: Option<&Oil>) -> Vec<ContactSurvey> {
    let mut surveys: Vec<ContactSurvey> = machine
        .contacts
        .iter()
        .map(|contact| ContactSurvey {
            terms: contact.preset.terms(oil).map_err(|error| error.to_string()),
            lines: Vec::new(),
        })
        .collect();
    let usual = Scales::default();
    for method in methods.iter().filter(|method| method.has_contact()) {
        for quantity in &method.quantities {
            let Ok(sides) = contacts(method, quantity, Decided::default(), oil) else {
                continue;
            };
            if sides.is_empty() {
                continue;
            }
            let scores = Scores::of(quantity);
            let compared: Vec<Option<Resemblance>> = surveys
                .iter()
                .map(|survey| {
                    let terms = survey.terms.as_ref().ok()?;
                    Some(most_alike(&sides, terms, scores, &usual).1)
                })
                .collect();
            let goes_beyond = nearest(&compared).is_some_and(Resemblance::is_beyond);
            let extreme = goes_beyond && BeyondMachine::of(method.category) == BeyondMachine::Screen;
            for ((survey, contact), resemblance) in surveys.iter_mut().zip(&machine.contacts).zip(compared) {
                survey.lines.extend(resemblance.map(|resemblance| SurveyLine {
                    key: TestKey::new(&method.id, &quantity.id),
                    title: method.title.clone(),
                    standard: method.standard.clone(),
                    label: quantity.label.clone(),
                    resemblance,
                    relevance: relevance(quantity, contact),
                    extreme,
                }));
            }
        }
    }
    for survey in &mut surveys {
        survey.lines.sort_by(|a, b| {
            value(&b.resemblance)
                .total_cmp(&value(&a.resemblance))
                .then(b.relevance.total_cmp(&a.relevance))
                .then(a.key.cmp(&b.key))
        });
    }
    surveys
}

fn value(resemblance: &Resemblance) -> f64 {
    resemblance.value.unwrap_or(-1.0)
}

/// The comparison with the contact that is most alike; of equal ones the last, as for a trial's tests.
fn nearest(compared: &[Option<Resemblance>]) -> Option<&Resemblance> {
    let known = compared.iter().flatten();
    known.max_by(|a, b| value(a).total_cmp(&value(b)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::records::BlendCode;

    fn blend(kind: BlendKind, own: [Option<f64>; 2], base_oil: [Option<f64>; 2]) -> Blend {
        Blend {
            code: BlendCode::new("B-1").unwrap(),
            name: String::new(),
            kind,
            made_on: None,
            parent: None,
            change: String::new(),
            kv40_mm2_s: own[0],
            kv100_mm2_s: own[1],
            density15_kg_m3: None,
            base_oil_kv40_mm2_s: base_oil[0],
            base_oil_kv100_mm2_s: base_oil[1],
            nlgi: String::new(),
            note: String::new(),
            composition: Vec::new(),
        }
    }

    #[test]
    fn the_film_of_a_grease_is_that_of_its_base_oil_at_both_temperatures() {
        let oil = |kv40, kv100| Oil::new(kv40, kv100, None, None).ok();
        let (own, base) = ([Some(900.0), Some(60.0)], [Some(460.0), Some(30.0)]);
        let grease = |own, base| film_oil(&blend(BlendKind::Grease, own, base));
        assert_eq!(grease(own, base), oil(460.0, 30.0));
        assert_eq!(grease([None; 2], base), oil(460.0, 30.0));
        // What was written before the base oil had its second viscosity holds as it did.
        assert_eq!(grease([None, Some(30.0)], [Some(460.0), None]), oil(460.0, 30.0));
        assert_eq!(grease([None; 2], [Some(460.0), None]), None);
        assert_eq!(film_oil(&blend(BlendKind::Oil, own, base)), oil(900.0, 60.0));
        assert!(oil(460.0, 30.0).is_some());
    }
}
