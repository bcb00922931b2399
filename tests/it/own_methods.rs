//! A laboratory's own methods: copied, changed, computed beside the form, kept and used.

use crate::pages::{Fields, Page, Pages, encoded, set};
use likewear::facade::app::{App, Conditions, StartWith, copy_of, read_copy};
use likewear::facade::catalogue::{
    Method, MethodContact, MethodId, Origin, Use, built_in, built_in_method, contact_from_json,
    contact_to_json,
};
use likewear::facade::intake::{read_folder, write_folder};
use likewear::facade::records::{OwnMethod, method_of};

pub(crate) const FORM: &str = "[data-copy-form]";
pub(crate) const WEAR: &str = "/methods/fb_wear_oil_B/copy";

pub(crate) async fn slower(pages: &Pages, change: impl Fn(&mut Fields)) -> Page {
    let mut fields = pages.get(WEAR).await.form(FORM);
    for (name, value) in [
        ("id", "own_wear_slow"),
        ("title", "Four-ball wear at half speed"),
        ("k0.p.speed_rpm", "600"),
        ("k0.p.bulk_temperature_c.lo", "212 °F"),
        ("cond0", "600 +/- 30 r/min"),
        ("cond2", "100 to 167 °C"),
        ("do", "save"),
    ] {
        set(&mut fields, name, value);
    }
    change(&mut fields);
    pages.post(WEAR, &fields).await
}

/// Rows of the table of effects as term and change.
fn effects(page: &Page) -> Vec<(String, String)> {
    let terms = page.texts("[data-effects] tbody tr th");
    let changes = page.texts("[data-effects] tbody tr td:last-child");
    terms.into_iter().zip(changes).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn what_a_change_does_to_every_term_stands_beside_the_form_before_anything_is_kept() {
    let pages = Pages::with(StartWith::Nothing).await;
    let first = pages.get(WEAR).await;
    assert_eq!(first.status, 200);
    assert_eq!(first.count("[data-nothing-differs]"), 1);
    assert_eq!(effects(&first).len(), 11);
    assert!(
        effects(&first).iter().all(|(_, change)| change == "same"),
        "{:?}",
        effects(&first)
    );
    let computed = slower(&pages, |fields| set(fields, "do", "compute")).await;
    assert_eq!(computed.status, 200);
    let found = effects(&computed);
    let change = |term: &str| {
        let row = found.iter().find(|(label, _)| label.contains(term));
        row.unwrap_or_else(|| panic!("{term}: {found:?}")).1.clone()
    };
    // By hand: the sliding speed of a four-ball machine goes with its speed of rotation; 600 of 1200 r/min.
    assert_eq!(change("sliding speed"), "× 0.50");
    assert_eq!(change("pressure"), "same");
    assert_eq!(change("materials"), "same");
    assert!(change("temperature").ends_with(" K"), "{}", change("temperature"));
    let differing = computed.text("[data-differing]");
    assert!(
        differing.contains("speed of the upper ball, bulk temperature"),
        "{differing}"
    );
    assert!(differing.contains("precision does not apply"));
    assert!(
        computed
            .text("[data-precision-words]")
            .contains("shown, not weighed")
    );
    assert_eq!(
        pages.app.methods().await.unwrap().len(),
        built_in().len(),
        "computing keeps nothing"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_saved_copy_is_the_laboratorys_own_and_goes_out_and_comes_back() {
    let pages = Pages::with(StartWith::Nothing).await;
    let done = slower(&pages, |_| {}).await;
    assert_eq!(
        (done.status, done.location.as_str()),
        (303, "/methods/own_wear_slow"),
        "{}",
        done.body
    );
    let methods = pages.app.methods().await.unwrap();
    let own = methods
        .iter()
        .find(|method| method.id.as_str() == "own_wear_slow")
        .unwrap();
    let base = built_in_method("fb_wear_oil_B").unwrap();
    assert_eq!(own.origin, Origin::Own);
    let (
        MethodContact::Rig {
            element,
            surroundings,
            load,
        },
        MethodContact::Rig { load: base_load, .. },
    ) = (&own.contacts[0].contact, &base.contacts[0].contact)
    else {
        panic!("the copy keeps its geometry: {:?}", own.contacts);
    };
    let json = serde_json::to_value(element).unwrap();
    assert_eq!(
        (&json["kind"], &json["speed_rpm"]),
        (&"four_ball".into(), &600.0.into())
    );
    assert_eq!(surroundings.bulk_temperature_c.lo(), 100.0);
    assert_eq!(load, base_load);
    let scar = own.quantity("scar").unwrap();
    assert_eq!((scar.precision.clone(), scar.usual_use), (None, Use::Show));
    assert_eq!(scar.pressure_from, base.quantity("scar").unwrap().pressure_from);
    let page = pages.get("/methods/own_wear_slow").await;
    assert!(page.text(".crumbs .badge").contains("own method"));
    assert!(page.text("[data-precision]").contains("not published"));
    assert_eq!(
        pages
            .get("/methods")
            .await
            .count("[data-method='/methods/own_wear_slow'] .badge"),
        1
    );

    pages.app.export(&pages.path("out")).await.unwrap();
    let other = App::create(&pages.path("b.db"), StartWith::Nothing)
        .await
        .unwrap();
    other.load(&pages.path("out")).await.unwrap();
    assert_eq!(other.archive().await.unwrap(), pages.app.archive().await.unwrap());
    assert_eq!(
        other.load(&pages.path("out")).await.unwrap().added.new_records(),
        0
    );
    assert_eq!(other.methods().await.unwrap(), methods);
    assert_eq!(pages.app.check().await.unwrap(), []);

    let taken = slower(&pages, |_| {}).await;
    assert_eq!(taken.status, 422);
    assert!(taken.text("#f-id-fault").contains("another method"));
    let built_in = slower(&pages, |fields| set(fields, "id", "fb_ep_oil")).await;
    assert!(built_in.text("#f-id-fault").contains("another method"));

    // A copy of the copy is based on the same built-in method.
    let again = pages.get("/methods/own_wear_slow/copy").await;
    assert_eq!(again.form(FORM)["k0.p.speed_rpm"], "600");
    let mut fields = again.form(FORM);
    for (name, value) in [
        ("id", "own_wear_slower"),
        ("title", "Slower still"),
        ("k0.p.speed_rpm", "300"),
        ("cond0", "300 r/min"),
        ("do", "save"),
    ] {
        set(&mut fields, name, value);
    }
    assert_eq!(
        pages.post("/methods/own_wear_slow/copy", &fields).await.status,
        303
    );
    let rows = pages.app.archive().await.unwrap().own_methods;
    assert!(rows.iter().all(|rows| rows.based_on == "fb_wear_oil_B"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_precision_is_the_laboratorys_own_or_absent_unless_nothing_was_changed() {
    let pages = Pages::with(StartWith::Nothing).await;
    let unsaid = slower(&pages, |fields| set(fields, "q0.r", "0,15")).await;
    assert_eq!(unsaid.status, 422);
    assert!(unsaid.text("#f-q0-found-fault").contains("how many runs"));
    let own = slower(&pages, |fields| {
        set(fields, "q0.r", "0,15");
        set(fields, "q0.found", "8 runs of one oil");
    });
    assert_eq!(own.await.status, 303);
    let methods = pages.app.methods().await.unwrap();
    let scar = methods
        .iter()
        .find(|m| m.id.as_str() == "own_wear_slow")
        .unwrap()
        .quantities[0]
        .clone();
    assert_eq!(scar.precision.clone().map(|p| p.repeatability), Some(0.15));
    assert_eq!(scar.usual_use, Use::Weigh);
    assert!(scar.precision_note.contains("8 runs of one oil"));
    let base = built_in_method("fb_wear_oil_B").unwrap();
    let same = slower(&pages, |fields| {
        let fresh = copy_of(base);
        set(fields, "id", "own_renamed");
        for name in ["k0.p.speed_rpm", "k0.p.bulk_temperature_c.lo"] {
            set(fields, name, &fresh.contacts[0][&name[5..]]);
        }
        set(fields, "cond0", &fresh.conditions[0]);
        set(fields, "cond2", &fresh.conditions[2]);
    });
    assert_eq!(same.await.status, 303);
    let methods = pages.app.methods().await.unwrap();
    let renamed = methods.iter().find(|m| m.id.as_str() == "own_renamed").unwrap();
    assert_eq!(renamed.quantities[0].precision, base.quantities[0].precision);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_used_stands_beside_its_field_and_only_the_form_writes() {
    let pages = Pages::with(StartWith::Nothing).await;
    let bad = slower(&pages, |fields| {
        set(fields, "id", "Own Method");
        set(fields, "title", "");
        set(fields, "k0.p.speed_rpm", "slow");
        set(fields, "k0.p.ball_diameter_m", "-12.7");
        set(fields, "k0.p.fixed_force_n", "40 kg");
        set(fields, "cond0", "");
        set(fields, "q0.R", "0.3");
    });
    let bad = bad.await;
    assert_eq!(bad.status, 422);
    for (field, words) in [
        ("id", "small letters"),
        ("title", "belongs here"),
        ("k0-p-speed-rpm", "not a number"),
        ("k0-p-fixed-force-n", "not a unit of this field"),
        ("cond0", "belongs here"),
        ("q0-r", "without a repeatability"),
    ] {
        let fault = bad.text(&format!("#f-{field}-fault"));
        assert!(fault.contains(words), "{field}: '{fault}'");
    }
    assert_eq!(bad.form(FORM)["k0.p.speed_rpm"], "slow");
    let negative = slower(&pages, |fields| set(fields, "k0.p.ball_diameter_m", "-12.7")).await;
    assert!(
        negative
            .text("#f-k0-p-ball-diameter-m-fault")
            .contains("above zero"),
        "{}",
        negative.body
    );
    let mut fields = pages.get(WEAR).await.form(FORM);
    set(&mut fields, "do", "save");
    assert_eq!(
        pages.get(&format!("{WEAR}?{}", encoded(&fields))).await.status,
        200
    );
    set(&mut fields, "token", "x");
    assert_eq!(pages.post(WEAR, &fields).await.status, 403);
    assert_eq!(pages.get("/methods/nobody/copy").await.status, 404);
    assert_eq!(pages.app.methods().await.unwrap().len(), built_in().len());
}

#[test]
fn every_built_in_method_can_be_copied_as_it_is_and_its_contacts_read_back() {
    for method in built_in() {
        for contact in &method.contacts {
            let json = contact_to_json(contact).unwrap();
            assert_eq!(contact_from_json(json).as_ref(), Ok(contact), "{}", method.id);
        }
        let mut draft = copy_of(method);
        draft.id = "own_copy".into();
        draft.title = "A copy".into();
        let reading = read_copy(&draft, method, method.id.as_str());
        assert_eq!(reading.faults, [], "{}", method.id);
        assert_eq!(reading.conditions, Conditions::Same, "{}", method.id);
        let copy = method_of(&reading.rows.unwrap()).unwrap();
        assert_eq!(copy.contacts, method.contacts, "{}", method.id);
        assert_eq!(copy.conditions, method.conditions, "{}", method.id);
        for (copied, original) in copy.quantities.iter().zip(&method.quantities) {
            assert_eq!(
                copied.precision, original.precision,
                "{}/{}",
                method.id, original.id
            );
            assert_eq!(
                (&copied.scale, copied.nominal, &copied.modes),
                (&original.scale, original.nominal, &original.modes),
                "{}/{}",
                method.id,
                original.id
            );
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn an_own_method_with_geometry_is_weighed_in_a_trial() {
    let pages = Pages::with(StartWith::Nothing).await;
    let own = slower(&pages, |fields| {
        set(fields, "q0.r", "0.15");
        set(fields, "q0.found", "8 runs of one oil");
    });
    assert_eq!(own.await.status, 303);
    pages
        .app
        .load(std::path::Path::new(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/demo-data"
        )))
        .await
        .unwrap();
    let mut archive = pages.app.archive().await.unwrap();
    let trial = archive
        .trials
        .iter_mut()
        .find(|trial| trial.slug.as_str() == "pitch-drive-full")
        .unwrap();
    let like = trial
        .tests
        .iter()
        .find(|test| test.key.quantity == "scar")
        .unwrap()
        .clone();
    let mut test = like.clone();
    test.key.method = MethodId::new("own_wear_slow").unwrap();
    trial.tests.push(test);
    let slug = trial.slug.clone();
    let mut results: Vec<_> = archive
        .results
        .iter()
        .filter(|r| r.trial == slug && r.key == like.key)
        .cloned()
        .collect();
    for result in &mut results {
        result.key.method = MethodId::new("own_wear_slow").unwrap();
        (result.id, result.supersedes, result.rig) = (None, None, None);
    }
    archive.results.extend(results);
    let files = write_folder(&archive).unwrap();
    let accepted = read_folder(&files, crate::folder::DAY).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!(accepted.archive.own_methods, archive.own_methods);
    crate::folder::write_to(&pages.path("with"), &files);
    pages.app.load(&pages.path("with")).await.unwrap();
    let standing = pages
        .json("/api/trials/pitch-drive-full/standing?draws=400")
        .await;
    let tests = standing["tests"].as_array().unwrap();
    let of = |key: &str| tests.iter().find(|test| test["key"] == key).unwrap();
    let own = of("own_wear_slow/scar");
    assert!(own["contacts"][0]["resemblance"].as_f64().unwrap() > 0.0, "{own}");
    assert_ne!(
        own["contacts"][0]["terms"],
        of(&like.key.to_string())["contacts"][0]["terms"]
    );
    let page = pages
        .get("/trials/pitch-drive-full/tests/own_wear_slow?quantity=scar")
        .await;
    assert_eq!(page.status, 200);
    let entry = "/trials/pitch-drive-full/enter?method=own_wear_slow";
    let rows = pages.get(entry).await.count("[data-readings] tbody tr");
    assert_eq!(rows, 3, "a copy is read at the bench as its original is");
}

#[test]
fn a_quantity_of_an_own_method_names_contacts_that_the_method_has_or_comes_from_all_of_them() {
    let base = built_in_method("rb_oil").unwrap();
    let mut draft = copy_of(base);
    (draft.id, draft.title) = ("own_rollers".into(), "Rollers".into());
    let rows = read_copy(&draft, base, "rb_oil").rows.unwrap();
    let copy = method_of(&rows).unwrap();
    let names = |method: &Method, place: usize| method.names_of(&method.quantities[place]);
    assert_eq!(
        (names(&copy, 0), names(&copy, 1)),
        (vec!["raceways".into()], vec!["cage pockets".into()])
    );
    assert_eq!(
        (copy.family(), base.family()),
        ("roller bearing rig", "roller bearing rig")
    );
    let mut foreign = rows.clone();
    foreign.quantities[0].contacts = "raceways; rims".into();
    let fault = method_of(&foreign).unwrap_err();
    assert_eq!(
        (fault.column, fault.quantity.as_deref()),
        ("contacts", Some("roller_wear"))
    );
    // A method kept before contacts had names: what it is based on says nothing of them.
    let mut earlier = rows.clone();
    earlier.contacts_json = earlier
        .contacts_json
        .replace("raceways", "")
        .replace("cage pockets", "");
    earlier.quantities.iter_mut().for_each(|row| row.contacts.clear());
    let earlier = method_of(&earlier).unwrap();
    assert_eq!(names(&earlier, 0).len(), earlier.contacts.len());
    let own = OwnMethod {
        apparatus: "a rig of our own".into(),
        ..rows
    };
    assert_eq!(method_of(&own).unwrap().family(), "a rig of our own");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_method_of_several_contacts_says_from_which_of_them_each_quantity_comes() {
    let pages = Pages::with(StartWith::Nothing).await;
    let page = pages.get("/methods/rb_oil").await;
    let from = |quantity: &str| page.text(&format!("[data-quantity='{quantity}'] [data-comes-from]"));
    assert_eq!(from("roller_wear"), "raceways");
    assert_eq!(from("cage_wear"), "cage pockets");
    assert!(page.text("[data-apparatus]").contains("roller bearing rig"));
    let json = pages.json("/api/methods/rb_oil").await;
    let names = json["contacts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| &one["name"]);
    assert_eq!(names.collect::<Vec<_>>(), ["raceways", "cage pockets"]);
    assert_eq!(
        json["quantities"][1]["contacts"],
        serde_json::json!(["cage pockets"])
    );
    assert_eq!(json["apparatus"], "roller bearing rig");
    let one = pages.get("/methods/fb_ep_oil").await;
    assert_eq!(one.count("[data-comes-from]"), 0);
    assert!(one.body.contains("hardness of the softer body"));
}
