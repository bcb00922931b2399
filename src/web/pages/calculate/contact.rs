//! `/calculate/contact`: pressure, motion and film of one contact.

use crate::calculate::{ContactAnswer, ContactBody, ContactQuestion, calculate_contact};
use crate::charts::{AreaForm, Svg, TwoBodiesPicture};
use crate::web::error::HttpError;
use crate::web::figures::{self, Figure};
use crate::web::frame::Frame;
use crate::web::pages::calculate::form::{FieldSpec, Form, number};
use crate::web::pages::calculate::{answered, frame};
use crate::web::preferences::preferences;
use crate::web::question::Pairs;
use askama::Template;
use axum::response::Response;

pub(super) const PATH: &str = "/calculate/contact";
const FIELDS: [FieldSpec; 16] = [
    number("load_n", "160", "load_n", 1.0),
    number("u1_m_s", "0.46", "u1_m_s", 1.0),
    number("u2_m_s", "0", "u2_m_s", 1.0),
    number("length_mm", "", "length_m", 1e-3),
    number("rx1_mm", "6.35", "bodies[0].rx_m", 1e-3),
    number("ry1_mm", "6.35", "bodies[0].ry_m", 1e-3),
    number("e1_gpa", "206", "bodies[0].e_pa", 1e9),
    number("nu1", "0.3", "bodies[0].nu", 1.0),
    number("rq1_um", "0.02", "bodies[0].rq_m", 1e-6),
    number("rx2_mm", "6.35", "bodies[1].rx_m", 1e-3),
    number("ry2_mm", "6.35", "bodies[1].ry_m", 1e-3),
    number("e2_gpa", "206", "bodies[1].e_pa", 1e9),
    number("nu2", "0.3", "bodies[1].nu", 1.0),
    number("rq2_um", "0.02", "bodies[1].rq_m", 1e-6),
    number("viscosity_mpa_s", "40", "viscosity_pa_s", 1e-3),
    number("alpha_per_gpa", "20", "alpha_per_pa", 1e-9),
];

struct Answer {
    numbers: ContactAnswer,
    /// Why a slide-roll ratio is missing, and likewise each film.
    no_ratio: &'static str,
    no_central_film: &'static str,
    no_film: &'static str,
    no_film_ratio: &'static str,
    bodies: Svg,
    area: Option<Svg>,
    /// Of each body along the motion and across it.
    radii: [String; 2],
    /// Of the area, along the motion and across it.
    size: String,
}

#[derive(Template)]
#[template(path = "calculate/contact.html")]
struct ContactPage {
    frame: Frame,
    form: Form,
    answer: Option<Answer>,
}

pub(super) async fn show_contact(pairs: Pairs) -> Result<Response, HttpError> {
    let mut form = Form::read(PATH, &FIELDS, &pairs.0);
    let answer = form.answer(|form| {
        let question = question(form);
        Ok(shown(&question, calculate_contact(&question)?))
    });
    let page = ContactPage {
        frame: frame("One contact"),
        form,
        answer,
    };
    answered(&page, &page.form)
}

fn question(form: &mut Form) -> ContactQuestion {
    ContactQuestion {
        bodies: [1, 2].map(|body| ContactBody {
            rx_m: form.optional(&format!("rx{body}_mm")),
            ry_m: form.optional(&format!("ry{body}_mm")),
            e_pa: form.needed(&format!("e{body}_gpa")),
            nu: form.needed(&format!("nu{body}")),
            rq_m: form.optional(&format!("rq{body}_um")),
        }),
        length_m: form.optional("length_mm"),
        load_n: form.needed("load_n"),
        speeds_m_s: [form.optional("u1_m_s"), form.optional("u2_m_s")],
        viscosity_pa_s: form.optional("viscosity_mpa_s"),
        alpha_per_pa: form.optional("alpha_per_gpa"),
    }
}

fn shown(question: &ContactQuestion, answer: ContactAnswer) -> Answer {
    let [first, second] = question.bodies;
    let picture = TwoBodiesPicture {
        shown: preferences(),
        along_m: [first.rx_m, second.rx_m],
        across_m: [first.ry_m, second.ry_m],
        half_axes_m: answer.half_axes_m,
        form: if answer.kind == "line" {
            AreaForm::Straight
        } else {
            AreaForm::Round
        },
    };
    let radius = |radius: Option<f64>| match radius {
        None => "flat".to_string(),
        Some(radius) if radius < 0.0 => format!("{} mm, hollow", figures::figure(-radius * 1e3)),
        Some(radius) => format!("{} mm", figures::figure(radius * 1e3)),
    };
    let radii = |body: ContactBody| format!("{}; {}", radius(body.rx_m), radius(body.ry_m));
    let [along, across] = answer.half_axes_m.map(|size| figures::figure(2e3 * size));
    let has_film = answer.min_film_m.is_some();
    let no_film = "needs both speeds, viscosity and pressure-viscosity coefficient";
    Answer {
        no_ratio: match answer.sliding_m_s {
            Some(_) => "nothing is drawn in",
            None => "needs both speeds",
        },
        no_central_film: if has_film {
            "no formula for it in this regime"
        } else {
            no_film
        },
        no_film,
        no_film_ratio: if has_film {
            "needs the roughness of both"
        } else {
            "needs a film and the roughness of both"
        },
        bodies: picture.bodies(),
        area: picture.area(),
        radii: [radii(first), radii(second)],
        size: format!("{along} mm × {across} mm"),
        numbers: answer,
    }
}
