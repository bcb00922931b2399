//! Film of any contact of two bodies, in the regime that it runs in.

use crate::contact::bodies::{GeneralContact, HertzArea};
use crate::contact::film::formulas::{
    any_direction_film_thickness_m, hard_elliptical_central_film_thickness_m,
    hard_elliptical_minimum_film_thickness_m, line_central_film_thickness_m,
    soft_elliptical_central_film_thickness_m, soft_elliptical_minimum_film_thickness_m,
};
use crate::contact::film::regime::{Regime, line_regime_films, point_regime_films};
use crate::contact::film::{Film, Inlet, beyond};
use crate::contact::hertz::LineContact;
use crate::contact::note::Note;
use crate::contact::{ContactError, Wrong};

/// Film of a contact of two bodies.
#[derive(Clone, Debug, PartialEq)]
pub struct GeneralFilm {
    /// Minimum film, with the bounds it exceeds.
    pub minimum: Film,
    /// Central film; `None` where no formula for it is kept.
    pub central: Option<Film>,
    /// Regime of the thickest film; `None` where nothing is drawn in, or outside the chart.
    pub regime: Option<Regime>,
    /// The formulas taken, with their marks.
    pub formula: &'static str,
}

impl GeneralFilm {
    /// The film as it is, or none where nothing is drawn in.
    fn drawn_in(self, inlet: Inlet) -> Self {
        if inlet.entrainment_m_s > 0.0 {
            return self;
        }
        let none = |film: Film| Film {
            thickness_m: 0.0,
            ..film
        };
        Self {
            minimum: none(self.minimum),
            central: self.central.map(none),
            regime: None,
            ..self
        }
    }
}

/// The film of a contact under an inlet, motion along the first plane of the first body.
///
/// # Formula
/// The four regime formulas and how much the bodies flatten decide the regime. In the piezoviscous-elastic one the film is Hamrock and Dowson's of hard
/// contacts (Dowson's for lines), in the isoviscous-elastic one theirs of soft contacts, elsewhere the regime formula
/// itself. With the longer axis along the motion or at an angle to it: Chittenden and others, whatever the regime.
///
/// # Errors
/// Names `long_axis_rad` for a line that does not lie across the motion: no formula is kept.
pub fn general_film(contact: &GeneralContact, inlet: Inlet) -> Result<GeneralFilm, ContactError> {
    let across = contact.half_axes_m().filter(|[along, across]| across >= along);
    match (&contact.area, across, contact.radius_along_m) {
        (HertzArea::Line(line), Some(_), _) => Ok(line_film(line, contact, inlet)),
        (HertzArea::Line(_), None, _) | (_, _, None) => Err(ContactError::field(
            "long_axis_rad",
            contact.long_axis_rad.unwrap_or(0.0),
            Wrong::LineNotAcross,
        )),
        (_, Some(_), Some(radius_x_m)) => Ok(point_film(contact, radius_x_m, inlet)),
        (_, None, Some(radius_along_m)) => Ok(turned_film(contact, radius_along_m, inlet)),
    }
}

fn line_film(line: &LineContact, contact: &GeneralContact, inlet: Inlet) -> GeneralFilm {
    let load = line.load_n / line.length_m;
    let films = line_regime_films(load, line.radius_m, contact.contact_modulus_pa, inlet);
    let regime = films.regime(flattening_m(contact, line.radius_m));
    let limits = beyond(line.max_pressure_pa, inlet, None);
    let film = |thickness_m: f64| Film {
        thickness_m,
        beyond: limits.clone(),
    };
    let central = line_central_film_thickness_m(load, line.radius_m, contact.contact_modulus_pa, inlet);
    let (central, formula) = match regime {
        Regime::PiezoviscousElastic => (
            Some(film(central)),
            "Dowson 1968 (minimum); Dowson and Toyoda (central)",
        ),
        Regime::IsoviscousRigid => (None, "Martin 1916, from memory"),
        Regime::PiezoviscousRigid => (None, "Blok, from memory"),
        Regime::IsoviscousElastic => (None, "Herrebrugh 1968, from memory"),
    };
    let minimum = film(films.thickness_m(regime));
    GeneralFilm {
        minimum,
        central,
        regime: Some(regime),
        formula,
    }
    .drawn_in(inlet)
}

fn point_film(contact: &GeneralContact, radius_x_m: f64, inlet: Inlet) -> GeneralFilm {
    let (load_n, modulus) = (contact.load_n(), contact.contact_modulus_pa);
    let ellipticity = contact.ellipticity().unwrap_or(f64::INFINITY);
    let radius_y_m = contact.radius_across_m.unwrap_or(f64::INFINITY);
    let films = point_regime_films(load_n, [radius_x_m, radius_y_m], modulus, ellipticity, inlet);
    let regime = films.regime(flattening_m(contact, radius_x_m));
    let limits = beyond(contact.max_pressure_pa(), inlet, Some(ellipticity));
    let film = |thickness_m: f64| Film {
        thickness_m,
        beyond: limits.clone(),
    };
    type Formula = fn(f64, f64, f64, f64, Inlet) -> f64;
    let of = |formula: Formula| film(formula(load_n, radius_x_m, modulus, ellipticity, inlet));
    let (minimum, central, formula) = match regime {
        Regime::PiezoviscousElastic => (
            of(hard_elliptical_minimum_film_thickness_m),
            Some(of(hard_elliptical_central_film_thickness_m)),
            "Hamrock and Dowson 1977",
        ),
        Regime::IsoviscousElastic => (
            of(soft_elliptical_minimum_film_thickness_m),
            Some(of(soft_elliptical_central_film_thickness_m)),
            "Hamrock and Dowson 1978, from memory",
        ),
        Regime::IsoviscousRigid | Regime::PiezoviscousRigid => (
            film(films.thickness_m(regime)),
            None,
            "Hamrock and Dowson 1979, from memory",
        ),
    };
    GeneralFilm {
        minimum,
        central,
        regime: Some(regime),
        formula,
    }
    .drawn_in(inlet)
}

/// How much the bodies flatten across the shorter axis without a film: its half squared over twice the radius.
fn flattening_m(contact: &GeneralContact, radius_m: f64) -> f64 {
    contact.short_half_axis_m().powi(2) / (2.0 * radius_m)
}

fn turned_film(contact: &GeneralContact, radius_along_m: f64, inlet: Inlet) -> GeneralFilm {
    let radius_across_m = contact.radius_across_m.unwrap_or(f64::INFINITY);
    let [minimum, central] = any_direction_film_thickness_m(
        contact.load_n(),
        radius_along_m,
        radius_across_m,
        contact.contact_modulus_pa,
        inlet,
    );
    let mut limits = beyond(contact.max_pressure_pa(), inlet, None);
    limits.push(if contact.half_axes_m().is_some() {
        Note::LongAxisAlong
    } else {
        Note::Skewed
    });
    let film = |thickness_m: f64| Film {
        thickness_m,
        beyond: limits.clone(),
    };
    let film = GeneralFilm {
        minimum: film(minimum),
        central: Some(film(central)),
        regime: None,
        formula: "Chittenden, Dowson, Dunn and Taylor 1985, from memory",
    };
    film.drawn_in(inlet)
}
