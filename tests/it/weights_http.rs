//! The page of a trial's weights over HTTP: looked at, asked, changed with a token and a reason.

use crate::import_http::small;

const PAGE: &str = "/trials/slow-drive/weights";
const API: &str = "/api/trials/slow-drive/resemblance?draws=200";

#[tokio::test(flavor = "multi_thread")]
async fn the_page_and_its_json_show_every_term_of_every_test() {
    let pages = small().await;
    let page = pages.get(&format!("{PAGE}?draws=200")).await;
    assert_eq!(page.status, 200);
    assert_eq!(page.texts("[data-scale]").len(), 11);
    assert!(!page.texts("[data-terms]").is_empty());
    assert_eq!(page.texts("[data-no-history]").len(), 1);
    let json = pages.get(API).await.as_json();
    assert_eq!(json["scales"].as_array().unwrap().len(), 11);
    assert_eq!(json["scales"][0]["halving_in"], "factor");
    assert_eq!(
        page.texts("[data-finding]"),
        [json["sensitivity"]["finding"].as_str().unwrap()]
    );
    let test = &json["tests"][0]["contacts"][0];
    let (all, least) = (&test["over_all_terms"], &test["first_order"]["similarity"]);
    let value = (all.as_f64().unwrap() * least.as_f64().unwrap()).sqrt();
    assert!((value - test["resemblance"].as_f64().unwrap()).abs() < 1e-12);
    let nobody = pages.get("/trials/nobody/weights").await;
    assert_eq!(nobody.status, 404);
    let former = pages.get("/trials/slow-drive/resemblance?draws=200").await;
    assert_eq!(
        (former.status, former.location),
        (308, format!("{PAGE}?draws=200"))
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_question_changes_the_view_and_nothing_else() {
    let pages = small().await;
    let before = pages.get(API).await.body;
    let asked = pages
        .get(&format!(
            "{PAGE}?draws=200&importance.pressure=6&halving.sliding=3"
        ))
        .await;
    let words = asked.texts("[data-asked]").concat();
    for part in [
        "Maximum pressure importance 6",
        "factor 3",
        "Nothing of it is kept",
    ] {
        assert!(words.contains(part), "{part}: {words}");
    }
    assert_eq!(asked.texts("[data-no-history]").len(), 1);
    let json = pages.get(&format!("{API}&importance.pressure=6")).await.as_json();
    assert_eq!(json["scales"][0]["importance"], 6.0);
    assert_eq!(
        (&json["scales"][0]["asked"], &json["scales"][0]["changed"]),
        (&true.into(), &false.into())
    );
    assert_eq!(pages.get(API).await.body, before);
    // What the form leaves empty is taken out of the address.
    let sent = pages
        .get(&format!("{PAGE}?importance.pressure=6&halving.pressure="))
        .await;
    assert_eq!(sent.location, format!("{PAGE}?importance.pressure=6"));
    for wrong in [
        "importance.colour=1",
        "importance.pressure=-1",
        "halving.motion=2",
    ] {
        let refused = pages.get(&format!("{PAGE}?{wrong}")).await;
        assert_eq!(refused.status, 422, "{wrong}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_change_needs_a_token_and_a_reason_and_loses_nothing_typed() {
    let pages = small().await;
    let token = pages.token().await;
    let no_token = pages
        .form(
            PAGE,
            &[("term", "pressure"), ("importance", "6"), ("reason", "why")],
        )
        .await;
    assert_eq!(no_token.status, 403);
    let fields = |reason: &'static str| {
        [
            ("token", token.clone()),
            ("term", "sliding".to_string()),
            ("importance", "4".to_string()),
            ("halving", "3".to_string()),
            ("reason", reason.to_string()),
        ]
    };
    let send = |fields: [(&'static str, String); 5]| {
        let pages = &pages;
        async move {
            let fields: Vec<(&str, &str)> = fields.iter().map(|(a, b)| (*a, b.as_str())).collect();
            pages.form(PAGE, &fields).await
        }
    };
    let refused = send(fields("  ")).await;
    assert_eq!(refused.status, 422);
    assert_eq!(refused.value("#importance"), "4");
    assert_eq!(refused.value("#halving"), "3");
    assert_eq!(refused.value("#term option[selected]"), "sliding");
    assert!(refused.texts("#reason-fault")[0].contains("say why"));
    let kept = send(fields("it slides little")).await;
    assert_eq!(
        (kept.status, kept.location.as_str()),
        (303, "/trials/slow-drive/weights#scales")
    );
    let page = pages.get(&format!("{PAGE}?draws=200")).await;
    let row = page.texts("[data-scale=sliding] [data-changed]").concat();
    assert!(
        row.contains("Default: importance 2, halves at factor 5") && row.contains("it slides little"),
        "{row}"
    );
    // The comparison says so too.
    let comparison = pages.get("/trials/slow-drive?draws=200").await;
    assert!(
        comparison
            .texts("[data-scales]")
            .concat()
            .contains("it slides little")
    );
    // The way back is a form of its own with the default in it.
    assert_eq!(page.value("[data-undo=sliding] input[name=importance]"), "2");
    assert_eq!(page.value("[data-undo=sliding] input[name=halving]"), "5");
}
