//! Every quantity of every method against `tests/published/method_contacts_named.csv`: from which contact it comes, by
//! which family of apparatus, and the terms of that contact at the method's nominal load or scar with an oil of 220 and 19
//! mm2/s. The table was computed apart from this program, its rows of the later methods by `later_methods.py`.

#![expect(clippy::unwrap_used, reason = "a row that cannot be read is a failed test")]
#![expect(
    clippy::print_stdout,
    reason = "a test that did not run must say so where it is read"
)]

use likewear::facade::catalogue::{Method, MethodContact, Use, built_in};
use likewear::facade::contact::terms::ContactTerms;
use likewear::facade::intake::{ArchiveFiles, read_folder};
use likewear::facade::lubricant::Oil;
use likewear::facade::records::method_of;
use likewear::facade::resemblance::{Decided, contacts};
use likewear::facade::units::Interval;
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

type Row = BTreeMap<String, String>;

fn rows() -> Vec<Row> {
    let mut reader = csv::Reader::from_path("tests/published/method_contacts_named.csv").unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

/// The built-in methods, and the laboratory's own ones of the demo.
fn methods() -> Vec<Method> {
    let mut files = ArchiveFiles::default();
    for entry in std::fs::read_dir("demo-data").unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_string();
        files.insert(name, std::fs::read(&path).unwrap());
    }
    let archive = read_folder(&files, jiff::civil::date(2026, 11, 24)).unwrap();
    let own = archive
        .archive
        .own_methods
        .iter()
        .map(|rows| method_of(rows).unwrap());
    built_in().iter().cloned().chain(own).collect()
}

fn at_room_as_in_the_table(method: &Method, row: &Row) -> Method {
    let mut method = method.clone();
    let (Ok(lo), Ok(hi)) = (row["bulk_lo_c"].parse::<f64>(), row["bulk_hi_c"].parse::<f64>()) else {
        return method;
    };
    for named in &mut method.contacts {
        // Gears heat themselves from their start; the others start somewhere in the interval of their method.
        if let MethodContact::Rig { surroundings, .. } = &mut named.contact
            && !surroundings.bulk_temperature_c.is_point()
        {
            let wider = surroundings.bulk_temperature_c;
            assert!(wider.lo() <= lo && hi <= wider.hi(), "{}", method.id);
            surroundings.bulk_temperature_c = Interval::new(lo, hi).unwrap();
        }
    }
    method
}

fn range(row: &Row, column: &str, unit: &str) -> Option<Interval> {
    let end = |end: &str| row[&format!("{column}_{end}{unit}")].parse().ok();
    Interval::new(end("lo")?, end("hi")?)
}

/// Each term with its columns, and how far the hand-rounded numbers of the table may lie off.
fn compared(row: &Row, terms: &ContactTerms) -> Vec<(&'static str, Option<Interval>, Option<Interval>, f64)> {
    let sharp = match row["method"].as_str() {
        // The table rounds the slip of the roller bearing by hand, and the roughness of the pins.
        "rb_oil" => 0.08,
        "pvb_wear" | "pvb_ep" => 0.015,
        _ => 0.006,
    };
    let pressure = terms.max_pressure_pa;
    vec![
        ("pressure", range(row, "pressure", "_pa"), pressure, 0.003),
        ("sliding", range(row, "sliding", "_m_s"), terms.sliding_m_s, sharp),
        (
            "rolling",
            range(row, "rolling", "_m_s"),
            terms.entrainment_m_s,
            0.006,
        ),
        (
            "slide-roll",
            range(row, "slide_roll", ""),
            terms.slide_roll,
            sharp,
        ),
        (
            "ellipticity",
            range(row, "ellipticity", ""),
            terms.ellipticity,
            0.0,
        ),
        ("time", range(row, "time_share", ""), terms.time_share, 0.006),
        ("bulk", range(row, "bulk", "_c"), terms.bulk_temperature_c, 0.006),
        (
            "contact",
            range(row, "contact_temperature", "_c"),
            terms.contact_temperature_c,
            0.006,
        ),
        ("film", range(row, "film", ""), terms.film_ratio, 0.02),
    ]
}

#[test]
fn every_quantity_comes_from_the_contact_of_the_table_with_its_terms() {
    let (methods, oil) = (methods(), Oil::new(220.0, 19.0, Some(880.0), None).unwrap());
    let mut failures = Vec::new();
    let mut places: BTreeMap<(String, String), usize> = BTreeMap::new();
    for row in rows() {
        let name = format!("{}/{}", row["method"], row["quantity"]);
        let method = methods
            .iter()
            .find(|method| method.id.as_str() == row["method"])
            .expect(&name);
        let quantity = method.quantity(&row["quantity"]).expect(&name);
        assert_eq!(quantity.usual_use.word(), row["use"], "{name}");
        assert_eq!(method.category.word(), row["category"], "{name}");
        if row["contact"].starts_with("none") {
            assert!(!method.has_contact(), "{name}");
            continue;
        }
        assert_eq!(method.family(), row["apparatus_family"], "{name}");
        let key = (row["method"].clone(), row["quantity"].clone());
        let place = places.entry(key).or_default();
        assert_eq!(method.names_of(quantity)[*place], row["contact"], "{name}");
        let method = at_room_as_in_the_table(method, &row);
        let sides = contacts(&method, quantity, Decided::default(), Some(&oil)).unwrap();
        let terms = &sides[*place];
        *place += 1;
        let words = [
            (terms.shape.map(|word| word.word()), "shape"),
            (terms.motion.map(|word| word.word()), "motion"),
            (terms.materials.map(|word| word.word()), "materials"),
            (terms.supply.map(|word| word.word()), "supply"),
        ];
        for (found, column) in words {
            let wanted = Some(row[column].as_str()).filter(|word| !word.is_empty());
            if found != wanted {
                failures.push(format!("{name} {column}: {found:?} for {wanted:?}"));
            }
        }
        for (term, wanted, found, tolerance) in compared(&row, terms) {
            let near = match (wanted, found) {
                (Some(a), Some(b)) => {
                    let near = |a: f64, b: f64| (a - b).abs() <= tolerance * a.abs().max(b.abs());
                    near(a.lo(), b.lo()) && near(a.hi(), b.hi())
                }
                (a, b) => a.is_none() && b.is_none(),
            };
            if !near {
                failures.push(format!("{name} {term}: {found:?} for {wanted:?}"));
            }
        }
    }
    assert!(failures.is_empty(), "\n{}", failures.join("\n"));
}

#[test]
fn every_weighed_quantity_has_its_rows_in_the_table() {
    let listed: BTreeSet<(String, String)> = rows()
        .iter()
        .map(|row| (row["method"].clone(), row["quantity"].clone()))
        .collect();
    for method in methods() {
        for quantity in method.quantities.iter().filter(|it| it.usual_use == Use::Weigh) {
            let key = (method.id.to_string(), quantity.id.clone());
            assert!(listed.contains(&key), "{key:?}");
        }
    }
}

/// What `later_methods.py` writes, or checks, when it is run; `None` without python3.
fn by_script(arguments: &[&str]) -> Option<String> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/contacts/later_methods.py");
    let Ok(output) = Command::new("python3").arg(script).args(arguments).output() else {
        println!("NOT RUN: no python3 on this machine");
        let on_ci = std::env::var("CI").is_ok_and(|value| value == "true");
        assert!(!on_ci, "the gate must run the second computation");
        return None;
    };
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{said}");
    Some(said)
}

#[test]
fn the_rows_of_the_later_methods_are_those_that_their_script_computes() {
    let Some(computed) = by_script(&[]) else {
        return;
    };
    let table = std::fs::read_to_string("tests/published/method_contacts_named.csv").unwrap();
    let there: BTreeSet<&str> = table.lines().collect();
    assert_eq!(computed.lines().count(), 12);
    for row in computed.lines() {
        assert!(there.contains(row), "{row}");
    }
}

#[test]
fn the_script_of_the_later_methods_gives_what_was_computed_before_it() {
    let Some(said) = by_script(&["--check"]) else {
        return;
    };
    assert_eq!(
        said.lines().count(),
        54,
        "three methods, nine terms, two ends: {said}"
    );
}
