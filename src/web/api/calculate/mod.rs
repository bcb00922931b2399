//! `POST /api/calculate/…`: the answers of the calculators as JSON, the same numbers as on their pages.

mod read;

use crate::app::{App, AppError};
use crate::calculate::{
    Answered, CONFIDENCE, ContactBody, ContactQuestion, FourBallAnswer, FourBallRun, GearQuestion,
    IndexProcedure, Level, Missing, Refusal, ScarFrom, ViscosityAnswer, ViscosityQuestion, WeibullAnswer,
    WeibullQuestion, calculate_contact, calculate_four_ball_ep, calculate_gear, calculate_viscosity,
    calculate_weibull, missing_words,
};
use crate::web::api::calculate::read::{Faults, MOST_POSTED, Object, posted_json};
use crate::web::error::{FieldFault, HttpError};
use axum::extract::{DefaultBodyLimit, Request};
use axum::routing::post;
use axum::{Json, Router};
use serde::Serialize;
use serde_json::{Value, json};
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new()
        .route("/api/calculate/contact", post(contact))
        .route("/api/calculate/gear", post(gear))
        .route("/api/calculate/viscosity", post(viscosity))
        .route("/api/calculate/four-ball-ep", post(four_ball_ep))
        .route("/api/calculate/weibull", post(weibull))
        .layer(DefaultBodyLimit::max(MOST_POSTED))
}

type Answer = Result<Json<Value>, HttpError>;

/// A question read from its object: `read` takes what it knows, all else is refused.
fn question<Q>(value: &Value, read: impl FnOnce(&mut Object<'_>, &mut Faults) -> Q) -> Result<Q, HttpError> {
    let mut faults = Faults::default();
    let found = Object::of(value, "", &mut faults).map(|mut object| {
        let question = read(&mut object, &mut faults);
        object.refuse_unknown(&mut faults);
        question
    });
    faults.none()?;
    found.ok_or_else(|| HttpError::malformed("The question must be an object."))
}

/// The answer, or everything that stands against the question.
fn or_refused<T>(answered: Answered<T>) -> Result<T, HttpError> {
    answered.map_err(|refusals| HttpError::unusable(refusals.into_iter().map(fault).collect()))
}

/// An answer whose fields are named as the interface names them, in the order of the alphabet.
fn as_json(answer: &impl Serialize) -> Answer {
    let value = serde_json::to_value(answer).map_err(AppError::unwritten("an answer"));
    Ok(Json(value?))
}

fn fault(refusal: Refusal) -> FieldFault {
    FieldFault::new(refusal.field, refusal.problem)
}

async fn contact(request: Request) -> Answer {
    let posted = posted_json(request).await?;
    let asked = question(&posted, |object, faults| {
        let given = object.list("bodies", faults);
        if given.len() != 2 {
            faults.add("bodies", "must be a list of two bodies");
        }
        let mut bodies = given
            .into_iter()
            .filter_map(|(place, value)| body(&place, value, faults));
        let bodies = bodies.next().zip(bodies.next());
        bodies.map(|(first, second)| ContactQuestion {
            bodies: [first, second],
            length_m: object.optional("length_m", faults),
            load_n: object.needed("load_n", faults),
            speeds_m_s: [
                object.optional("u1_m_s", faults),
                object.optional("u2_m_s", faults),
            ],
            viscosity_pa_s: object.optional("viscosity_pa_s", faults),
            alpha_per_pa: object.optional("alpha_per_pa", faults),
        })
    })?;
    let asked = asked.ok_or_else(|| HttpError::malformed("The question must have two bodies."))?;
    let answer = or_refused(calculate_contact(&asked))?;
    as_json(&answer)
}

fn body(place: &str, value: &Value, faults: &mut Faults) -> Option<ContactBody> {
    let mut object = Object::of(value, place, faults)?;
    let body = ContactBody {
        rx_m: object.optional("rx_m", faults),
        ry_m: object.optional("ry_m", faults),
        e_pa: object.needed("e_pa", faults),
        nu: object.needed("nu", faults),
        rq_m: object.optional("rq_m", faults),
    };
    object.refuse_unknown(faults);
    Some(body)
}

async fn viscosity(request: Request) -> Answer {
    let posted = posted_json(request).await?;
    let asked = question(&posted, |object, faults| ViscosityQuestion {
        kv40_mm2_s: object.needed("kv40_mm2_s", faults),
        kv100_mm2_s: object.needed("kv100_mm2_s", faults),
        temperature_c: object.optional("temperature_c", faults),
    })?;
    let answer = or_refused(calculate_viscosity(&asked))?;
    Ok(Json(viscosity_json(&answer)))
}

fn viscosity_json(answer: &ViscosityAnswer) -> Value {
    let index = answer.index.as_ref().ok();
    json!({
        "kv_mm2_s": answer.kv_mm2_s,
        "vi": index.map(|(index, _)| index),
        "vi_reported": answer.reported_index(),
        "vi_procedure": index.map(|(_, procedure)| match procedure {
            IndexProcedure::A => "A",
            IndexProcedure::B => "B",
        }),
        "vi_missing": answer.index.as_ref().err().map(|why| &why.0),
    })
}

async fn gear(request: Request) -> Answer {
    let posted = posted_json(request).await?;
    let asked = question(&posted, |object, faults| GearQuestion {
        teeth: [object.needed("z1", faults), object.needed("z2", faults)],
        module_m: object.needed("module_m", faults),
        pressure_angle_deg: object.needed("pressure_angle_deg", faults),
        helix_deg: object.optional("helix_deg", faults).unwrap_or(0.0),
        centre_distance_m: object.needed("centre_distance_m", faults),
        face_width_m: object.needed("face_width_m", faults),
        tip_diameters_m: [
            object.needed("tip_diameter1_m", faults),
            object.needed("tip_diameter2_m", faults),
        ],
        pinion_torque_nm: object.needed("pinion_torque_nm", faults),
        pinion_rpm: object.needed("pinion_rpm", faults),
        e_pa: object.needed("e_pa", faults),
        nu: object.needed("nu", faults),
    })?;
    let answer = or_refused(calculate_gear(&asked))?;
    as_json(&answer)
}

async fn four_ball_ep(request: Request) -> Answer {
    let posted = posted_json(request).await?;
    let runs = question(&posted, |object, faults| {
        let rows = object.list("runs", faults);
        rows.into_iter()
            .filter_map(|(place, value)| run(&place, value, faults))
            .collect::<Vec<_>>()
    })?;
    let answer = or_refused(calculate_four_ball_ep(&runs))?;
    Ok(Json(four_ball_json(&answer)))
}

fn run(place: &str, value: &Value, faults: &mut Faults) -> Option<FourBallRun> {
    let mut object = Object::of(value, place, faults)?;
    let run = FourBallRun {
        load_kgf: object.needed("load_kgf", faults),
        scar_mm: object.optional("scar_mm", faults),
        weld: object.flag("weld", faults),
    };
    object.refuse_unknown(faults);
    Some(run)
}

fn four_ball_json(answer: &FourBallAnswer) -> Value {
    let result = &answer.result;
    let why = |value: &Result<f64, Missing>| value.as_ref().err().map(missing_words);
    let level = |level: &Level| {
        json!({
            "load_kgf": level.load_kgf,
            "scar_mm": level.scar_mm,
            "scar_from": match level.scar_from {
                ScarFrom::Measured => "measured",
                ScarFrom::CompensationLine => "compensation line",
                ScarFrom::StandIn => "stand-in for the compensation line",
            },
            "hertz_scar_mm": level.hertz_scar_mm,
            "compensation_scar_mm": level.compensation_scar_mm,
            "seizure": !level.is_without_seizure(),
            "corrected_kgf": level.corrected_kgf,
            "in_index": level.in_index.is_some(),
        })
    };
    json!({
        "lnsl_kgf": result.last_non_seizure_kgf.as_ref().ok(),
        "weld_kgf": result.weld_kgf.as_ref().ok(),
        "lwi_kgf": result.load_wear_index_kgf.as_ref().ok(),
        "corrected_kgf": answer.corrected_kgf(),
        "missing": {
            "lnsl_kgf": why(&result.last_non_seizure_kgf),
            "weld_kgf": why(&result.weld_kgf),
            "lwi_kgf": why(&result.load_wear_index_kgf),
        },
        "levels": result.levels.iter().map(level).collect::<Vec<_>>(),
    })
}

async fn weibull(request: Request) -> Answer {
    let posted = posted_json(request).await?;
    let (times, censored, shape) = question(&posted, |object, faults| {
        let times = numbers(object.list("times", faults), faults);
        let mut censored = Vec::new();
        for (place, value) in object.list("censored", faults) {
            match value.as_bool() {
                Some(stopped) => censored.push(stopped),
                None => faults.add(place, "must be true or false"),
            }
        }
        (times, censored, object.optional("shape", faults))
    })?;
    let asked = or_refused(WeibullQuestion::new(&times, &censored, shape))?;
    let answer = or_refused(calculate_weibull(&asked))?;
    Ok(Json(weibull_json(&answer, asked.lives.len())))
}

fn numbers(items: Vec<(String, &Value)>, faults: &mut Faults) -> Vec<f64> {
    let mut numbers = Vec::new();
    for (place, value) in items {
        match value.as_f64() {
            Some(number) => numbers.push(number),
            None => faults.add(place, "must be a number"),
        }
    }
    numbers
}

fn weibull_json(answer: &WeibullAnswer, runs: usize) -> Value {
    let beside = answer.beside.iter().map(|given| {
        let [lo, hi] = given.interval;
        json!({"shape": given.shape, "median": given.median, "median_lo": lo, "median_hi": hi})
    });
    let b10 = answer.b10();
    let end = |which: usize| b10.map(|b10| b10.interval[which]);
    json!({
        "shape": answer.fit.shape,
        "scale": answer.fit.scale,
        "b10": b10.map(|b10| b10.time),
        "b10_lo": end(0),
        "b10_hi": end(1),
        "median": answer.fit.median(),
        "median_lo": answer.interval[0],
        "median_hi": answer.interval[1],
        "confidence": CONFIDENCE,
        "real_confidence": answer.real_confidence,
        "interval": "profile likelihood",
        "log_likelihood": answer.fit.log_likelihood,
        "runs": runs,
        "failures": answer.failures,
        "with_given_shape": beside.collect::<Vec<_>>(),
    })
}
