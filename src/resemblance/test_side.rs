//! The contact of a test as it was when the result was decided: at which load, on which worn area, with which oil.

use crate::catalogue::{Method, MethodContact, PressureFrom, Quantity, Value};
use crate::contact::ContactError;
use crate::contact::element::Loading;
use crate::contact::note::Note;
use crate::contact::terms::ContactTerms;
use crate::lubricant::Oil;
use crate::resemblance::scales::FILM_RATIO_RANGE;
use crate::units::Interval;

/// What the results of a trial say about the conditions that decided a test.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Decided {
    /// Step, stage or load in the unit of the quantity that gives it; `None`: the method's nominal.
    pub step: Option<f64>,
    /// Worn scar, m; `None`: the method's nominal, or fresh.
    pub scar_m: Option<f64>,
}

/// Median over oils of each oil's median; `None` without values. Every oil counts once, however often it was run.
pub fn median_over_oils(oils: &[Vec<&Value>], number_of: impl Fn(&Value) -> Option<f64>) -> Option<f64> {
    let of_oil = |values: &Vec<&Value>| median(values.iter().filter_map(|value| number_of(value)).collect());
    median(oils.iter().filter_map(of_oil).collect())
}

/// The middle of some numbers; the mean of the two middle ones when their count is even.
pub fn median(mut numbers: Vec<f64>) -> Option<f64> {
    numbers.sort_by(f64::total_cmp);
    let middle = numbers.len() / 2;
    match numbers.len() {
        0 => None,
        odd if odd % 2 == 1 => Some(numbers[middle]),
        _ => Some((numbers[middle - 1] + numbers[middle]) / 2.0),
    }
}

/// The conditions that decided a quantity, from the values of the reference oils (or, without references, of the
/// candidates): `own` of the quantity itself, `load_source` of the quantity that gives its load, `scar_source` of the
/// one that gives its scar.
pub fn decided(
    quantity: &Quantity,
    own: &[Vec<&Value>],
    load_source: &[Vec<&Value>],
    scar_source: &[Vec<&Value>],
    scar_unit_m: f64,
) -> Decided {
    let step = match (&quantity.load_of, quantity.pressure_from) {
        (Some(_), _) => median_over_oils(load_source, Value::passed_step),
        (None, PressureFrom::DecidingLoad) => median_over_oils(own, Value::failing_step),
        _ => None,
    };
    let scars = if quantity.scar_of.is_some() {
        scar_source
    } else {
        own
    };
    let scar = match quantity.pressure_from {
        PressureFrom::WornToFresh => median_over_oils(scars, Value::failing_step),
        _ => None,
    };
    Decided {
        step,
        scar_m: scar.map(|scar| scar * scar_unit_m),
    }
}

/// The terms of every contact of a method that a quantity comes from.
///
/// A quantity that wears its contact flat has a film ratio from that of boundary lubrication to that of the fresh contact
/// (ours).
///
/// # Errors
/// The first contact from which no terms can be computed.
pub fn contacts(
    method: &Method,
    quantity: &Quantity,
    decided: Decided,
    oil: Option<&Oil>,
) -> Result<Vec<ContactTerms>, ContactError> {
    let decided = Decided {
        scar_m: decided.scar_m.or_else(|| nominal_scar_m(method, quantity)),
        ..decided
    };
    let of_contact = |contact| terms(contact, quantity, decided, oil).map(|terms| as_worn(quantity, terms));
    method.contacts_of(quantity).map(of_contact).collect()
}

/// Terms with what wear does to them: pressure down to that on the worn area where it is stated, film down to none.
fn as_worn(quantity: &Quantity, terms: ContactTerms) -> ContactTerms {
    if !quantity.wears_its_contact() {
        return terms;
    }
    let down_to = |range: Option<Interval>, least: f64| {
        let range = range?;
        Interval::new(range.lo().min(least), range.hi())
    };
    let (boundary, _) = FILM_RATIO_RANGE;
    let least_pressure = quantity.worn_pressure_pa.unwrap_or(f64::INFINITY);
    ContactTerms {
        max_pressure_pa: down_to(terms.max_pressure_pa, least_pressure),
        film_ratio: down_to(terms.film_ratio, boundary),
        ..terms
    }
    .with_friction_power()
}

/// The nominal worn scar of a quantity, m. A quantity that takes its scar from another one states it in that one's unit.
fn nominal_scar_m(method: &Method, quantity: &Quantity) -> Option<f64> {
    let source = quantity.scar_of.as_ref().and_then(|id| method.quantity(id));
    let unit = source.map_or(quantity.unit, |source| source.unit);
    quantity.nominal.map(|scar| scar * unit.factor())
}

fn terms(
    contact: &MethodContact,
    quantity: &Quantity,
    decided: Decided,
    oil: Option<&Oil>,
) -> Result<ContactTerms, ContactError> {
    let (element, surroundings, load) = match contact {
        MethodContact::Stated(stated) => return Ok(stated.terms()),
        MethodContact::Rig {
            element,
            surroundings,
            load,
        } => (element, surroundings, load),
    };
    let worn = quantity.pressure_from == PressureFrom::WornToFresh;
    let nominal_step = if worn { None } else { quantity.nominal };
    let step = decided.step.or(nominal_step);
    let scar = if worn { decided.scar_m } else { None };
    match load.load(step) {
        Some(load) => element.terms(
            &Loading {
                load,
                worn_scar_m: scar,
            },
            surroundings,
            oil,
        ),
        None => Ok(ContactTerms {
            bulk_temperature_c: Some(surroundings.bulk_temperature_c),
            motion: Some(surroundings.motion),
            materials: Some(surroundings.materials),
            supply: Some(surroundings.supply),
            notes: vec![Note::LoadNotKnown],
            ..ContactTerms::default()
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_oil_counts_once_however_often_it_was_run() {
        let (often, once) = (Value::Exact(1.0), Value::Exact(3.0));
        let oils = [vec![&often, &often, &often, &often], vec![&once]];
        assert_eq!(median_over_oils(&oils, Value::failing_step), Some(2.0));
    }

    #[test]
    fn before_anything_is_run_friction_is_compared_on_the_nominal_scar_of_the_quantity_that_gives_it() {
        let method = crate::catalogue::built_in_method("lo_oil_wear").unwrap();
        let pressures_of = |id: &str| {
            let quantity = method
                .quantities
                .iter()
                .find(|quantity| quantity.id == id)
                .unwrap();
            contacts(method, quantity, Decided::default(), None).unwrap()[0].max_pressure_pa
        };
        let (friction, scar) = (pressures_of("cof").unwrap(), pressures_of("scar").unwrap());
        assert_eq!(friction, scar);
        assert!(
            friction.lo() > 0.05e9 && friction.lo() < friction.hi(),
            "{friction:?}"
        );
    }

    #[test]
    fn what_wears_its_contact_flat_has_a_film_from_boundary_lubrication_up() {
        let film = |method: &str, id: &str, viscosity: f64| {
            let method = crate::catalogue::built_in_method(method).unwrap();
            let oil = Oil::new(viscosity, 0.1 * viscosity, None, None);
            let quantity = method.quantity(id).unwrap();
            contacts(method, quantity, Decided::default(), oil.ok().as_ref()).unwrap()[0]
                .film_ratio
                .unwrap()
        };
        let wear = film("fb_wear_oil_B", "scar", 220.0);
        assert_eq!(wear.lo(), FILM_RATIO_RANGE.0);
        assert!(wear.hi() > 0.5, "{wear:?}");
        let thin = film("gear_lowspeed_wear", "mass_loss", 220.0);
        assert!(
            thin.hi() < FILM_RATIO_RANGE.0 && thin.lo() <= thin.hi(),
            "{thin:?}"
        );
        assert!(film("bor_oil", "ok_load", 220.0).is_point());
    }

    #[test]
    fn a_pressure_on_the_worn_area_that_no_result_gives_is_that_of_the_quantity() {
        let method = crate::catalogue::built_in_method("pvb_wear").unwrap();
        let quantity = method.quantity("teeth").unwrap();
        let sides = contacts(method, quantity, Decided::default(), None).unwrap();
        let pressure = sides[0].max_pressure_pa.unwrap();
        assert_eq!(Some(pressure.lo()), quantity.worn_pressure_pa);
        assert!((pressure.hi() / 1.41e9 - 1.0).abs() < 0.005, "{pressure:?}");
    }

    #[test]
    fn a_quantity_comes_from_the_contacts_that_it_names() {
        let method = crate::catalogue::built_in_method("rb_oil").unwrap();
        let materials = |id: &str| {
            let quantity = method.quantity(id).unwrap();
            let sides = contacts(method, quantity, Decided::default(), None).unwrap();
            sides
                .iter()
                .filter_map(|side| side.materials)
                .map(|it| it.word())
                .collect::<Vec<_>>()
        };
        assert_eq!(materials("roller_wear"), ["hard steel/hard steel"]);
        assert_eq!(materials("cage_wear"), ["hard steel/bronze"]);
        let mut all = method.quantity("cage_wear").unwrap().clone();
        all.contacts.clear();
        assert_eq!(contacts(method, &all, Decided::default(), None).unwrap().len(), 2);
    }

    #[test]
    fn a_cap_counts_as_the_last_step_run_and_a_class_not_at_all() {
        let (cap, class) = (Value::Above(12.0), Value::Class("1a".to_string()));
        assert_eq!(
            median_over_oils(&[vec![&cap], vec![&class]], Value::failing_step),
            Some(12.0)
        );
    }
}
