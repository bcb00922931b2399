//! A number from a data sheet, from anywhere: the form, and where it leads.

use crate::pages::Pages;
use likewear::facade::app::StartWith;

#[tokio::test(flavor = "multi_thread")]
async fn a_number_leads_from_the_list_to_its_answer_in_two_steps() {
    let pages = Pages::with(StartWith::Demo).await;
    let list = pages.get("/").await;
    let form = pages.get(&list.values_of("[data-number]", "href")[0]).await;
    assert_eq!((form.status, form.count(".fault")), (200, 0));
    let first = form.values_of("#test optgroup", "label")[0].clone();
    assert_eq!(
        first, "Which gear oil wears the pitch drive least?",
        "an open trial"
    );
    let asked = "/number?value=315%20kgf&test=pitch-drive-full%2Ffb_ep_oil%2Fweld";
    let answer = pages.get(asked).await;
    assert_eq!(answer.status, 303);
    let page = pages.get(answer.location.split('#').next().unwrap()).await;
    assert_eq!(page.status, 200);
    assert!(page.text("[data-held-heading]").contains("315 kgf"));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_missing_is_asked_for_and_what_was_typed_stays() {
    let pages = Pages::with(StartWith::Demo).await;
    for (query, faults) in [
        (
            "value=&test=",
            ["is empty; write the number", "is empty; choose the test"].as_slice(),
        ),
        ("value=315&test=", ["is empty; choose the test"].as_slice()),
        (
            "value=315&test=nowhere%2Fat%2Fall",
            ["'nowhere/at/all' is no test"].as_slice(),
        ),
        (
            "value=&test=pitch-drive-full%2Ffb_ep_oil%2Fweld",
            ["is empty; write the number"].as_slice(),
        ),
    ] {
        let page = pages.get(&format!("/number?{query}")).await;
        assert_eq!(page.status, 422, "{query}");
        let said = page.texts(".fault");
        assert_eq!(said.len(), faults.len(), "{query}: {said:?}");
        for (said, fault) in said.iter().zip(faults) {
            assert!(said.starts_with(fault), "{said}");
        }
        assert_eq!(page.count("[aria-invalid='true']"), faults.len());
        let kept = page.form("[data-number-form]");
        assert_eq!(kept["value"], if query.contains("315") { "315" } else { "" });
    }
    let empty = Pages::with(StartWith::Nothing).await.get("/number").await;
    assert_eq!((empty.status, empty.count("[data-empty]")), (200, 1));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_trial_leads_to_its_own_tests_and_blends_in_one_step() {
    let pages = Pages::with(StartWith::Demo).await;
    let trial = pages.get("/trials/pitch-drive-full/plan").await;
    let form = pages
        .get(&trial.values_of(".trial-bar [data-number]", "href")[0])
        .await;
    assert_eq!((form.status, form.count("#test optgroup")), (200, 1));
    assert_eq!(form.count("#blend option[value='T-03']"), 1);
    assert_eq!(form.count("#blend option[value='G-02']"), 0);
    let asked = "/number?value=315+kgf&test=pitch-drive-full%2Ffb_ep_oil%2Fweld";
    let chosen = pages.get(&format!("{asked}&blend=T-01")).await;
    assert!(chosen.location.contains("&blend=T-01&"), "{}", chosen.location);
    let first = pages.get(asked).await;
    assert!(
        first.location.contains("&blend=T-03&"),
        "who comes first: {}",
        first.location
    );
    let strange = pages.get(&format!("{asked}&blend=G-02")).await;
    assert_eq!(strange.status, 422);
    assert!(
        strange
            .text(".fault")
            .starts_with("'G-02' was not compared there")
    );
    let other = pages
        .get(&format!("{asked}&trial=sugar-mill-bearing-grease"))
        .await;
    assert!(
        other.text(".fault").starts_with("was not run for this machine"),
        "{}",
        other.body
    );
    assert_eq!(pages.get("/number?trial=nowhere").await.status, 422);
}

const SHEET: &str = "Weld load\tASTM D2783\tkg\t315\n0,45 mm D4172\nstage 12\nDIN 51350-2: 2400 N\nmin. 14 mg, DIN 51819-3, rolling elements\n12 kgf D9999";

fn asked(lines: &str) -> String {
    let lines = lines.replace(' ', "+").replace('\t', "%09").replace('\n', "%0A");
    format!("/number?blend=T-03&lines={lines}")
}

#[tokio::test(flavor = "multi_thread")]
async fn each_line_of_a_data_sheet_is_judged_for_itself_and_each_error_names_its_line() {
    let pages = Pages::with(StartWith::Demo).await;
    let page = pages.get(&asked(SHEET)).await;
    assert_eq!(page.status, 200);
    assert_eq!(page.count("[data-line]"), 6);
    let firsts = page.values_of("[data-line][data-first]", "data-first");
    assert_eq!(firsts, ["no", "no", "cannot_be_compared", "no"]);
    let faults = page.texts("[data-line] .fault");
    assert!(faults[0].starts_with("Line 3 names no standard"), "{faults:?}");
    assert!(faults[1].starts_with("Line 6 'D9999'"), "{faults:?}");
    assert_eq!(page.text("h1"), "3 no, 1 cannot be compared, 2 not read");
    let way = page.values_of("[data-line='1'] a", "href")[0].clone();
    let own = pages.get(&way).await;
    assert_eq!(own.status, 200);
    assert!(
        own.text("[data-question]")
            .contains("315 kgf better than our T-03")
    );
    let kept = page.text("#lines");
    assert!(kept.contains("12 kgf D9999"), "nothing typed is lost: {kept}");
    let none = pages.get(&asked("no number at all")).await;
    assert_eq!(none.status, 422);
}

#[tokio::test(flavor = "multi_thread")]
async fn eight_numbers_are_taken_and_nine_refused_with_words() {
    let pages = Pages::with(StartWith::Demo).await;
    let lines = |number: usize| vec!["weld load 315 kgf D2783"; number].join("\n\n");
    for taken in [1, 7, 8] {
        let page = pages.get(&asked(&lines(taken))).await;
        assert_eq!((page.status, page.count("[data-line]")), (200, taken));
    }
    let page = pages.get(&asked(&lines(9))).await;
    assert_eq!((page.status, page.count("[data-line]")), (422, 0));
    assert_eq!(
        page.text("#lines-fault"),
        "has 9 numbers; at most 8 are answered at once: leave out 1"
    );
}

/// The empty boxes of a page are filled in with what was sent.
#[tokio::test(flavor = "multi_thread")]
async fn numbers_in_the_boxes_beside_tests_are_compared_in_their_own_units() {
    let pages = Pages::with(StartWith::Demo).await;
    let page = pages
        .get("/trials/pitch-drive-full/tests/fb_ep_oil?quantity=weld&blend=T-03")
        .await;
    let of = page.values_of("[data-ask-for] [name='of']", "value");
    assert!(
        of.len() >= 3 && !of.iter().any(|key| key.starts_with("own_")),
        "{of:?}"
    );
    assert_eq!(of.len(), page.count("[data-ask-for] [name='theirs']"));
    let boxes =
        "of=gear_lowspeed_wear%2Fmass_loss&theirs=&of=rb_oil%2Froller_wear&theirs=120&of=no%2Fsuch&theirs=1";
    let answer = pages
        .get(&format!("/number?trial=pitch-drive-full&blend=T-03&{boxes}"))
        .await;
    assert_eq!((answer.status, answer.count("[data-line]")), (200, 2));
    assert_eq!(answer.values_of("[data-line='1']", "data-first"), ["no"]);
    assert!(answer.text("[data-line='1']").contains("120 mg"));
    assert!(
        answer
            .text("[data-line='2'] .fault")
            .starts_with("Line 2 stands beside a test")
    );
}
