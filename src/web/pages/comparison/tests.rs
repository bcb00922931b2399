use super::*;
use crate::standing::{Anchored, NotWeighed, Severity};
use crate::web::pages::comparison::look::Order;
use crate::web::pages::what_if::WhatIfPage;
use crate::web::sample::Sample;
use scraper::{Html, Selector};

fn page(sample: &Sample) -> (String, Html) {
    let html = ComparisonPage::new(&sample.comparison(), &Look::default())
        .render()
        .unwrap();
    let parsed = Html::parse_document(&html);
    (html, parsed)
}

fn count(page: &Html, selector: &str) -> usize {
    page.select(&Selector::parse(selector).unwrap()).count()
}

fn text(page: &Html, selector: &str) -> String {
    let selector = Selector::parse(selector).unwrap();
    let found = page.select(&selector).next();
    found.map(|e| e.text().collect::<String>()).unwrap_or_default()
}

fn samples() -> Vec<(&'static str, Sample)> {
    let usual = Sample::default();
    vec![
        ("six", usual.clone()),
        (
            "two",
            Sample {
                candidates: 2,
                ..usual.clone()
            },
        ),
        (
            "twenty",
            Sample {
                candidates: 20,
                long_names: true,
                ..usual.clone()
            },
        ),
        (
            "none",
            Sample {
                candidates: 0,
                ..usual.clone()
            },
        ),
        (
            "one",
            Sample {
                candidates: 1,
                ..usual.clone()
            },
        ),
        (
            "no-reference",
            Sample {
                anchored: Anchored::None,
                ..usual.clone()
            },
        ),
        (
            "one-reference",
            Sample {
                anchored: Anchored::Good,
                ..usual.clone()
            },
        ),
        (
            "not-run",
            Sample {
                has_run: false,
                ..usual.clone()
            },
        ),
        (
            "capped",
            Sample {
                all_capped: true,
                ..usual.clone()
            },
        ),
        ("asked", Sample { asked: true, ..usual }),
    ]
}

/// With `LIKEWEAR_LOOKS` set to a folder, the pages are written there to be looked at.
#[test]
fn every_sample_makes_a_page_without_numbers_that_are_none() {
    let looks = std::env::var_os("LIKEWEAR_LOOKS");
    for (name, sample) in samples() {
        let (html, parsed) = page(&sample);
        for wrong in [
            "NaN", "inf ", ">inf<", "style=\"", "<script>", "onclick", "Some(", "None",
        ] {
            assert!(!html.contains(wrong), "{name}: {wrong}");
        }
        assert_eq!(count(&parsed, "h1"), 1, "{name}");
        assert_eq!(count(&parsed, "[data-sentence]"), 1, "{name}");
        if let Some(folder) = &looks {
            std::fs::write(std::path::Path::new(folder).join(format!("{name}.html")), &html).unwrap();
        }
    }
}

#[test]
fn every_candidate_stands_in_the_ranking_or_among_those_that_are_out() {
    let (_, page) = page(&Sample::default());
    assert_eq!(count(&page, "[data-candidate-row]"), 5);
    assert_eq!(count(&page, "[data-out='K-06']"), 1);
    assert!(text(&page, "[data-out='K-06']").contains("limit ≤ 1b"));
    assert_eq!(
        text(&page, "[data-candidate-row='K-01'] [data-share]"),
        "71 of 100"
    );
}

#[test]
fn a_test_that_does_not_sort_stands_below_the_line_with_its_reason() {
    let (html, page) = page(&Sample::default());
    let below = html.find("data-below").unwrap();
    assert!(html.find("data-test=\"lo_oil_wear/cof\"").unwrap() > below);
    assert!(html.find("data-test=\"fb_ep_oil/weld\"").unwrap() < below);
    assert!(text(&page, "[data-test='lo_oil_wear/cof'] [data-excluded]").contains("does not sort"));
    assert_eq!(
        count(&page, "[data-test='fb_ep_oil/weld'] [data-flag='extreme']"),
        1
    );
}

#[test]
fn every_strip_has_its_numbers_as_a_table_and_says_what_it_shows() {
    let (_, page) = page(&Sample::default());
    assert_eq!(count(&page, "[data-test]"), 10);
    assert_eq!(count(&page, "[data-test] [data-numbers]"), 10);
    assert_eq!(
        count(
            &page,
            "[data-test] .whole-strip svg[role='img'][aria-label*='from better to worse']"
        ),
        10
    );
    assert_eq!(
        count(&page, "[data-test='rb_oil/roller_wear'] [data-numbers] tbody tr"),
        10
    );
    // The eleven terms stand on the page of the resemblance; here is what they come to, and the way there.
    assert_eq!(
        count(&page, "[data-test='rb_oil/roller_wear'] [data-likeness] li"),
        1
    );
    assert_eq!(
        count(
            &page,
            "[data-test='rb_oil/roller_wear'] a[href='/trials/sample/weights#test-rb_oil-roller_wear']"
        ),
        1
    );
}

#[test]
fn a_cap_reads_as_a_bound_in_the_table() {
    let (_, page) = page(&Sample {
        all_capped: true,
        ..Sample::default()
    });
    let table = text(&page, "[data-test='gear_A8/fail_stage'] [data-numbers]");
    assert!(table.contains("> 12"), "{table}");
    assert_eq!(
        count(&page, "[data-test='gear_A8/fail_stage'] [data-flag='capped']"),
        1
    );
}

#[test]
fn cautions_name_their_severity_in_words_and_lead_to_a_test_that_is_there() {
    let (_, page) = page(&Sample::default());
    assert_eq!(count(&page, "[data-caution]"), 5);
    assert_eq!(text(&page, "[data-severity='stop'] .severity"), "stop");
    let links = Selector::parse("[data-caution] a").unwrap();
    let if_changed = WhatIfPage::new(&Sample::default().comparison(), &Look::default());
    let if_changed = Html::parse_document(&if_changed.render().unwrap());
    for link in page.select(&links) {
        let (path, target) = link.value().attr("href").unwrap().split_once('#').unwrap();
        let page = match path {
            "" => &page,
            "/trials/sample/what-if" => &if_changed,
            other => panic!("{other}"),
        };
        assert_eq!(count(page, &format!("[id='{target}']")), 1, "{target}");
    }
}

#[test]
fn cautions_stand_in_one_list_the_gravest_first_and_none_repeats_why_a_blend_is_rejected() {
    let (_, page) = page(&Sample::default());
    let lines = Selector::parse(".cautions li").unwrap();
    let rank = |word: &str| {
        ["stop", "high", "medium", "note"]
            .iter()
            .position(|known| *known == word)
    };
    let ranks: Vec<_> = page
        .select(&lines)
        .map(|line| rank(line.value().attr("data-severity").unwrap()))
        .collect();
    assert!(ranks.len() > 2 && ranks.is_sorted(), "{ranks:?}");
    assert_eq!(count(&page, "[data-caution='gate-failed']"), 0);
    assert_eq!(count(&page, "[data-out]"), 1);
}

#[test]
fn six_lines_of_cautions_stand_open_and_all_that_are_grave() {
    let lines = |severities: &[Severity]| -> Vec<CautionLine> {
        let line = |severity: &Severity| CautionLine {
            severity: severity.word(),
            line: String::new(),
            more: 0,
            rows: Vec::new(),
        };
        severities.iter().map(line).collect()
    };
    let shown = |severities: &[Severity]| ranking::shown_at_once(&lines(severities));
    assert_eq!(shown(&[Severity::Note; 5]), 5);
    assert_eq!(shown(&[Severity::Note; 6]), 6);
    assert_eq!(shown(&[Severity::Medium; 7]), 6);
    assert_eq!(shown(&[Severity::High; 7]), 7);
    assert_eq!(shown(&[]), 0);
}

#[test]
fn the_first_screen_says_who_leads_how_often_and_what_the_next_step_is() {
    let (_, page) = page(&Sample::default());
    assert!(!text(&page, "h1 [data-leads]").is_empty());
    assert!((1..=3).contains(&count(&page, "[data-fact]")));
    assert_eq!(count(&page, "[data-next-step]"), 1);
    assert_eq!(count(&page, "a.button[href='/trials/sample/decision']"), 1);
    // the same lanes in every row: one drawing a test, and none of it says what the table says
    assert_eq!(
        count(&page, "[data-test] > summary .plot svg[aria-hidden='true']"),
        10
    );
}

#[test]
fn the_runs_are_counted_with_what_became_of_them_and_stand_on_a_page_of_their_own() {
    let (_, page) = page(&Sample::default());
    assert_eq!(
        text(&page, "[data-run-counts]"),
        "61 results were entered; of them 1 corrected by a later entry, 1 void, 1 suspect, 1 from a data sheet."
    );
    assert_eq!(count(&page, "#runs a[href='/trials/sample/results']"), 1);
}

#[test]
fn a_question_is_said_at_the_top_with_before_and_after() {
    let (_, asked) = page(&Sample {
        asked: true,
        ..Sample::default()
    });
    assert_eq!(count(&asked, "[data-what-if] a[href='/trials/sample']"), 1);
    assert!(!text(&asked, "[data-before]").is_empty() && !text(&asked, "[data-after]").is_empty());
    let (_, usual) = page(&Sample::default());
    assert_eq!(count(&usual, "[data-what-if]"), 0);
}

#[test]
fn where_nothing_was_run_the_page_says_so() {
    let (_, page) = page(&Sample {
        has_run: false,
        ..Sample::default()
    });
    assert_eq!(count(&page, "[data-no-runs]"), 1);
    assert_eq!(count(&page, "[data-not-run]"), 10);
    assert_eq!(count(&page, "[data-nothing-weighed]"), 1);
    assert!(text(&page, "[data-sentence]").contains("Nothing has been run yet"));
}

#[test]
fn what_a_record_says_cannot_become_markup() {
    let mut comparison = Sample::default().comparison();
    let poison = "<img src=x onerror=alert(1)>\"'&";
    let records = std::sync::Arc::make_mut(&mut comparison.records);
    records.trial.question = poison.to_string();
    records.trial.title = poison.to_string();
    records.machine.name = poison.to_string();
    comparison.standing.tests[0].label = poison.to_string();
    comparison.standing.tests[0].excluded = Some(NotWeighed::Shown {
        reason: poison.to_string(),
    });
    for blend in &mut records.blends {
        blend.name = poison.to_string();
    }
    let html = ComparisonPage::new(&comparison, &Look::default())
        .render()
        .unwrap();
    assert!(!html.contains("<img"), "markup from a record");
    let page = Html::parse_document(&html);
    assert_eq!(count(&page, "[onerror]"), 0);
}

#[test]
fn headings_come_in_order() {
    let (_, page) = page(&Sample::default());
    let headings = Selector::parse("h1, h2, h3, h4, h5, h6").unwrap();
    let mut last = 0;
    for heading in page.select(&headings) {
        let level: u32 = heading.value().name()[1..].parse().unwrap();
        assert!(level <= last + 1, "h{level} after h{last}");
        last = level;
    }
}

fn looked_at(look: &Look) -> Html {
    let html = ComparisonPage::new(&Sample::default().comparison(), look)
        .render()
        .unwrap();
    Html::parse_document(&html)
}

#[test]
fn every_order_shows_the_same_tests_and_says_which_it_is() {
    for order in [Order::Weight, Order::Stage, Order::Contact] {
        let page = looked_at(&Look {
            order,
            ..Look::default()
        });
        assert_eq!(count(&page, "[data-test]"), 10, "{order:?}");
        assert_eq!(text(&page, "[data-orders] [aria-current]"), order.words());
        assert_eq!(count(&page, "[data-orders] a"), 2);
        assert!(count(&page, "[data-group]") > 0, "{order:?}");
    }
}

#[test]
fn a_candidate_is_lit_by_its_link_alone_and_the_link_puts_it_out_again() {
    let code = BlendCode::new("K-02");
    let page = looked_at(&Look {
        lit: code,
        ..Look::default()
    });
    assert_eq!(count(&page, "[data-lights][data-lit='1']"), 1);
    assert_eq!(
        count(&page, "a.tag[data-code='K-02'][href='/trials/sample#standing']"),
        1
    );
    assert_eq!(
        count(
            &page,
            "a.tag[data-code='K-03'][href='/trials/sample?lit=K-03#standing']"
        ),
        1
    );
    assert_eq!(count(&page, "[data-unlit]"), 1);
    let plain = looked_at(&Look::default());
    assert_eq!(count(&plain, "[data-lit], [data-unlit]"), 0);
}

#[test]
fn on_a_wall_only_the_cautions_that_stop_or_are_high_are_named() {
    let comparison = Sample::default().comparison();
    let html = ProjectedPage::new(&comparison, &Look::default())
        .render()
        .unwrap();
    let page = Html::parse_document(&html);
    let severities = Selector::parse("[data-caution] .severity").unwrap();
    let found: Vec<String> = page.select(&severities).map(|one| one.text().collect()).collect();
    assert!(
        !found.is_empty() && found.iter().all(|word| word == "stop" || word == "high"),
        "{found:?}"
    );
    let said = Selector::parse("[data-caution]").unwrap();
    let mut headings: Vec<String> = page.select(&said).map(|one| one.text().collect()).collect();
    let all = headings.len();
    headings.sort();
    headings.dedup();
    assert_eq!(headings.len(), all, "a heading stands once: {headings:?}");
    assert_eq!(count(&page, "[data-candidate-row]"), 5);
    assert!(!html.contains("style=\"") && !html.contains("NaN"));
    if let Some(folder) = std::env::var_os("LIKEWEAR_LOOKS") {
        std::fs::write(std::path::Path::new(&folder).join("wall.html"), &html).unwrap();
    }
}
