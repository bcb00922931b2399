use super::*;
use crate::records::{BlendCode, Term, TermScale};
use crate::standing::scale_lines;
use crate::standing::{AskedScale, Moved, MovedLine, Sensitivity, Tried};
use crate::web::sample::Sample;
use scraper::{Html, Selector};

fn line(moved: Moved, times: f64, changes: Option<&str>) -> MovedLine {
    let front = changes.unwrap_or("K-01");
    MovedLine {
        tried: Tried {
            term: Term::Pressure,
            moved,
            times,
            from: 3.0,
            to: 3.0 * times,
        },
        front_runner: BlendCode::new(front),
        leader: None,
        p_best: Some(0.71),
        changes_front: changes.is_some(),
        changes_leader: changes.is_some(),
    }
}

fn view(lines: Vec<MovedLine>) -> ResemblanceView {
    let mut comparison = Sample::default().comparison();
    let records = std::sync::Arc::make_mut(&mut comparison.records);
    records.term_scales.push(TermScale {
        trial: records.trial.slug.clone(),
        term: Term::Pressure,
        importance: 5.0,
        halving: Some(3.0),
        reason: "the drive's <pressure> is known well".into(),
        entered_at: "2026-11-24T09:30:00.000Z".into(),
    });
    let asked = AskedScale {
        importance: Some(1.0),
        halving: None,
    };
    comparison.what_if.scales.insert(Term::Sliding, asked);
    ResemblanceView {
        scales: scale_lines(&comparison),
        comparison,
        sensitivity: Arc::new(Sensitivity {
            front_runner: BlendCode::new("K-01"),
            leader: BlendCode::new("K-01"),
            p_best: Some(0.71),
            lines,
        }),
    }
}

fn page(view: ResemblanceView) -> (String, Html) {
    let html = ResemblancePage::new(&view).render().unwrap();
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

#[test]
fn every_test_has_its_eleven_terms_beside_the_machine_and_what_they_come_to() {
    let (html, page) = page(view(Vec::new()));
    assert_eq!(count(&page, "[data-test] [data-all-terms]"), 10);
    assert_eq!(
        count(
            &page,
            "[data-test='rb_oil/roller_wear'] [data-all-terms] tbody tr"
        ),
        11
    );
    let feet = text(&page, "[data-test='rb_oil/roller_wear'] tfoot");
    // All first-order terms that are not left out of the sample are 0.81 alike: F is the first of them.
    assert!(feet.contains("maximum pressure, 0.81"), "{feet}");
    for wrong in [
        "NaN",
        "inf ",
        "style=\"",
        "<script>",
        "Some(",
        "None",
        "<pressure>",
    ] {
        assert!(!html.contains(wrong), "{wrong}");
    }
}

#[test]
fn a_kept_change_shows_its_default_its_reason_and_its_day() {
    let (_, page) = page(view(Vec::new()));
    let row = text(&page, "[data-scale='pressure'] [data-changed]");
    for part in [
        "importance 3, halves at factor 2",
        "is known well",
        "24 November 2026, 09:30 UTC",
    ] {
        assert!(row.contains(part), "{part}: {row}");
    }
    assert_eq!(count(&page, "[data-undo='pressure']"), 1);
    assert_eq!(count(&page, "[data-undo]"), 1);
    assert_eq!(count(&page, "[data-history] tbody tr"), 1);
}

#[test]
fn a_question_is_stated_and_not_kept() {
    let (_, page) = page(view(Vec::new()));
    let asked = text(&page, "[data-asked]");
    assert!(
        asked.contains("Sliding speed importance 1, halves at factor 5 instead of importance 2"),
        "{asked}"
    );
    assert!(asked.contains("Nothing of it is kept"), "{asked}");
    assert_eq!(count(&page, "input[name='importance.sliding'][value='1']"), 1);
    // The form that keeps a change is filled with the one that is asked for.
    assert_eq!(count(&page, "#term option[value='sliding'][selected]"), 1);
    assert_eq!(count(&page, "#importance[value='1']"), 1);
}

#[test]
fn a_change_that_puts_another_blend_in_front_is_named_and_the_others_are_not() {
    let (_, calm) = page(view(vec![line(Moved::Importance, 2.0, None)]));
    assert_eq!(count(&calm, "[data-sensitivity] td.changes"), 0);
    assert!(
        text(&calm, "[data-finding]")
            .starts_with("No single change by a factor of two changes who is in front")
    );
    let lines = vec![
        line(Moved::Importance, 2.0, Some("K-02")),
        line(Moved::Importance, 0.5, None),
        line(Moved::Halving, 2.0, None),
    ];
    let (_, upset) = page(view(lines));
    assert_eq!(count(&upset, "[data-sensitivity] td.changes"), 1);
    assert_eq!(
        text(&upset, "[data-moved='pressure'] [data-front]"),
        "K-02 in front"
    );
    let finding = text(&upset, "[data-finding]");
    assert!(
        finding.starts_with("One of 3 single changes by a factor of two puts another blend in front"),
        "{finding}"
    );
    assert_eq!(count(&upset, "[data-moved='supply'] td.quiet"), 4);
}
