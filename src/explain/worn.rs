//! Pressure on the worn area beside the fresh one, for every blend whose scar was measured.

use crate::catalogue::{MethodContact, PressureFrom, Quantity, Value};
use crate::contact::element::FreshContact;
use crate::contact::hertz::{mean_pressure_on_band_pa, mean_pressure_on_scar_pa};
use crate::explain::Case;
use crate::records::{ResultSource, TestKey};
use crate::resemblance::median;
use crate::standing::{RunFlag, RunMark, TestStanding};
use crate::units::Dimension;
use serde::Serialize;

/// The worn contact of one blend.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WornBlend {
    /// The blend.
    pub blend: String,
    /// Its role.
    pub role: &'static str,
    /// Runs whose scar was measured.
    pub runs: usize,
    /// Middle of their scars: diameter, or width of the band, m.
    pub scar_m: f64,
    /// Mean pressure on an area of that scar, Pa.
    pub worn_mean_pressure_pa: f64,
    /// The same on the largest scar of a single run, Pa.
    pub worn_mean_pressure_lo_pa: f64,
    /// The same on the smallest scar of a single run, Pa.
    pub worn_mean_pressure_hi_pa: f64,
    /// How many times the fresh mean pressure is the worn one.
    pub fresh_over_worn: f64,
}

/// Worn contacts of a test beside its fresh contact.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WornContact {
    /// Method and quantity of the scar.
    pub key: String,
    /// Whether the worn area is a `circle` or a `band`.
    pub area: &'static str,
    /// Load on one contact, N.
    pub load_n: f64,
    /// Mean pressure on the unworn area, Pa.
    pub fresh_mean_pressure_pa: f64,
    /// Greatest pressure on the unworn area, Pa.
    pub fresh_max_pressure_pa: f64,
    /// Blends with a measured scar, in the order of the trial.
    pub blends: Vec<WornBlend>,
}

/// The worn contacts of the test that is explained, or why there is none to show.
pub(crate) fn worn_contact(case: &Case<'_>) -> Result<WornContact, String> {
    let Some(MethodContact::Rig {
        element,
        surroundings,
        load,
    }) = case.method.contacts_of(case.quantity).next()
    else {
        return Err(
            "The contact has no geometry here: what a scar would do to its pressure is not computed.".into(),
        );
    };
    let Some(quantity) = scar_quantity(case) else {
        return Err("No scar is measured in this test: the pressure on the worn area is not known.".into());
    };
    let key = TestKey::new(&case.method.id, &quantity.id);
    let test = case.standing.test(&key);
    let nothing =
        || "No scar was measured in this trial: the pressure on the worn area is not known.".to_string();
    let test = test.ok_or_else(nothing)?;
    let no_load =
        || "The load on the contact is not known: nor is the pressure on the worn area.".to_string();
    let loading = load.load(test.decided.step).ok_or_else(no_load)?;
    let fresh = element
        .fresh_contact(&loading, surroundings.materials)
        .map_err(|_| no_load())?;
    let parts = case.records.trial.blends.iter();
    let blends: Vec<WornBlend> = parts
        .filter_map(|part| {
            let scars = scars_m(test, part.blend.as_str(), quantity);
            worn_blend(&fresh, part.blend.as_str(), part.role.word(), scars)
        })
        .collect();
    if blends.is_empty() {
        return Err(nothing());
    }
    Ok(WornContact {
        key: key.to_string(),
        area: match fresh {
            FreshContact::Point(_) => "circle",
            FreshContact::Line(_) => "band",
        },
        load_n: fresh.load_n(),
        fresh_mean_pressure_pa: fresh.mean_pressure_pa(),
        fresh_max_pressure_pa: fresh.max_pressure_pa(),
        blends,
    })
}

/// The quantity that is the scar of the runs: the one explained, the one it names, or the scar of the same method.
fn scar_quantity<'a>(case: &Case<'a>) -> Option<&'a Quantity> {
    let named = case.quantity.scar_of.as_ref();
    if let Some(named) = named.and_then(|id| case.method.quantity(id)) {
        return Some(named);
    }
    let is_scar = |quantity: &&Quantity| {
        let is_worn = quantity.pressure_from == PressureFrom::WornToFresh && quantity.scar_of.is_none();
        let is_called_so = quantity.id.contains("scar") && quantity.unit.dimension() == Dimension::Length;
        is_worn || is_called_so
    };
    Some(case.quantity)
        .filter(is_scar)
        .or_else(|| case.method.quantities.iter().find(is_scar))
}

/// The runs of a blend that were measured under the conditions that count.
pub(super) fn measured_runs<'a>(test: &'a TestStanding, blend: &'a str) -> impl Iterator<Item = &'a RunMark> {
    let runs = test.strip.iter().flat_map(|strip| &strip.runs);
    runs.filter(move |run| {
        run.blend.as_str() == blend
            && run.source == ResultSource::Measured
            && run.mark != Some(RunFlag::OtherConditions)
    })
}

/// Mean pressure on a scar by its diameter, or the width of a band, Pa.
pub(super) fn pressure_on_scar_pa(fresh: &FreshContact, scar_m: f64) -> Option<f64> {
    let pressure = match fresh {
        FreshContact::Point(it) => mean_pressure_on_scar_pa(it.load_n, scar_m),
        FreshContact::Line(it) => mean_pressure_on_band_pa(it.load_n, scar_m, it.length_m),
    };
    pressure.ok()
}

/// Scars that were measured; bounds and classes are no scars.
fn scars_m(test: &TestStanding, blend: &str, quantity: &Quantity) -> Vec<f64> {
    let scar = |run: &RunMark| match run.value {
        Value::Exact(scar) if scar > 0.0 => Some(scar * quantity.unit.factor()),
        _ => None,
    };
    measured_runs(test, blend).filter_map(scar).collect()
}

/// # Formula
/// Load over worn area: `4 F / (pi d^2)` on a round scar of diameter d, `F / (w L)` on a band of width w (definition).
fn worn_blend(fresh: &FreshContact, blend: &str, role: &'static str, scars_m: Vec<f64>) -> Option<WornBlend> {
    let on = |scar_m: f64| pressure_on_scar_pa(fresh, scar_m);
    let least = scars_m.iter().copied().fold(f64::INFINITY, f64::min);
    let most = scars_m.iter().copied().fold(0.0, f64::max);
    let runs = scars_m.len();
    let scar_m = median(scars_m)?;
    let worn_mean_pressure_pa = on(scar_m)?;
    Some(WornBlend {
        blend: blend.to_string(),
        role,
        runs,
        scar_m,
        worn_mean_pressure_pa,
        worn_mean_pressure_lo_pa: on(most)?,
        worn_mean_pressure_hi_pa: on(least)?,
        fresh_over_worn: fresh.mean_pressure_pa() / worn_mean_pressure_pa,
    })
}
