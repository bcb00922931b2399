//! Where each value of a method comes from, in words: what it is a value of, the value in a unit that people read, its mark and
//! its source. Numbers stand as the file has them, whatever decimal sign a reader wants.

use crate::catalogue::{Method, Precision, PrecisionKind, Quantity, Sourced};
use crate::units::Measure;

/// One marked value.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct SourceLine {
    /// What it is a value of.
    pub(super) of: String,
    pub(super) value: String,
    pub(super) mark: &'static str,
    /// Empty where there is none.
    pub(super) source: String,
}

/// All marked values of a method, in the order of its file.
pub(super) fn source_lines(method: &Method) -> Vec<SourceLine> {
    method.sources.iter().map(|value| line(method, value)).collect()
}

fn line(method: &Method, sourced: &Sourced) -> SourceLine {
    let quantity = at(&sourced.path, "quantity", &method.quantities);
    let contact = at(&sourced.path, "contact", &method.contacts);
    let key = key(&sourced.path);
    let what = words_of(key).map_or_else(|| key.replace('_', " "), str::to_string);
    let whose = match (quantity, contact) {
        (Some(quantity), _) if method.quantities.len() > 1 => Some(&quantity.label),
        (_, Some(contact)) if method.contacts.len() > 1 => Some(&contact.name),
        _ => None,
    };
    SourceLine {
        of: whose.map_or_else(|| what.clone(), |whose| format!("{whose}: {what}")),
        value: value_words(key, &sourced.value, quantity),
        mark: sourced.mark.words(),
        source: sourced.source.clone(),
    }
}

/// What a path leads through: `quantity.2.cap` the second quantity.
fn at<'m, T>(path: &str, list: &str, items: &'m [T]) -> Option<&'m T> {
    let (number, _) = path.strip_prefix(list)?.strip_prefix('.')?.split_once('.')?;
    items.get(number.parse::<usize>().ok()?.checked_sub(1)?)
}

/// The last step of a path; of a precision the last two.
fn key(path: &str) -> &str {
    let from = match path.find(".precision.") {
        Some(step) => Some(step),
        None => path.rfind('.'),
    };
    from.map_or(path, |step| &path[step + 1..])
}

fn words_of(key: &str) -> Option<&'static str> {
    let found = WORDS.iter().find(|(known, _)| *known == key);
    found.map(|(_, words)| *words)
}

const WORDS: [(&str, &str); 49] = [
    ("ball_diameter_m", "ball diameter"),
    ("bulk_temperature_c", "bulk temperature"),
    ("cap", "last step that can be run"),
    ("centre_distance_m", "centre distance"),
    ("contact_length_m", "length of the line of contact"),
    ("contact_temperature_c", "contact temperature"),
    ("cost", "cost of a result, in the laboratory's currency"),
    ("days", "days that a result takes"),
    ("effective_length_m", "loaded length of a roller"),
    ("ellipticity", "longer over shorter axis of the contact"),
    ("entrainment_m_s", "rolling speed"),
    ("face_width_m", "face width in mesh"),
    ("film_ratio", "film ratio"),
    ("first_inspected", "first stage that is inspected"),
    ("fixed_force_n", "load"),
    ("fixed_torque_nm", "torque on the pinion"),
    ("frequency_hz", "frequency"),
    ("hardness_pa", "hardness of the softer body"),
    ("max_pressure_pa", "maximum pressure"),
    ("mean_diameter_m", "diameter of the circle through the rollers"),
    ("modes", "failure modes it scores, with their strength"),
    ("module_m", "module"),
    ("newton_per_unit", "force of one unit of the quantity, N"),
    ("nominal", "where its contact is computed by itself"),
    ("pinion_rpm", "speed of the pinion"),
    ("pinion_teeth", "teeth of the pinion"),
    ("pinion_tip_diameter_m", "tip diameter of the pinion"),
    ("possible", "values that are possible"),
    ("precision.R", "reproducibility R"),
    ("precision.level", "level at which the precision was found"),
    ("precision.r", "repeatability r"),
    ("pressure_angle_deg", "pressure angle"),
    ("resolution", "least difference that is read"),
    ("ring_diameter_m", "ring diameter"),
    ("roller_diameter_m", "roller diameter"),
    ("rollers", "number of rollers"),
    ("roughness_rq_m", "roughness of both bodies, Rq"),
    ("slide_roll", "slide-roll ratio"),
    ("sliding_m_s", "sliding speed"),
    ("speed_rpm", "speed"),
    ("stage_torques_nm", "torque on the pinion of each stage"),
    ("steps", "steps"),
    ("stroke_m", "stroke"),
    ("temperature_c", "bulk temperature"),
    ("time_share", "share of time in contact"),
    ("usual", "values that are usual"),
    ("wheel_teeth", "teeth of the wheel"),
    ("wheel_tip_diameter_m", "tip diameter of the wheel"),
    ("worn_pressure_pa", "mean pressure on the worn area"),
];

/// Keys whose values are those of the quantity, in its unit.
const OF_QUANTITY: [&str; 8] = [
    "cap",
    "first_inspected",
    "nominal",
    "possible",
    "precision.level",
    "resolution",
    "steps",
    "usual",
];

/// `0.03 and 0.06 µm`, `66 to 80 °C`, `75 mg`.
fn value_words(key: &str, written: &str, quantity: Option<&Quantity>) -> String {
    let list = written
        .trim()
        .strip_prefix('[')
        .and_then(|rest| rest.strip_suffix(']'));
    let parts: Vec<&str> = list.unwrap_or(written).split(',').map(str::trim).collect();
    let numbers: Option<Vec<f64>> = parts.iter().map(|part| part.parse().ok()).collect();
    let Some(numbers) = numbers else {
        return written
            .replace(['{', '}'], "")
            .replace(" = ", " ")
            .trim()
            .to_string();
    };
    let (unit, shown) = in_unit(key, &numbers, quantity);
    let joined = match (key, shown.as_slice()) {
        (_, [one]) => one.clone(),
        (_, [lo, hi]) if lo == hi => lo.clone(),
        ("roughness_rq_m", [one, other]) => format!("{one} and {other}"),
        ("steps" | "stage_torques_nm", many) => many.join(", "),
        (_, [lo, hi]) => format!("{lo} to {hi}"),
        (_, many) => many.join(", "),
    };
    match unit {
        "" => joined,
        unit => format!("{joined} {unit}"),
    }
}

fn in_unit(key: &str, numbers: &[f64], quantity: Option<&Quantity>) -> (&'static str, Vec<String>) {
    let plain = || numbers.iter().map(f64::to_string).collect();
    if let Some(quantity) = quantity
        && OF_QUANTITY.contains(&key)
    {
        return (unit_words(quantity), plain());
    }
    if let Some(precision) = quantity.and_then(|quantity| quantity.precision.as_ref())
        && key.starts_with("precision.")
    {
        return (precision_unit(precision, quantity), plain());
    }
    let measure = Measure::of_key(key);
    let unit = match (key, measure) {
        ("roughness_rq_m", _) => "µm",
        (_, Measure::Ratio) => return ("", plain()),
        (_, measure) => measure.usual_unit(),
    };
    let shown = numbers.iter().filter_map(|number| measure.from_si(*number, unit));
    (unit, shown.map(|number| number.to_string()).collect())
}

fn unit_words(quantity: &Quantity) -> &'static str {
    match quantity.unit.word() {
        "-" => "",
        word => word,
    }
}

fn precision_unit(precision: &Precision, quantity: Option<&Quantity>) -> &'static str {
    match precision.kind {
        PrecisionKind::Constant => quantity.map_or("", unit_words),
        PrecisionKind::PerCent => "% of the mean",
        PrecisionKind::Steps => "steps",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{built_in, built_in_method};

    fn line_of(method: &str, of: &str) -> (String, &'static str) {
        let lines = source_lines(built_in_method(method).unwrap());
        let line = lines.into_iter().find(|line| line.of == of);
        let line = line.unwrap_or_else(|| panic!("{method}: {of}"));
        (line.value, line.mark)
    }

    #[test]
    fn no_value_of_the_catalogue_is_called_by_the_key_of_its_file() {
        for method in built_in() {
            for (value, line) in method.sources.iter().zip(source_lines(method)) {
                let key = key(&value.path);
                assert!(words_of(key).is_some(), "{}: {}", method.id, value.path);
                for text in [&line.of, &line.value] {
                    assert!(!text.contains(['_', '[', '{']), "{}: {text}", method.id);
                }
            }
        }
    }

    #[test]
    fn every_word_is_of_a_value_of_some_method() {
        let all = || built_in().iter().flat_map(|method| &method.sources);
        for (word, _) in WORDS {
            assert!(all().any(|value| key(&value.path) == word), "{word}");
        }
    }

    #[test]
    fn values_stand_in_the_units_that_people_read() {
        let bodies = line_of("recip_g133", "roughness of both bodies, Rq");
        assert_eq!(bodies, ("0.03 and 0.06 µm".to_string(), "ours"));
        let inlet = line_of("pump_vane_d7043", "bulk temperature");
        assert_eq!(inlet, ("66 to 80 °C".to_string(), "seen"));
        assert_eq!(line_of("pump_vane_d7043", "repeatability r").0, "75 mg");
        assert_eq!(
            line_of("bor_osc_d3704", "reproducibility R").0,
            "39 % of the mean"
        );
        assert_eq!(line_of("gear_A8", "repeatability r").0, "2 steps");
        assert_eq!(line_of("gear_A8", "module").0, "4.5 mm");
        let modes = line_of("gear_A8", "failure modes it scores, with their strength");
        assert_eq!(modes.0, "scuffing 1");
    }
}
