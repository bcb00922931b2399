//! Pages and JSON of machines, blends and rigs.

use crate::pages::Pages;
use likewear::facade::app::StartWith;
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions};

/// As a page prints a position or score.
fn shown(number: f64) -> String {
    let text = format!("{number:.2}");
    if text == "-0.00" {
        "0.00".to_string()
    } else {
        text.replace('-', "\u{2212}")
    }
}

pub(crate) async fn change(bench: &Pages, sql: &str) {
    let mut connection = SqliteConnectOptions::new()
        .filename(bench.path("a.db"))
        .connect()
        .await
        .unwrap();
    sqlx::query(AssertSqlSafe(sql.to_string()))
        .execute(&mut connection)
        .await
        .unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn a_machine_ranks_every_method_by_resemblance_and_page_and_json_agree() {
    let bench = Pages::with(StartWith::Demo).await;
    let list = bench.get("/machines").await;
    let machines = bench.json("/api/machines").await;
    assert_eq!(
        list.values_of("[data-machine]", "data-machine").len(),
        machines["total"].as_u64().unwrap() as usize
    );
    for machine in list.values_of("[data-machine]", "data-machine") {
        let page = bench.get(&format!("/machines/{machine}")).await;
        let json = bench.json(&format!("/api/machines/{machine}")).await;
        let contacts = json["contacts"].as_array().unwrap();
        assert_eq!(
            page.values_of("[data-contact]", "data-contact").len(),
            contacts.len()
        );
        assert_eq!(page.count("[data-caution]"), 1, "{machine}");
        let main = page.body.find("<main").unwrap();
        let caution = page.body[main..].find("data-caution").unwrap();
        assert!(
            caution < page.body[main..].find("data-contact").unwrap(),
            "the caution comes first"
        );
        for contact in contacts {
            let name = contact["contact"].as_str().unwrap();
            let of = |rest: &str| format!("[data-contact='{name}'] {rest}");
            assert_eq!(page.count(&of("[data-term]")), 11, "{name}");
            let values: Vec<f64> = contact["methods"]
                .as_array()
                .unwrap()
                .iter()
                .map(|line| line["resemblance"].as_f64().unwrap_or(-1.0))
                .collect();
            assert!(values.len() >= 40, "{} quantities", values.len());
            assert!(values.is_sorted_by(|a, b| a >= b), "{name}: {values:?}");
            let printed = page.values_of(&of("tr[data-key]"), "data-resemblance");
            let expected: Vec<String> = values
                .iter()
                .map(|value| {
                    if *value < 0.0 {
                        "unknown".to_string()
                    } else {
                        shown(*value)
                    }
                })
                .collect();
            assert_eq!(printed, expected, "{name}");
            let extreme = contact["methods"].as_array().unwrap().iter();
            let extreme = extreme.filter(|line| line["extreme"] == true).count();
            assert_eq!(page.count(&of("tr[data-extreme]")), extreme);
        }
    }
    let pitch = bench.get("/machines/tidal-pitch-drive").await;
    let pressure = pitch.texts("[data-contact='planet and sun mesh'] [data-term='pressure'] dd");
    assert_eq!(pressure, ["0.699 to 1.41 GPa; mean 0.549 to 1.1 GPa"]);
    assert!(pitch.count("[data-trial='/trials/pitch-drive-full']") == 1);
}

/// Stages of the demo's results file; 80 + (0.23 + 0.3) 3.726 stage^2 for an oil of 100 mm2/s at 40 °C is the integral
/// method's temperature, hardly moved by another viscosity.
#[tokio::test(flavor = "multi_thread")]
async fn a_machine_with_gears_shows_what_the_scuffing_rig_says_of_its_blends_and_others_show_nothing() {
    let bench = Pages::with(StartWith::Demo).await;
    let (page, json) = (
        bench.get("/machines/tidal-pitch-drive").await,
        bench.json("/api/machines/tidal-pitch-drive").await,
    );
    let lines = json["scuffing"].as_array().unwrap();
    assert_eq!(page.count("[data-scuffing] tr[data-blend]"), lines.len());
    let of = |blend: &str| lines.iter().find(|line| line["blend"] == blend).unwrap();
    let poor = of("REF-L");
    assert_eq!(
        (poor["runs"].as_u64(), poor["stage"].as_f64()),
        (Some(6), Some(7.0))
    );
    assert_eq!(poor["stage_was_passed"], false);
    let integral = poor["integral_method"]["at_stage_c"].as_f64().unwrap();
    assert!(
        (integral - (80.0 + 0.53 * 3.726 * 49.0)).abs() < 2.0,
        "{integral}"
    );
    let passed = &of("T-01")["flash_method"];
    assert_eq!(passed["is_at_least"], true);
    assert!(passed["two_stages_above_c"].is_null());
    let cells = page.texts("[data-scuffing] tr[data-blend='T-01'] td");
    assert_eq!(cells[1], "> 12");
    assert!(
        cells[2].starts_with("at least ") && cells[2].ends_with("and up)"),
        "{cells:?}"
    );
    assert!(page.texts("[data-scuffing] p")[0].contains("not a rating"));
    assert_eq!(
        bench
            .get("/machines/lock-gate-winch")
            .await
            .count("[data-scuffing]"),
        0
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_machine_without_a_trial_says_which_oil_its_films_are_of() {
    let bench = Pages::with(StartWith::Demo).await;
    let named = bench.json("/api/machines/tidal-pitch-drive").await;
    assert_eq!(named["film_oil"]["blend"], "REF-H");
    let said = bench.get("/machines/tidal-pitch-drive").await.text("[data-oil]");
    let slug = named["film_oil"]["trial"].as_str().unwrap();
    let title = bench.json(&format!("/api/trials/{slug}")).await["title"].clone();
    assert!(
        said.contains(title.as_str().unwrap()) && !said.contains(slug),
        "a trial is named by its title: {said}"
    );
    change(
        &bench,
        "INSERT INTO machines (machine, name, kind, note, caution) VALUES ('press', 'New', 'press', '', '')",
    )
    .await;
    change(
        &bench,
        "INSERT INTO machine_versions (machine, version, name, kind, note, caution, change_note, entered_at) \
         VALUES ('press', 1, 'New', 'press', '', '', '', '')",
    )
    .await;
    let usual = bench.json("/api/machines/press").await;
    assert!(usual["film_oil"]["blend"].is_null());
    assert_eq!(bench.get("/machines/press").await.status, 200);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_blend_shows_its_composition_and_where_its_family_is_heading() {
    let bench = Pages::with(StartWith::Demo).await;
    let (page, json) = (
        bench.get("/blends/T-02").await,
        bench.json("/api/blends/T-02").await,
    );
    assert_eq!(page.texts("[data-sum]"), ["100.00"]);
    assert_eq!(page.count("[data-sum-off]"), 0);
    assert_eq!(
        page.count("[data-composition] tbody tr"),
        json["composition"].as_array().unwrap().len()
    );
    let index = json["viscosity_index"].as_f64().unwrap();
    assert_eq!(page.texts("[data-fact='vi'] dd"), [format!("{index:.0}")]);
    assert_eq!(
        page.values_of("[data-member]", "data-member"),
        ["T-01", "T-02", "T-03", "T-04", "T-05"]
    );
    assert_eq!(
        page.values_of("[data-member]", "data-kin"),
        ["ancestor", "this blend", "descendant", "descendant", "descendant"]
    );
    let trajectories = json["trajectories"].as_array().unwrap();
    assert_eq!(page.count("[data-trajectory]"), trajectories.len());
    assert!(trajectories.len() >= 8);
    for one in trajectories {
        let (trial, key) = (one["trial"].as_str().unwrap(), one["key"].as_str().unwrap());
        let of = format!("[data-trajectory='{key}'][data-trial='{trial}'] tr[data-stop]");
        let printed = page.values_of(&of, "data-position");
        let members = one["members"].as_array().unwrap();
        let expected: Vec<String> = members
            .iter()
            .map(|member| shown(member["position"]["mean"].as_f64().unwrap()))
            .collect();
        assert_eq!(printed, expected, "{trial} {key}");
        let band = one["band"].as_f64();
        for step in one["steps"].as_array().unwrap() {
            let moved = step["moved"].as_f64().unwrap().abs();
            match step["sight"].as_str().unwrap() {
                "larger" => assert!(moved > band.unwrap(), "{key}"),
                "too small" => assert!(moved <= band.unwrap(), "{key}"),
                "precision unknown" => assert_eq!(band, None),
                sight => assert_eq!(sight, "both beyond the scale"),
            }
        }
    }
    let first = trajectories
        .iter()
        .flat_map(|one| one["steps"].as_array().unwrap());
    let step = first
        .clone()
        .find(|step| step["from"] == "T-01" && step["to"] == "T-02")
        .unwrap();
    let active = step["changes"].as_array().unwrap().iter();
    let active = active
        .clone()
        .find(|change| change["component"] == "sulfurised olefin, active")
        .unwrap();
    assert_eq!(
        (active["from_wt_pct"].as_f64(), active["to_wt_pct"].as_f64()),
        (Some(2.0), Some(0.8))
    );
    assert!(
        page.values_of("svg[role='img']", "aria-label")
            .iter()
            .all(|label| !label.is_empty())
    );
    assert_eq!(page.values_of("[data-trials] li", "data-role"), ["candidate"]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_blend_says_what_became_of_it_and_which_requirements_it_failed() {
    let bench = Pages::with(StartWith::Demo).await;
    let outcome = |page: &crate::pages::Page, trial: &str| page.text(&format!("[data-outcome-in='{trial}']"));
    let full = "pitch-drive-full";
    let standing = bench.json(&format!("/api/trials/{full}/standing")).await;
    for candidate in standing["candidates"].as_array().unwrap() {
        let code = candidate["blend"].as_str().unwrap();
        let page = bench.get(&format!("/blends/{code}")).await;
        let said = outcome(&page, full);
        let failed = page.count("[data-requirement='fail']");
        if standing["leader"] == code {
            assert!(said.starts_with("leads: comes first in 9"), "{said}");
        } else if candidate["out"].is_null() {
            assert!(said.ends_with("T-03 leads"), "{code}: {said}");
        } else {
            assert!(said.starts_with("rejected: "), "{code}: {said}");
            assert!(failed > 0 && page.count("#requirements[open]") == 1, "{code}");
            continue;
        }
        assert_eq!((failed, page.count("#requirements[open]")), (0, 0), "{code}");
    }
    let dropped = bench.get("/blends/T-11").await;
    assert!(outcome(&dropped, full).contains("tarnish class 3b (limit ≤ 1b)"));
    assert!(dropped.text("[data-requirement='fail']").contains("≤ 1b"));
    assert!(dropped.text("[data-decided]").contains("Drop T-11"));
    let against = bench.get("/blends/T-03").await;
    assert!(outcome(&against, "pitch-drive-defoamer-check").contains("held against"));
    let other = bench.get("/blends/T-04").await;
    let said = outcome(&other, "pitch-drive-defoamer-check");
    assert!(said.contains("T-03"), "{said}");
    let reference = bench.get("/blends/REF-H").await;
    assert_eq!(
        reference.count("[data-outcome-in]"),
        0,
        "no candidate, no outcome"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn the_position_of_a_member_is_the_one_of_its_trial() {
    let bench = Pages::with(StartWith::Demo).await;
    let blend = bench.json("/api/blends/T-01").await;
    let standing = bench.json("/api/trials/pitch-drive-full/standing").await;
    let mut seen = 0;
    for one in blend["trajectories"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| one["trial"] == "pitch-drive-full")
    {
        let test = standing["tests"]
            .as_array()
            .unwrap()
            .iter()
            .find(|test| test["key"] == one["key"])
            .unwrap();
        for member in one["members"].as_array().unwrap() {
            let estimate = &test["estimates"][member["blend"].as_str().unwrap()];
            assert_eq!(member["estimate"]["value"], estimate["value"], "{}", one["key"]);
            seen += 1;
        }
    }
    assert!(seen >= 10, "{seen}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_sum_that_is_not_a_hundred_and_a_circle_in_the_family_are_said() {
    let bench = Pages::with(StartWith::Demo).await;
    change(
        &bench,
        "UPDATE blend_components SET wt_pct = wt_pct - 0.6 WHERE blend = 'T-01' AND wt_pct > 50",
    )
    .await;
    change(&bench, "UPDATE blends SET parent = 'T-04' WHERE blend = 'T-01'").await;
    let (page, json) = (
        bench.get("/blends/T-01").await,
        bench.json("/api/blends/T-01").await,
    );
    assert_eq!(page.status, 200);
    assert_eq!(page.count("[data-sum-off]"), 1);
    assert_eq!(page.texts("[data-sum]"), ["99.40"]);
    assert_eq!(page.count("[data-goes-round]"), 1);
    assert_eq!(json["family_goes_round"], true);
    assert_eq!(json["family"].as_array().unwrap().len(), 5);
}

#[tokio::test(flavor = "multi_thread")]
async fn blends_are_listed_and_found_by_words() {
    let bench = Pages::with(StartWith::Demo).await;
    let all = bench.json("/api/blends").await;
    assert_eq!(
        bench.get("/blends").await.count("tr[data-blend]"),
        all["total"].as_u64().unwrap() as usize
    );
    let found = bench.get("/blends?q=borate%20mineral").await;
    assert_eq!(found.values_of("tr[data-blend]", "data-blend"), ["T-12"]);
    assert_eq!(
        bench.get("/blends?q=nothing-of-that").await.count("[data-empty]"),
        1
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_rig_shows_the_chart_of_its_reference_oil_and_page_and_json_agree() {
    let bench = Pages::with(StartWith::Demo).await;
    let rigs = bench.json("/api/rigs").await;
    assert_eq!(
        bench.get("/rigs").await.count("tr[data-rig]"),
        rigs["total"].as_u64().unwrap() as usize
    );
    let mut charts = 0;
    for rig in rigs["rigs"].as_array().unwrap() {
        let id = rig["rig"].as_str().unwrap();
        let (page, json) = (
            bench.get(&format!("/rigs/{id}")).await,
            bench.json(&format!("/api/rigs/{id}")).await,
        );
        assert_eq!(page.status, 200, "{id}");
        for quantity in json["quantities"].as_array().unwrap() {
            let key = quantity["key"].as_str().unwrap();
            let of = |rest: &str| format!("[data-chart='{key}'] {rest}");
            let chart = &quantity["chart"];
            if chart.is_null() {
                assert_eq!(
                    page.count(&format!("[data-not-charted] [data-key='{key}']")),
                    1,
                    "{id} {key}"
                );
                continue;
            }
            charts += 1;
            let points = chart["points"].as_array().unwrap();
            assert_eq!(page.count(&of("[data-points] tbody tr")), points.len());
            let fired = points
                .iter()
                .filter(|point| !point["signals"].as_array().unwrap().is_empty());
            assert_eq!(page.count(&of("[data-signal]")), fired.count());
            assert_eq!(
                page.count(&of("[data-marked] tbody tr")),
                quantity["in_doubt"].as_array().unwrap().len()
            );
            assert_eq!(
                page.count(&of("[data-provisional]")),
                usize::from(chart["provisional"] == true)
            );
            let changes = chart["level_changed_on"].as_array().unwrap().len();
            assert_eq!(page.count(&of("[data-cuts]")), usize::from(changes > 0));
            let finding = page.text(&of("[data-finding]"));
            if chart["too_few_runs"] == true {
                assert!(chart["lower"].is_null());
                assert!(
                    changes > 0 || finding.contains("too few runs to warn"),
                    "{finding}"
                );
            } else {
                assert!(chart["lower"].as_f64().unwrap() < chart["centre"].as_f64().unwrap());
                assert!(!finding.contains("too few"), "{finding}");
            }
        }
    }
    assert!(charts >= 2, "{charts}");
}

#[tokio::test(flavor = "multi_thread")]
async fn another_level_puts_the_candidates_since_in_doubt_and_a_single_reading_does_not() {
    let bench = Pages::with(StartWith::Demo).await;
    let insert = |blend: &str, day: u32, value: f64| {
        format!(
            "INSERT INTO results (trial, blend, method, quantity, value_kind, value_lo, value_hi, off_ladder, \
             value_as_written, unit_as_written, rig, run_on, replicate, campaign, conditions, purpose, status, reason, \
             source, note, origin, entered_at) VALUES ('pitch-drive-full', '{blend}', 'fb_wear_oil_B', 'scar', 'exact', \
             {value}, {value}, 0, '{value}', 'mm', 'FB-2', '2026-03-{day:02}', 9, '', '', 'test', 'valid', '', \
             'measured', '', '', '2026-04-01T00:00:00Z')"
        )
    };
    for (blend, day, value) in [("REF-M", 1, 0.95), ("T-03", 10, 0.4)] {
        change(&bench, &insert(blend, day, value)).await;
    }
    let once = bench.get("/rigs/FB-2").await;
    assert!(once.count("[data-chart='fb_wear_oil_B/scar'] [data-alarm]") >= 1);
    assert_eq!(once.count("[data-chart='fb_wear_oil_B/scar'] [data-marked]"), 0);
    for (day, value) in [(4, 0.97), (7, 0.92), (20, 0.96)] {
        change(&bench, &insert("REF-M", day, value)).await;
    }
    let page = bench.get("/rigs/FB-2").await;
    let links = page.values_of(
        "[data-chart='fb_wear_oil_B/scar'] [data-marked] tbody td a",
        "href",
    );
    assert!(
        links.contains(&"/trials/pitch-drive-full".to_string()),
        "{links:?}"
    );
    let named = page.texts("[data-chart='fb_wear_oil_B/scar'] [data-marked] tbody td a");
    assert!(
        named.contains(&"Pitch drive: gear oil under sea water, full programme".to_string()),
        "a trial is named by its title: {named:?}"
    );
    assert!(page.body.contains("the level changed on 1 March 2026"));
}

#[tokio::test]
async fn the_owner_of_a_rig_states_when_it_was_in_order() {
    let bench = Pages::with(StartWith::Demo).await;
    let place = "/rigs/LO-1/base";
    let form = |from: &'static str, to: &'static str| [("base_from", from), ("base_to", to)];
    assert_eq!(
        bench.form(place, &form("2024-04-01", "2024-09-30")).await.status,
        403
    );
    let token = bench.token().await;
    let with_token = |from: &'static str, to: &'static str| {
        let mut fields = form(from, to).to_vec();
        fields.push(("token", token.as_str()));
        fields
    };
    for (from, to, words) in [
        ("2024-04-01", "", "write both"),
        ("", "2024-04-01", "write both"),
        ("2024-04-01", "2024-03-31", "lies before the first day"),
        ("2024-02-30", "2024-03-31", "is not a day"),
        ("soon", "2024-03-31", "'soon' is not a date"),
        ("<b>", "2024-03-31", "is not a date"),
    ] {
        let refused = bench.form(place, &with_token(from, to)).await;
        assert_eq!(refused.status, 422, "{from} {to}");
        assert!(
            refused.text(".fault").contains(words),
            "{}",
            refused.text(".fault")
        );
        assert_eq!(refused.value("input[name=base_from]"), from);
    }
    assert!(bench.json("/api/rigs/LO-1").await["base_from"].is_null());
    let kept = bench.form(place, &with_token("2024-04-01", "2024-09-30")).await;
    assert_eq!(kept.status, 303);
    let page = bench.get("/rigs/LO-1").await;
    assert_eq!(page.value("input[name=base_to]"), "2024-09-30");
    assert_eq!(bench.json("/api/rigs/LO-1").await["base_from"], "2024-04-01");
    let emptied = bench.form(place, &with_token("", "")).await;
    assert_eq!(emptied.status, 303);
    assert!(bench.json("/api/rigs/LO-1").await["base_from"].is_null());
    let unknown = bench.form("/rigs/LO-9/base", &with_token("", "")).await;
    assert_eq!(unknown.status, 404);
}

/// Twelve runs of the reference oil of LO-2 are steady; the six that follow drift.
#[tokio::test]
async fn the_good_period_of_a_drifting_rig_is_quiet() {
    let bench = Pages::with(StartWith::Demo).await;
    let rig = bench.json("/api/rigs/LO-2").await;
    assert_eq!(rig["base_from"], "2024-04-08");
    let chart = &rig["quantities"][0]["chart"];
    let points = chart["points"].as_array().unwrap();
    assert_eq!(points.len(), 18);
    for (place, point) in points.iter().enumerate() {
        let is_silent = point["signals"].as_array().unwrap().is_empty();
        assert_eq!(is_silent, place < 12, "{point}");
    }
    assert_eq!(chart["level_changed_on"], serde_json::json!(["2025-03-10"]));
    assert_eq!(chart["out_of_control"][0]["after"], "2025-02-10");
    assert!(chart["out_of_control"][0]["until"].is_null());
    let in_doubt = rig["quantities"][0]["in_doubt"].as_array().unwrap();
    assert!(!in_doubt.is_empty() && in_doubt.iter().all(|one| one["blend"] == "T-03"));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_name_that_is_not_there_is_not_found_and_an_empty_file_says_so() {
    let bench = Pages::with(StartWith::Nothing).await;
    for noun in ["machines", "blends", "rigs"] {
        for path in [
            format!("/{noun}/none"),
            format!("/{noun}/%FF"),
            format!("/{noun}/%20"),
            format!("/api/{noun}/none"),
        ] {
            assert_eq!(bench.get(&path).await.status, 404, "{path}");
        }
        let list = bench.get(&format!("/{noun}")).await;
        assert_eq!((list.status, list.count("[data-empty]")), (200, 1), "{noun}");
        assert_eq!(bench.json(&format!("/api/{noun}")).await["total"], 0);
    }
}

/// A section where the geometry is known, and an area always; both told to those who hear the page.
#[tokio::test(flavor = "multi_thread")]
async fn every_contact_of_a_method_and_of_a_machine_is_drawn_with_its_numbers() {
    let bench = Pages::with(StartWith::Demo).await;
    let methods = bench.json("/api/methods").await;
    for id in methods["methods"].as_array().unwrap() {
        let id = id["method"].as_str().unwrap();
        let page = bench.get(&format!("/methods/{id}")).await;
        let contacts = page.count(".contact-block");
        assert_eq!(page.count(".contact-block [data-drawing]"), contacts, "{id}");
        assert_eq!(page.count(".contact-block [data-drawn]"), contacts, "{id}");
        assert!(page.count(".drawings figure svg") >= 1, "{id}");
    }
    for machine in bench
        .get("/machines")
        .await
        .values_of("[data-machine]", "data-machine")
    {
        let page = bench.get(&format!("/machines/{machine}")).await;
        let contacts = page.count("[data-contact]");
        assert_eq!(page.count("[data-contact] [data-drawing]"), contacts, "{machine}");
        let unheard = page.count("[data-drawing] svg") - page.count("[data-drawing] svg[role='img']");
        assert_eq!(unheard, 0, "{machine}");
    }
}
