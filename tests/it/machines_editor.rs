//! Machines entered and changed in their form: what is typed, computed, refused and kept, version by version.

use crate::pages::{Fields, Page, Pages, encoded, set};
use likewear::facade::app::{App, StartWith};
use likewear::facade::records::{MachineSlug, TrialSlug};

const FORM: &str = "[data-machine-form]";

/// A slideway as people type it, in trade units of several kinds.
fn slideway(fields: &mut Fields) {
    for (name, value) in [
        ("name", "Milling table"),
        ("slug", "milling-table"),
        ("kind", "machine tool"),
        ("c0.name", "way"),
        ("c0.share", "100 %"),
        ("c0.preset", "slideway"),
        ("c0.mode.adhesive wear", "main"),
        ("c0.mode.friction", "minor"),
        ("c0.p.length_m", "400"),
        ("c0.p.width_m", "5 cm"),
        ("c0.p.load_n.lo", "100 kgf"),
        ("c0.p.load_n.hi", "200 kgf"),
        ("c0.p.speed_m_s.lo", "0,1"),
        ("c0.p.speed_m_s.hi", "0,5"),
        ("c0.p.temperature_c.lo", "68 °F"),
        ("c0.p.supply", "bath"),
        ("c0.p.materials", "hard steel/cast iron"),
    ] {
        set(fields, name, value);
    }
}

async fn filled(pages: &Pages) -> Fields {
    let mut fields = pages.get("/machines/new").await.form(FORM);
    slideway(&mut fields);
    fields
}

async fn saved() -> Pages {
    let pages = Pages::with(StartWith::Nothing).await;
    let mut fields = filled(&pages).await;
    set(&mut fields, "do", "save");
    let page = pages.post("/machines/new", &fields).await;
    assert_eq!(
        (page.status, page.location.as_str()),
        (303, "/machines/milling-table"),
        "{}",
        page.body
    );
    pages
}

/// The edit form with another load, sent.
pub(crate) async fn second_version(pages: &Pages, slug: &str, change: impl Fn(&mut Fields)) -> Page {
    let place = format!("/machines/{slug}/edit");
    let mut fields = pages.get(&place).await.form(FORM);
    set(&mut fields, "change", "measured on the machine");
    set(&mut fields, "do", "save");
    change(&mut fields);
    pages.post(&place, &fields).await
}

#[tokio::test(flavor = "multi_thread")]
async fn a_machine_is_computed_beside_its_form_and_saved_in_si() {
    let pages = Pages::with(StartWith::Nothing).await;
    let empty = pages.get("/machines/new").await;
    assert_eq!(empty.count("[data-contact-form]"), 1);
    assert_eq!(
        empty.count(".fault:not(:empty)"),
        0,
        "an empty form accuses nobody"
    );
    let fields = filled(&pages).await;
    let computed = pages.post("/machines/new", &fields).await;
    assert_eq!(computed.status, 200);
    assert_eq!(computed.texts("[data-contact-form='0'] [data-term]").len(), 11);
    // By hand: 980.665 to 1961.33 N over 0.4 m times 0.05 m are 0.049 to 0.0981 MPa.
    let pressure = computed.text("[data-contact-form='0'] [data-term='pressure'] dd");
    assert!(pressure.contains("0.049 to 0.0981 MPa"), "{pressure}");
    assert_eq!(computed.text("[data-term='sliding'] dd"), "0.1 to 0.5 m/s");
    assert_eq!(
        computed.count("[data-contact-form='0'] [data-drawing]"),
        1,
        "drawn to scale"
    );
    assert_eq!(
        pages.app.machines().await.unwrap().len(),
        0,
        "computing keeps nothing"
    );

    let mut fields = fields;
    set(&mut fields, "do", "save");
    pages.post("/machines/new", &fields).await;
    let json = pages.json("/api/machines/milling-table").await;
    assert_eq!(json["version"], 1);
    let parameters = &json["contacts"][0]["parameters"];
    assert_eq!(parameters["load_n"], serde_json::json!([980.665, 1961.33]));
    assert_eq!(
        (&parameters["length_m"], &parameters["width_m"]),
        (&0.4.into(), &0.05.into())
    );
    assert_eq!(parameters["temperature_c"], 20.0);
    assert_eq!(
        json["contacts"][0]["main_modes"],
        serde_json::json!(["adhesive wear"])
    );
    assert_eq!(
        pages
            .get("/machines")
            .await
            .count("[data-machine='milling-table']"),
        1
    );
    assert_eq!(pages.app.check().await.unwrap(), []);
}

#[tokio::test(flavor = "multi_thread")]
async fn every_fault_stands_beside_its_field_and_nothing_typed_is_lost() {
    let pages = Pages::with(StartWith::Nothing).await;
    let mut fields = filled(&pages).await;
    for (name, value) in [
        ("slug", "Milling Table!"),
        ("kind", ""),
        ("c0.share", "90"),
        ("c0.p.length_m", "long"),
        ("c0.p.width_m", "5 kg"),
        ("c0.p.load_n.lo", "1,234"),
        ("c0.p.speed_m_s.lo", "0.9"),
        ("c0.p.temperature_c.lo", "5000"),
        ("c0.p.supply", ""),
        ("c0.mode.adhesive wear", ""),
        ("c0.mode.friction", ""),
        ("do", "save"),
    ] {
        set(&mut fields, name, value);
    }
    let page = pages.post("/machines/new", &fields).await;
    assert_eq!(page.status, 422);
    for (field, words) in [
        ("slug", "small letters"),
        ("kind", "belongs here"),
        ("c0-p-length-m", "not a number"),
        ("c0-p-width-m", "not a unit of this field"),
        ("c0-p-load-n-lo", "1.234 and as 1234"),
        ("c0-p-speed-m-s-lo", "below the mild end"),
        ("c0-p-temperature-c-lo", "between"),
        ("c0-p-supply", "not chosen"),
        ("c0-modes", "none is marked"),
    ] {
        let fault = page.text(&format!("#f-{field}-fault"));
        assert!(fault.contains(words), "{field}: '{fault}'");
    }
    let again = page.form(FORM);
    for (name, typed) in fields.iter().filter(|(name, _)| *name != "do") {
        assert_eq!(again.get(name), Some(typed), "{name} stands as it was typed");
    }
    assert_eq!(pages.app.machines().await.unwrap().len(), 0);

    // Shares are only added up when each of them can be read.
    let mut fields = filled(&pages).await;
    set(&mut fields, "c0.share", "90");
    set(&mut fields, "do", "save");
    let page = pages.post("/machines/new", &fields).await;
    assert!(page.text("#f-c0-share-fault").contains("sum to 90.0 %"));
}

#[tokio::test(flavor = "multi_thread")]
async fn contacts_come_and_go_by_buttons_and_another_preset_keeps_what_was_typed() {
    let pages = Pages::with(StartWith::Nothing).await;
    let mut fields = filled(&pages).await;
    set(&mut fields, "do", "add");
    let two = pages.post("/machines/new", &fields).await;
    assert_eq!(two.count("[data-contact-form]"), 2);
    let mut fields = two.form(FORM);
    assert_eq!(fields["c0.p.load_n.lo"], "100 kgf");
    set(&mut fields, "c1.name", "screw");
    set(&mut fields, "c1.preset", "gear pair");
    set(&mut fields, "do", "remove.0");
    let one = pages.post("/machines/new", &fields).await;
    assert_eq!(one.count("[data-contact-form]"), 1);
    let mut fields = one.form(FORM);
    assert_eq!(
        (fields["c0.name"].as_str(), fields["c0.preset"].as_str()),
        ("screw", "gear pair")
    );
    assert!(one.text("[data-not-computed]").contains("Still needed"));
    set(&mut fields, "c0.p.face_width_m", "20");
    set(&mut fields, "c0.preset", "slideway");
    let slideway = pages.post("/machines/new", &fields).await;
    assert_eq!(slideway.count("input[type=hidden][name='c0.p.face_width_m']"), 1);
    let mut fields = slideway.form(FORM);
    set(&mut fields, "c0.preset", "gear pair");
    let back = pages.post("/machines/new", &fields).await;
    assert_eq!(back.form(FORM)["c0.p.face_width_m"], "20");
    assert_eq!(back.count("input[type=hidden][name='c0.p.face_width_m']"), 0);
}

#[tokio::test(flavor = "multi_thread")]
async fn without_the_token_or_by_get_nothing_is_written() {
    let pages = Pages::with(StartWith::Nothing).await;
    let mut fields = filled(&pages).await;
    set(&mut fields, "do", "save");
    assert_eq!(
        pages
            .get(&format!("/machines/new?{}", encoded(&fields)))
            .await
            .status,
        200
    );
    set(&mut fields, "token", "0000");
    assert_eq!(pages.post("/machines/new", &fields).await.status, 403);
    fields.remove("token");
    assert_eq!(pages.post("/machines/new", &fields).await.status, 403);
    assert_eq!(pages.app.machines().await.unwrap().len(), 0);
    let pages = Pages::with(StartWith::Demo).await;
    let place = "/trials/pitch-drive-full/machine";
    let adopt = Fields::from([("version".into(), "1".into()), ("reason".into(), "x".into())]);
    assert_eq!(pages.post(place, &adopt).await.status, 403);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_change_is_a_new_version_that_says_what_differs() {
    let pages = saved().await;
    let nothing = second_version(&pages, "milling-table", |_| {}).await;
    assert_eq!(nothing.status, 422);
    assert!(
        nothing
            .text("#f-change-fault")
            .contains("nothing differs from version 1")
    );
    let no_reason = second_version(&pages, "milling-table", |fields| {
        set(fields, "c0.p.load_n.hi", "300 kgf");
        set(fields, "change", " ");
    });
    assert!(
        no_reason
            .await
            .text("#f-change-fault")
            .contains("what is changed and why")
    );
    let done = second_version(&pages, "milling-table", |fields| {
        // The form stands in newton: both ends are typed anew.
        set(fields, "c0.p.load_n.lo", "1000");
        set(fields, "c0.p.load_n.hi", "3 kN");
    });
    // A unit at one end only is not guessed at the other.
    let done = done.await;
    assert_eq!(done.status, 422);
    assert!(
        done.text("#f-c0-p-load-n-lo-fault")
            .contains("write the unit in both"),
        "{}",
        done.body
    );
    let done = second_version(&pages, "milling-table", |fields| {
        set(fields, "c0.p.load_n.lo", "1000 N");
        set(fields, "c0.p.load_n.hi", "3000 N");
    });
    assert_eq!(done.await.status, 303);
    let page = pages.get("/machines/milling-table").await;
    assert_eq!(page.count("[data-version]"), 2);
    let change = page.text("[data-version='2'] [data-changes] tbody tr");
    for words in ["way: Load", "980.665 to 1961.33 N", "1000 to 3000 N"] {
        assert!(change.contains(words), "{change}");
    }
    assert!(
        page.text("[data-version='2']")
            .contains("measured on the machine")
    );
    let old = pages.get("/machines/milling-table?version=1").await;
    assert_eq!(old.count("[data-old-version]"), 1);
    assert!(
        old.text("[data-term='pressure'] dd")
            .contains("0.049 to 0.0981 MPa")
    );
    assert_eq!(pages.get("/machines/milling-table?version=3").await.status, 404);
    assert_eq!(pages.get("/machines/milling-table?version=x").await.status, 404);
    let stale = pages.get("/machines/milling-table/edit").await.form(FORM);
    let mut first = stale.clone();
    set(&mut first, "c0.share", "100");
    set(&mut first, "after", "1");
    set(&mut first, "change", "late");
    set(&mut first, "note", "other");
    set(&mut first, "do", "save");
    let late = pages.post("/machines/milling-table/edit", &first).await;
    assert_eq!(late.status, 409);
    assert!(
        late.text("[data-problem]")
            .contains("newest version of milling-table is 2")
    );
    assert_eq!(pages.app.check().await.unwrap(), []);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_trial_keeps_its_version_until_another_one_is_adopted_with_a_reason() {
    let pages = Pages::with(StartWith::Demo).await;
    let trial = "/api/trials/pitch-drive-full";
    let standing = format!("{trial}/standing?draws=400");
    let before = pages.json(&standing).await;
    assert_eq!(
        pages
            .get("/trials/pitch-drive-full")
            .await
            .count("[data-newer-machine]"),
        0
    );
    let done = second_version(&pages, "tidal-pitch-drive", |fields| {
        set(fields, "c0.p.pinion_rpm.lo", "150");
        set(fields, "c0.p.pinion_rpm.hi", "400");
    });
    assert_eq!(done.await.status, 303);
    assert_eq!(
        pages.json(&standing).await["tests"],
        before["tests"],
        "judged as before"
    );
    let json = pages.json(trial).await;
    assert_eq!(
        (&json["machine_version"], &json["newest_machine_version"]),
        (&1.into(), &2.into())
    );
    let page = pages.get("/trials/pitch-drive-full").await;
    assert_eq!(page.count("[data-newer-machine]"), 1);
    let machine = pages.get("/machines/tidal-pitch-drive").await;
    let judged = |version: u32| machine.text(&format!("[data-version='{version}']"));
    assert!(
        judged(1).contains("Pitch drive: gear oil under sea water"),
        "{}",
        judged(1)
    );
    assert!(judged(2).contains("No trial is judged with it"));

    let place = "/trials/pitch-drive-full/machine";
    let offer = pages.get(place).await;
    assert!(
        offer
            .text("[data-offer='2'] [data-changes]")
            .contains("Pinion speed")
    );
    let mut fields = offer.form("[data-adopt-form]");
    let refused = pages.post(place, &fields).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text("#f-reason-fault").contains("say why"));
    set(&mut fields, "reason", "the duty was measured");
    set(&mut fields, "version", "7");
    assert_eq!(pages.post(place, &fields).await.status, 422);
    set(&mut fields, "version", "2");
    assert_eq!(pages.post(place, &fields).await.status, 303);
    let json = pages.json(trial).await;
    assert_eq!(json["machine_version"], 2);
    assert_eq!(json["machine_adoptions"][0]["reason"], "the duty was measured");
    assert_ne!(
        pages.json(&standing).await["tests"],
        before["tests"],
        "judged anew"
    );
    assert_eq!(
        pages
            .get("/trials/pitch-drive-full")
            .await
            .count("[data-newer-machine]"),
        0
    );
    assert_eq!(pages.get(place).await.count("[data-step='2']"), 1);
    assert_eq!(pages.app.check().await.unwrap(), []);
}

#[tokio::test(flavor = "multi_thread")]
async fn versions_and_adoptions_go_out_as_a_folder_and_come_back_equal() {
    let pages = Pages::with(StartWith::Demo).await;
    let done = second_version(&pages, "lock-gate-winch", |fields| {
        set(fields, "note", "Invented. Other winch.")
    });
    assert_eq!(done.await.status, 303);
    let trial = TrialSlug::new("lock-gate-worm-gear").unwrap();
    pages.app.adopt_version(&trial, 2, "other winch").await.unwrap();
    pages.app.export(&pages.path("out")).await.unwrap();
    let other = App::create(&pages.path("b.db"), StartWith::Nothing)
        .await
        .unwrap();
    other.load(&pages.path("out")).await.unwrap();
    assert_eq!(other.archive().await.unwrap(), pages.app.archive().await.unwrap());
    let again = other.load(&pages.path("out")).await.unwrap();
    assert_eq!(again.added.new_records(), 0);
    // A trial that went over to another version still equals the row from which it came.
    let demo = std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data"));
    assert_eq!(other.load(demo).await.unwrap().added.new_records(), 0);
    let winch = MachineSlug::new("lock-gate-winch").unwrap();
    assert_eq!(other.machine_versions(&winch).await.unwrap().len(), 2);
    // An archive from before takes the later history in.
    let early = App::create(&pages.path("c.db"), StartWith::Demo).await.unwrap();
    let added = early.load(&pages.path("out")).await.unwrap().added;
    let counts: Vec<_> = added.counts().filter(|(_, count)| count.new > 0).collect();
    let kinds: Vec<&str> = counts.iter().map(|(kind, _)| *kind).collect();
    assert_eq!(kinds, ["machine", "machine adoption"]);
    assert_eq!(early.records(&trial).await.unwrap().machine.version, 2);
    assert_eq!(early.check().await.unwrap(), []);
}
