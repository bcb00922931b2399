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
