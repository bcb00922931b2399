use super::*;
use crate::prose::standing::short_name;
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
    let html = WeightsPage::new(&view).render().unwrap();
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
fn a_test_is_one_row_that_opens_on_its_eleven_terms_beside_each_contact() {
    let (html, page) = page(view(Vec::new()));
    let row = "[data-test='rb_oil/roller_wear']";
    assert_eq!(count(&page, "[data-test]"), 10);
    assert_eq!(count(&page, &format!("{row} > summary")), 1);
    assert_eq!(count(&page, &format!("{row}[open]")), 0);
    let told = |contact: usize| {
        let block = format!("{row} .terms > div:nth-of-type({contact})");
        let others = text(&page, &format!("{block} [data-alike]"));
        let listed = |kind: &str| {
            let list = others.split(". ").find_map(|part| part.strip_prefix(kind));
            list.map_or(0, |terms| terms.split(", ").count())
        };
        count(&page, &format!("{block} tbody tr")) + listed("Alike: ") + listed("Left out: ")
    };
    assert_eq!(told(1), 11, "{}", text(&page, row));
    // All first-order terms of the sample are 0.81 alike: F is the first of them.
    let first = text(&page, &format!("{row} [data-alike]"));
    assert!(first.contains("maximum pressure, 0.81"), "{first}");
    assert!(text(&page, &format!("{row} [data-held-back]")).contains("maximum pressure: "));
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
fn the_heaviest_test_is_the_answer_and_comes_first() {
    let (_, page) = page(view(Vec::new()));
    let answer = text(&page, "[data-answer]");
    let heaviest = text(&page, "[data-weights] > details [data-share]");
    assert!(
        answer.ends_with(&format!("counts most: {heaviest} of the weight")),
        "{answer}"
    );
    let shares: Vec<f64> = page
        .select(&Selector::parse("[data-weights] > details [data-share]").unwrap())
        .map(|share| share.text().collect::<String>())
        .map(|share| share.trim_end_matches(" %").parse().unwrap_or(0.0))
        .collect();
    assert!(
        shares.len() > 2 && shares.is_sorted_by(|a, b| a >= b),
        "{shares:?}"
    );
    // a test that is not weighed stands apart, with its reason
    assert!(count(&page, "[data-not-weighed] [data-why-not]") > 0);
    assert_eq!(count(&page, "[data-weights] [data-why-not]"), 0);
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

#[test]
fn the_answer_names_who_counts_most_all_who_do_or_nobody() {
    let mut standing = Sample::default().comparison().standing;
    let weigh = |standing: &mut crate::standing::Standing, weights: &[f64]| {
        let given = weights.iter().copied().chain(std::iter::repeat(0.0));
        let tests = standing.tests.iter_mut().zip(given);
        tests.for_each(|(test, weight)| test.weight = weight);
    };
    let name = |standing: &crate::standing::Standing, at: usize| short_name(standing, &standing.tests[at]);
    let shown = crate::units::DisplayPreferences::default();
    weigh(&mut standing, &[]);
    assert_eq!(counts_most(&standing), "No test is weighed");
    assert_eq!(from_alike(&standing, shown), "");
    weigh(&mut standing, &[0.2]);
    assert_eq!(
        counts_most(&standing),
        format!("{} alone is weighed", name(&standing, 0))
    );
    weigh(&mut standing, &[0.2, 0.3]);
    assert_eq!(
        counts_most(&standing),
        format!("{} counts most: 60 % of the weight", name(&standing, 1))
    );
    weigh(&mut standing, &[0.25, 0.25]);
    let [one, other] = [0, 1].map(|at| name(&standing, at));
    assert_eq!(
        counts_most(&standing),
        format!("{one} and {other} count most: 50 % of the weight each")
    );
    standing.tests[0].resemblance_best = Some(0.399);
    standing.tests[1].resemblance_best = Some(0.4);
    standing.tests[0].extreme = true;
    standing.tests[1].extreme = false;
    assert_eq!(
        from_alike(&standing, shown),
        "Tests that resemble the machine at 0.40 or more carry 50 % of the weight, screens beyond its conditions 50 %."
    );
}
