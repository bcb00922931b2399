//! The two viscosities of a grease's base oil: typed, shown, exported, and those by which its film is computed.

use crate::folder::{accepted, faults, files, only_fault, with};
use crate::pages::{Pages, set};
use likewear::facade::app::{App, StartWith};
use likewear::facade::records::{BlendKind, Trial};

const BLEND: &str = "[data-blend-form]";

#[tokio::test(flavor = "multi_thread")]
async fn a_base_oil_has_both_viscosities_in_the_form_on_its_page_in_json_and_in_a_folder() {
    let pages = Pages::with(StartWith::Nothing).await;
    let mut fields = pages.get("/blends/new").await.form(BLEND);
    for (name, value) in [
        ("code", "G-1"),
        ("kind", "grease"),
        ("base_oil_kv40", "460"),
        ("base_oil_kv100", "30,5"),
        ("c0.component", "base"),
        ("c0.class", "base stock group I"),
        ("c0.wt_pct", "100"),
        ("do", "save"),
    ] {
        set(&mut fields, name, value);
    }
    let mut bad = fields.clone();
    set(&mut bad, "base_oil_kv100", "0");
    let refused = pages.post("/blends/new", &bad).await;
    assert_eq!(refused.status, 422);
    assert!(!refused.text("#f-base-oil-kv100-fault").is_empty());
    let saved = pages.post("/blends/new", &fields).await;
    assert_eq!(saved.status, 303, "{}", saved.body);
    assert!(
        pages
            .get("/blends/G-1")
            .await
            .body
            .contains("viscosity of the base oil at 100 °C")
    );
    let json = pages.json("/api/blends/G-1").await;
    assert_eq!(json["base_oil_kv100_mm2_s"], 30.5);
    let child = pages.get("/blends/new?from=G-1").await.form(BLEND);
    assert_eq!(child["base_oil_kv100"], "30.5");

    pages.app.export(&pages.path("out")).await.unwrap();
    let other = App::create(&pages.path("b.db"), StartWith::Nothing)
        .await
        .unwrap();
    other.load(&pages.path("out")).await.unwrap();
    assert_eq!(other.archive().await.unwrap(), pages.app.archive().await.unwrap());
}

#[test]
fn a_folder_from_before_the_second_viscosity_is_read_and_a_faulty_one_named() {
    assert_eq!(accepted(&files()).archive.blends[0].base_oil_kv100_mm2_s, None);
    let with_column = |cell: &str| {
        let header = (
            "base_oil_kv40_mm2_s,nlgi",
            "base_oil_kv40_mm2_s,base_oil_kv100_mm2_s,nlgi",
        );
        let mut files = with("blends.csv", header.0, header.1);
        let text = String::from_utf8(files["blends.csv"].clone()).unwrap();
        let text = text.replace("220,19.5,880,,,", &format!("220,19.5,880,,{cell},,"));
        let text = text.replace("218,19,,,,", "218,19,,,,,");
        let text = text.replace("2024-02-01,,,,,,,,", "2024-02-01,,,,,,,,,");
        let text = text.replace("less of the additive,,,,,,", "less of the additive,,,,,,,");
        files.insert("blends.csv".into(), text.into_bytes());
        files
    };
    let sound = accepted(&with_column("30.5")).archive;
    assert_eq!(sound.blends[0].base_oil_kv100_mm2_s, Some(30.5));
    assert_eq!(faults(&with_column("")), Vec::<String>::new());
    assert_eq!(only_fault(&with_column("-1")).column, "base_oil_kv100_mm2_s");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_film_of_a_grease_test_of_the_demo_is_known() {
    let pages = Pages::with(StartWith::Demo).await;
    let archive = pages.app.archive().await.unwrap();
    let greases = archive
        .blends
        .iter()
        .filter(|blend| blend.kind == BlendKind::Grease);
    for blend in greases.clone() {
        let (kv40, kv100) = (blend.base_oil_kv40_mm2_s, blend.base_oil_kv100_mm2_s);
        assert!(kv100.unwrap() < kv40.unwrap(), "{}", blend.code);
    }
    assert!(greases.count() > 0);
    let part = |trial: &&Trial| trial.blends.iter().any(|part| part.blend.as_str() == "REF-GL");
    let trial = archive.trials.iter().find(part).unwrap();
    let standing = pages
        .json(&format!("/api/trials/{}/standing?draws=400", trial.slug))
        .await;
    let tests = standing["tests"].as_array().unwrap();
    let films = tests.iter().flat_map(|test| test["contacts"].as_array().unwrap());
    let mut films = films.flat_map(|contact| contact["terms"].as_array().unwrap());
    assert!(
        films.any(|term| term["term"] == "film_ratio" && term["test"].is_array()),
        "{}",
        trial.slug
    );
}
