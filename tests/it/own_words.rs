//! A laboratory's copy of a method in words of its own: what it measures, failure modes, contacts; and that nowhere the
//! conditions of the original are said of it.

use crate::folder::{DAY, faults, files, write_to};
use crate::own_methods::{FORM, slower};
use crate::pages::{Pages, set};
use likewear::facade::app::{App, StartWith, copy_of, read_copy};
use likewear::facade::catalogue::{Method, MethodId, built_in, built_in_method, contact_to_json};
use likewear::facade::intake::{ArchiveFiles, read_folder, write_folder};
use likewear::facade::records::{OwnMethod, method_of};

const ROLLERS: &str = "/methods/rb_oil/copy";

/// The rows of a copy of a method that changes nothing but its name.
fn rows_of(id: &str) -> OwnMethod {
    let base = built_in_method(id).unwrap();
    let mut draft = copy_of(base);
    (draft.id, draft.title) = (format!("own_{}", id.to_lowercase()), "A copy".into());
    read_copy(&draft, base, id).rows.unwrap()
}

/// The contacts of a method as JSON, one number changed in the first.
fn contacts_with(id: &str, part: &str, key: &str, value: serde_json::Value) -> String {
    let contacts = built_in_method(id).unwrap().contacts.iter();
    let mut list: Vec<_> = contacts.map(|named| contact_to_json(named).unwrap()).collect();
    list[0][part][key] = value;
    serde_json::Value::Array(list).to_string()
}

fn listed(method: &Method) -> Vec<&str> {
    method.conditions.iter().map(|one| one.name.as_str()).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn words_that_a_changed_number_makes_old_are_asked_for_beside_their_field() {
    let pages = Pages::with(StartWith::Nothing).await;
    let base = copy_of(built_in_method("fb_wear_oil_B").unwrap());
    let stale = slower(&pages, |fields| set(fields, "cond0", &base.conditions[0])).await;
    assert_eq!(stale.status, 422);
    assert!(
        stale
            .text("#f-cond0-fault")
            .contains("still that of the original"),
        "{}",
        stale.text("#f-cond0-fault")
    );
    assert_eq!(stale.text("#f-cond1-fault"), "");
    let material = slower(&pages, |fields| {
        set(fields, "k0.p.materials", "hard steel/bronze")
    })
    .await;
    assert!(
        material
            .text("#f-cond4-fault")
            .contains("still that of the original")
    );
    let both = |fields: &mut crate::pages::Fields| {
        set(fields, "k0.p.materials", "hard steel/bronze");
        set(fields, "cond4", "a steel ball on three of bronze");
    };
    assert_eq!(slower(&pages, both).await.status, 303);

    let scuffing = "/methods/gear_A8/copy";
    let mut fields = pages.get(scuffing).await.form(FORM);
    for (name, value) in [
        ("id", "own_cool"),
        ("title", "Scuffing, cooler"),
        ("k0.p.bulk_temperature_c.lo", "60"),
    ] {
        set(&mut fields, name, value);
    }
    set(&mut fields, "k0.p.bulk_temperature_c.hi", "60");
    let computed = pages.post(scuffing, &fields).await;
    let fault = computed.text("#f-safety-fault");
    assert!(
        fault.contains("still states a condition of the original: 'Oil at 90 °C"),
        "{fault}"
    );
    assert_eq!(computed.text("#f-note-fault"), "");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_changed_copy_says_its_own_conditions_and_nowhere_those_of_the_original() {
    let pages = Pages::with(StartWith::Nothing).await;
    let halved = slower(&pages, |fields| {
        set(fields, "k0.p.fixed_force_n", "196");
        set(fields, "cond1", "196 N in all");
        set(fields, "q0.label", "Scar after the slow run");
        set(fields, "q0.modes", "adhesive wear=0.6; bronze wear=1");
        set(fields, "caution", "Ours alone.");
    });
    let done = halved.await;
    assert_eq!(done.status, 303, "{}", done.body);
    let page = pages.get("/methods/own_wear_slow").await;
    let json = pages.json("/api/methods/own_wear_slow").await;
    for body in [&page.body, &json.to_string()] {
        for old in [
            "1200",
            "75 °C",
            "392 N",
            "392.0",
            "40 kgf",
            "condition B",
            "75 +/- 2",
        ] {
            assert!(!body.contains(old), "{old}");
        }
        for own in [
            "600 +/- 30 r/min",
            "196 N in all",
            "Ours alone.",
            "Scar after the slow run",
            "60 +/- 1 min",
        ] {
            assert!(body.contains(own), "{own}");
        }
    }
    assert_eq!(json["standard"], "in-house, after ASTM D4172");
    assert_eq!(json["quantities"][0]["modes"][1]["mode"], "bronze wear");
    assert!(
        page.text("[data-left-out]")
            .contains("designation of the standard")
    );

    let same = slower(&pages, |fields| {
        let fresh = copy_of(built_in_method("fb_wear_oil_B").unwrap());
        set(fields, "id", "own_renamed");
        for name in ["k0.p.speed_rpm", "k0.p.bulk_temperature_c.lo"] {
            set(fields, name, &fresh.contacts[0][&name[5..]]);
        }
        set(fields, "cond0", &fresh.conditions[0]);
        set(fields, "cond2", &fresh.conditions[2]);
    });
    assert_eq!(same.await.status, 303);
    let renamed = pages.get("/methods/own_renamed").await;
    assert_eq!(renamed.count("[data-left-out]"), 0);
    assert!(renamed.body.contains("1200 +/- 60 r/min") && renamed.body.contains("condition B"));
}

#[test]
fn rows_of_a_folder_with_another_contact_inherit_only_what_still_holds() {
    let copied = rows_of("fb_wear_oil_B");
    let bare = OwnMethod {
        conditions_json: String::new(),
        safety: String::new(),
        ..copied.clone()
    };
    let base = built_in_method("fb_wear_oil_B").unwrap();
    let same = method_of(&bare).unwrap();
    assert_eq!(
        (&same.conditions, &same.safety, same.left_out.len()),
        (&base.conditions, &base.safety, 0)
    );
    for rows in [&bare, &copied] {
        let contacts_json = contacts_with("fb_wear_oil_B", "element", "speed_rpm", 600.into());
        let slow = method_of(&OwnMethod {
            contacts_json,
            ..rows.clone()
        })
        .unwrap();
        assert_eq!(
            listed(&slow),
            [
                "load",
                "temperature",
                "duration",
                "specimens",
                "supply",
                "roughness"
            ]
        );
        assert_eq!(slow.standard, "in-house, after ASTM D4172");
        assert_eq!(slow.safety, base.safety, "nothing of it hangs on the speed");
    }
    let contacts_json = contacts_with("gear_A8", "surroundings", "bulk_temperature_c", 60.into());
    let cool = method_of(&OwnMethod {
        contacts_json,
        ..rows_of("gear_A8")
    })
    .unwrap();
    assert!(!cool.safety.contains("90 °C") && cool.safety.contains("unload the clutch"));
    let contacts_json = contacts_with("fb_friction_d5183", "load", "fixed_force_n", 196.into());
    let light = method_of(&OwnMethod {
        contacts_json,
        ..rows_of("fb_friction_d5183")
    })
    .unwrap();
    let (own, of_base) = (
        &light.quantities[0],
        &built_in_method("fb_friction_d5183").unwrap().quantities[0],
    );
    assert_eq!(own.label, "Friction coefficient");
    // A scar of the same size under half the load has half the pressure.
    assert_eq!(
        own.worn_pressure_pa.unwrap(),
        0.5 * of_base.worn_pressure_pa.unwrap()
    );
}

#[test]
fn what_a_copy_does_without_stays_in_its_rows() {
    let contacts_json = contacts_with("fb_wear_oil_B", "element", "speed_rpm", 600.into());
    let rows = OwnMethod {
        contacts_json,
        ..rows_of("fb_wear_oil_B")
    };
    let mut archive = read_folder(&files(), DAY).unwrap().archive;
    archive.own_methods.push(rows.clone());
    let again = read_folder(&write_folder(&archive).unwrap(), DAY)
        .unwrap()
        .archive;
    assert!(again.own_methods.contains(&rows));
    assert!(rows.conditions_json.contains("1200"));
}

#[tokio::test(flavor = "multi_thread")]
async fn each_quantity_of_a_copy_chooses_its_contacts_modes_and_words_and_keeps_them() {
    let pages = Pages::with(StartWith::Nothing).await;
    let first = pages.get(ROLLERS).await.form(FORM);
    assert_eq!(
        (first["k1.p.name"].as_str(), first["q1.contacts"].as_str()),
        ("cage pockets", "1")
    );
    let mut fields = first;
    for (name, value) in [
        ("id", "own_rollers"),
        ("title", "Rollers and cage together"),
        ("k1.p.name", "cage bars"),
        ("q0.contacts", "0; 1"),
        ("q0.label", "All that the bearing lost"),
        ("q0.modes", "slow-speed wear=0.6"),
        ("safety", "Let it cool."),
        ("do", "save"),
    ] {
        set(&mut fields, name, value);
    }
    let mut bad = fields.clone();
    for (name, value) in [
        ("q0.modes", "boredom=1"),
        ("q1.contacts", "2"),
        ("k1.p.name", "raceways"),
        ("q1.label", ""),
    ] {
        set(&mut bad, name, value);
    }
    let refused = pages.post(ROLLERS, &bad).await;
    assert_eq!(refused.status, 422);
    for (field, words) in [
        ("q0-modes", "boredom"),
        ("q1-contacts", "choose the contacts"),
        ("k1-p-name", "another contact"),
        ("q1-label", "belongs here"),
    ] {
        let fault = refused.text(&format!("#f-{field}-fault"));
        assert!(fault.contains(words), "{field}: {fault}");
    }
    let done = pages.post(ROLLERS, &fields).await;
    assert_eq!(done.status, 303, "{}", done.body);
    let page = pages.get("/methods/own_rollers").await;
    let from = |quantity: &str| page.text(&format!("[data-quantity='{quantity}'] [data-comes-from]"));
    assert_eq!(
        (from("roller_wear"), from("cage_wear")),
        ("raceways, cage bars".into(), "cage bars".into())
    );
    let json = pages.json("/api/methods/own_rollers").await;
    assert_eq!(
        json["quantities"][0]["contacts"],
        serde_json::json!(["raceways", "cage bars"])
    );
    assert_eq!(json["quantities"][0]["label"], "All that the bearing lost");
    assert_eq!(json["safety"], "Let it cool.");
    assert!(
        json["quantities"][0]["precision"]
            == pages.json("/api/methods/rb_oil").await["quantities"][0]["precision"]
    );

    pages.app.export(&pages.path("out")).await.unwrap();
    let other = App::create(&pages.path("b.db"), StartWith::Nothing)
        .await
        .unwrap();
    other.load(&pages.path("out")).await.unwrap();
    assert_eq!(other.methods().await.unwrap(), pages.app.methods().await.unwrap());
    assert_eq!(pages.app.check().await.unwrap(), []);
}

/// Two contacts for the own bench of the folder, which has one.
fn with_contacts(names: [&str; 2]) -> ArchiveFiles {
    let rows = rows_of("rb_oil");
    let mut archive = read_folder(&files(), DAY).unwrap().archive;
    let contacts_json = rows
        .contacts_json
        .replace("raceways", names[0])
        .replace("cage pockets", names[1]);
    let mut quantities = rows.quantities.clone();
    quantities.iter_mut().for_each(|row| row.contacts.clear());
    archive.own_methods.push(OwnMethod {
        contacts_json,
        quantities,
        ..rows
    });
    write_folder(&archive).unwrap()
}

#[test]
fn two_contacts_of_one_name_are_refused_and_those_without_take_that_of_their_place() {
    let doubled = faults(&with_contacts(["rollers", "rollers"]));
    assert_eq!(doubled.len(), 1, "{doubled:?}");
    assert!(
        doubled[0].starts_with("methods.csv") && doubled[0].contains(":contacts:rollers"),
        "{doubled:?}"
    );
    assert_eq!(faults(&with_contacts(["rollers", "bars"])), Vec::<String>::new());
    let unnamed = read_folder(&with_contacts(["", ""]), DAY).unwrap().archive;
    let rows = unnamed
        .own_methods
        .iter()
        .find(|own| own.id.as_str() == "own_rb_oil")
        .unwrap();
    let method = method_of(rows).unwrap();
    assert_eq!(method.names_of(&method.quantities[0]), ["contact 1", "contact 2"]);
}

#[test]
fn every_built_in_method_of_several_contacts_names_each_and_every_quantity_says_which() {
    for method in built_in().iter().filter(|method| method.contacts.len() > 1) {
        let names: Vec<&str> = method.contacts.iter().map(|named| named.name.as_str()).collect();
        let all: std::collections::BTreeSet<&str> = names.iter().copied().collect();
        assert!(
            all.len() == names.len() && !all.contains(""),
            "{}: {names:?}",
            method.id
        );
        for quantity in &method.quantities {
            assert!(!quantity.contacts.is_empty(), "{}/{}", method.id, quantity.id);
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_weights_name_the_contact_of_a_test_that_has_several() {
    let pages = Pages::with(StartWith::Demo).await;
    let weights = pages.get("/trials/pitch-drive-full/weights").await;
    assert_eq!(weights.status, 200);
    let of_test = weights.texts("[data-test] [data-of-test]");
    assert!(
        of_test.iter().any(|name| name == "raceways") && of_test.iter().any(|name| name == "cage pockets"),
        "{of_test:?}"
    );
    assert_eq!(weights.count("[data-test='fb_ep_oil/weld'] [data-of-test]"), 0);
    let of_cage = weights.texts("[data-test='rb_oil/cage_wear'] [data-of-test]");
    assert!(
        !of_cage.is_empty() && of_cage.iter().all(|name| name == "cage pockets"),
        "{of_cage:?}"
    );
    let standing = pages
        .json("/api/trials/pitch-drive-full/standing?draws=400")
        .await;
    let tests = standing["tests"].as_array().unwrap();
    let cage = tests
        .iter()
        .find(|test| test["key"] == "rb_oil/cage_wear")
        .unwrap();
    assert_eq!(cage["contacts"][0]["test_contact"], "cage pockets");
    let sheet = "/trials/pitch-drive-full/tests/rb_oil?quantity=cage_wear";
    assert_eq!(
        pages.get(sheet).await.text("[data-test-contact] [data-of-test]"),
        "cage pockets"
    );
    let one = "/trials/pitch-drive-full/tests/fb_ep_oil?quantity=weld";
    assert_eq!(pages.get(one).await.count("[data-of-test]"), 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_sheet_of_a_changed_copy_in_a_trial_says_nothing_of_the_originals_conditions() {
    let pages = Pages::with(StartWith::Demo).await;
    assert_eq!(slower(&pages, |_| {}).await.status, 303);
    let mut archive = pages.app.archive().await.unwrap();
    let own = MethodId::new("own_wear_slow").unwrap();
    let trial = archive
        .trials
        .iter_mut()
        .find(|trial| trial.slug.as_str() == "pitch-drive-full")
        .unwrap();
    let like = trial
        .tests
        .iter()
        .find(|test| test.key.method.as_str() == "fb_wear_oil_B")
        .unwrap()
        .clone();
    for test in &mut trial.tests {
        if test.key == like.key {
            test.key.method = own.clone();
        }
    }
    for result in &mut archive.results {
        if result.trial.as_str() == "pitch-drive-full" && result.key == like.key {
            result.key.method = own.clone();
            (result.rig, result.conditions) = (None, String::new());
        }
    }
    archive
        .readings
        .retain(|reading| reading.method != like.key.method);
    let other = Pages::with(StartWith::Nothing).await;
    write_to(&other.path("with"), &write_folder(&archive).unwrap());
    other.app.load(&other.path("with")).await.unwrap();
    let sheet = other
        .get("/trials/pitch-drive-full/tests/own_wear_slow?quantity=scar")
        .await;
    assert_eq!(sheet.status, 200);
    for old in ["1200 +/-", "1200 r/min", "75 °C", "75 +/-"] {
        assert!(!sheet.body.contains(old), "{old}");
    }
    assert!(sheet.body.contains("in-house, after ASTM D4172"));
}
