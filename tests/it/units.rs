//! Pages in the units and with the signs that their reader chose; JSON and what is kept know nothing of it.

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, header};
use likewear::facade::app::{App, StartWith};
use likewear::facade::web::router;
use scraper::{Html, Selector};
use std::sync::Arc;
use tower::ServiceExt;

const HOST: &str = "127.0.0.1:4180";
/// kgf, ksi, degrees Fahrenheit, a decimal comma, thin spaces.
const AMERICAN: &str = "shown=lbf.ksi.F.comma.thin";

struct Reader {
    router: Router,
    _folder: tempfile::TempDir,
}

struct Answer {
    status: u16,
    cookie: String,
    location: String,
    vary: String,
    body: String,
}

impl Answer {
    fn texts(&self, selector: &str) -> Vec<String> {
        let page = Html::parse_document(&self.body);
        page.select(&Selector::parse(selector).unwrap())
            .map(|element| element.text().collect::<String>().trim().to_string())
            .collect()
    }

    fn value(&self, selector: &str) -> String {
        let page = Html::parse_document(&self.body);
        let found = page.select(&Selector::parse(selector).unwrap()).next();
        found.unwrap().value().attr("value").unwrap().to_string()
    }
}

impl Reader {
    async fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let app = App::create(&folder.path().join("a.db"), StartWith::Demo)
            .await
            .unwrap();
        Self {
            router: router(Arc::new(app)),
            _folder: folder,
        }
    }

    async fn send(&self, request: axum::http::request::Builder, body: String) -> Answer {
        let request = request.header(header::HOST, HOST).body(Body::from(body)).unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        let head = |name| {
            let all = response.headers().get_all(name).iter();
            all.map(|value| value.to_str().unwrap().to_string())
                .collect::<Vec<_>>()
                .join(",")
        };
        let (cookie, location, vary) = (
            head(header::SET_COOKIE),
            head(header::LOCATION),
            head(header::VARY),
        );
        let status = response.status().as_u16();
        let bytes = to_bytes(response.into_body(), 64 << 20).await.unwrap();
        Answer {
            status,
            cookie,
            location,
            vary,
            body: String::from_utf8(bytes.to_vec()).unwrap(),
        }
    }

    async fn get(&self, path: &str, cookie: &str) -> Answer {
        self.send(Request::get(path).header(header::COOKIE, cookie), String::new())
            .await
    }

    async fn choose(&self, fields: &str, origin: &str) -> Answer {
        let request = Request::post("/units")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(header::ORIGIN, origin);
        self.send(request, fields.to_string()).await
    }
}

const WELD: &str = "/trials/pitch-drive-full/tests/fb_ep_oil?quantity=weld&blend=T-11";

/// 400 kgf are 400 * 9.80665 / 4.4482216152605 = 881.849 lbf (NIST SP 811, appendix B: both factors exact).
#[tokio::test]
async fn an_explanation_follows_its_readers_units_and_its_json_does_not() {
    let reader = Reader::new().await;
    let page = reader.get(WELD, AMERICAN).await;
    assert_eq!(page.status, 200);
    let heading = page.texts("[data-question]").concat();
    assert!(
        heading.contains("882 lbf") && !heading.contains("kgf"),
        "{heading}"
    );
    let terms = page.texts("[data-terms] tbody tr").join("\n");
    assert!(terms.contains("ksi") && terms.contains("°F"), "{terms}");
    assert!(!terms.contains("GPa") && !terms.contains("°C"), "{terms}");
    let plain = reader.get(WELD, "").await;
    assert!(plain.texts("[data-question]").concat().contains("400 kgf"));
    let api = format!("/api{WELD}");
    assert_eq!(
        reader.get(&api, AMERICAN).await.body,
        reader.get(&api, "").await.body
    );
    let trial = "/api/trials/pitch-drive-full/standing?draws=200";
    assert_eq!(
        reader.get(trial, AMERICAN).await.body,
        reader.get(trial, "").await.body
    );
}

/// The machine's sharpest gap of contact temperature, in K on the plain page: 9/5 of it in degrees of Fahrenheit, without
/// the 32 of the scale.
#[tokio::test]
async fn a_difference_of_temperatures_is_not_offset() {
    let reader = Reader::new().await;
    let gap = async |cookie: &str| {
        let page = reader.get(WELD, cookie).await;
        let words = page
            .texts("[data-ladder=contact_temperature] [data-gap]")
            .concat();
        words.split(' ').next().unwrap().parse::<f64>().unwrap()
    };
    let (kelvin, fahrenheit) = (gap("").await, gap("shown=own.own.F.point.none").await);
    assert!(
        (fahrenheit - 1.8 * kelvin).abs() <= 1.5,
        "{kelvin} K, {fahrenheit} °F"
    );
}

#[tokio::test]
async fn what_is_written_and_what_a_form_reads_keep_their_units() {
    let reader = Reader::new().await;
    let plain = reader.get("/trials/pitch-drive-full/results", "").await;
    let shown = reader.get("/trials/pitch-drive-full/results", AMERICAN).await;
    let written = "[data-results] tbody td:nth-child(6)";
    assert!(!plain.texts(written).is_empty());
    assert!(
        plain.texts(written).join(" ").contains("kgf"),
        "{:?}",
        plain.texts(written)
    );
    assert_eq!(plain.texts(written), shown.texts(written), "as written");
    assert_ne!(plain.body, shown.body, "as read");
    let form = "/trials/pitch-drive-full/enter?method=fb_ep_oil";
    assert_eq!(
        reader.get(form, "").await.body,
        reader.get(form, AMERICAN).await.body
    );
}

/// One app answers both: what was judged and remembered for one reader says nothing of his units to another.
#[tokio::test]
async fn one_readers_units_do_not_reach_another() {
    let reader = Reader::new().await;
    let path = "/trials/pitch-drive-full?draws=200";
    let first = reader.get(path, AMERICAN).await;
    let second = reader.get(path, "").await;
    let third = reader.get(path, AMERICAN).await;
    assert!(first.body.contains("lbf") && first.body == third.body);
    assert!(!second.body.contains("lbf"));
    assert!(first.vary.contains("cookie"), "{}", first.vary);
    let numbers = first.texts("[data-numbers] td").join(" ");
    assert!(numbers.contains(','), "a decimal comma: {numbers}");
    assert!(
        !second
            .texts("[data-position], [data-share]")
            .join(" ")
            .contains(',')
    );
}

#[tokio::test]
async fn the_choice_is_kept_by_a_posted_form_and_goes_back_to_where_it_came_from() {
    let reader = Reader::new().await;
    let request = Request::get("/units").header(header::REFERER, format!("http://{HOST}/machines?x=1"));
    let form = reader.send(request, String::new()).await;
    assert_eq!(form.value("form[data-units] input[name=back]"), "/machines?x=1");
    let token = form.value("form[data-units] input[name=token]");
    let words = "force=kgf&pressure=ksi&temperature=F&decimal=comma&thousands=thin";
    let ours = format!("http://{HOST}");
    let kept = reader
        .choose(&format!("token={token}&back=%2Fmachines%3Fx%3D1&{words}"), &ours)
        .await;
    assert_eq!((kept.status, kept.location.as_str()), (303, "/machines?x=1"));
    assert!(
        kept.cookie.starts_with("shown=kgf.ksi.F.comma.thin;"),
        "{}",
        kept.cookie
    );
    assert!(kept.cookie.contains("SameSite=Lax"));
    let chosen = reader.get("/units", "shown=kgf.ksi.F.comma.thin").await;
    assert_eq!(chosen.texts("option[selected]")[..3], ["kgf", "ksi", "°F"]);
    let elsewhere = reader
        .choose(&format!("token={token}&back=%2F%2Fexample.org&{words}"), &ours)
        .await;
    assert_eq!(elsewhere.location, "/units", "only a path on this machine");
    let foreign = reader
        .choose(&format!("token={token}&back=%2F&{words}"), "http://example.org")
        .await;
    assert!(foreign.status == 403 && foreign.cookie.is_empty());
    let without = reader.choose(&format!("back=%2F&{words}"), &ours).await;
    assert!(without.status == 403 && without.cookie.is_empty());
    let unknown = reader
        .choose(&format!("token={token}&{}", words.replace("kgf", "stone")), &ours)
        .await;
    assert!(unknown.status == 422 && unknown.cookie.is_empty());
}

#[tokio::test]
async fn an_unknown_cookie_falls_back_to_what_is_usual() {
    let reader = Reader::new().await;
    let plain = reader.get("/methods/fb_ep_oil", "").await.body;
    for cookie in [
        "shown=stone.bar.X.dot.big",
        "shown=",
        "shown=%F0%9F",
        "other=kgf.ksi.F.comma.thin",
    ] {
        assert_eq!(
            reader.get("/methods/fb_ep_oil", cookie).await.body,
            plain,
            "{cookie}"
        );
    }
    assert_ne!(reader.get("/methods/fb_ep_oil", AMERICAN).await.body, plain);
}

/// A decimal comma and nothing else.
const COMMA: &str = "shown=own.own.C.comma.none";

/// Figures with a point in texts that are neither drawn nor code, each with what stands around it. Three numbers with
/// two points are a version, and a number that letters or a slash touch is part of a name.
fn figures_with_a_point(page: &Answer, selector: &str) -> Vec<String> {
    let page = Html::parse_document(&page.body);
    let regions = Selector::parse(selector).unwrap();
    let mut found = Vec::new();
    for region in page.select(&regions) {
        for text in region.descendants() {
            let Some(written) = text.value().as_text().map(|text| text.to_string()) else {
                continue;
            };
            let is_apart = text.ancestors().any(|node| {
                let element = node.value().as_element();
                element.is_some_and(|it| {
                    matches!(it.name(), "code" | "textarea" | "script" | "title")
                        || it.attr("data-sources").is_some()
                })
            });
            let words = written.split(|c: char| c.is_whitespace() || "(),;:".contains(c));
            let words = words.map(|word| word.trim_end_matches('.'));
            let is_figure = |word: &&str| word.parse::<f64>().is_ok() && word.contains('.');
            if !is_apart {
                found.extend(
                    words
                        .filter(is_figure)
                        .map(|word| format!("{word} in: {written}")),
                );
            }
        }
    }
    found
}

/// Both sides of one check: what is found under the usual sign is gone under the comma, and nothing else has changed.
async fn prose_follows_the_sign(reader: &Reader, path: &str, selector: &str) -> usize {
    let (plain, comma) = (reader.get(path, "").await, reader.get(path, COMMA).await);
    assert_eq!((plain.status, comma.status), (200, 200), "{path}");
    assert_eq!(
        figures_with_a_point(&comma, selector),
        Vec::<String>::new(),
        "{path}"
    );
    let as_points = |answer: &Answer| -> Vec<String> {
        let texts = answer.texts(selector);
        texts.iter().map(|text| text.replace(',', ".")).collect()
    };
    assert_eq!(as_points(&plain), as_points(&comma), "{path}");
    figures_with_a_point(&plain, selector).len()
}

#[tokio::test]
async fn prose_of_a_method_takes_the_decimal_sign_and_its_sources_and_standard_do_not() {
    let reader = Reader::new().await;
    let list = reader.get("/methods", COMMA).await;
    assert_eq!(figures_with_a_point(&list, "main"), Vec::<String>::new());
    assert!(list.texts("main h3").concat().contains("8,3 m/s"));
    let mut seen = 0;
    for id in [
        "gear_A8",
        "gear_A10",
        "gear_micropit",
        "lo_grease_ep",
        "bor_oil",
        "rb_oil",
        "foam_d892",
    ] {
        seen += prose_follows_the_sign(&reader, &format!("/methods/{id}"), "main").await;
    }
    assert!(seen > 40, "{seen} figures had a point without the cookie");
    let page = reader.get("/methods/gear_A8", COMMA).await;
    assert_eq!(
        page.texts("h1"),
        ["Gear scuffing load stage, oil, 8,3 m/s, 90 °C"]
    );
    assert!(
        page.texts(".sub b")
            .concat()
            .contains("ISO 14635-1 (A/8,3/90); ASTM D5182")
    );
    let sources = |answer: &Answer| answer.texts("[data-sources] td");
    assert_eq!(sources(&page), sources(&reader.get("/methods/gear_A8", "").await));
}

#[tokio::test]
async fn prose_of_an_explanation_takes_the_decimal_sign() {
    let reader = Reader::new().await;
    let mut seen = 0;
    for test in [
        "gear_A8?quantity=fail_stage&blend=T-01",
        "gear_micropit?quantity=fail_stage&blend=T-01",
        "fb_ep_oil?quantity=weld&blend=T-11",
    ] {
        let path = format!("/trials/pitch-drive-full/tests/{test}");
        seen += prose_follows_the_sign(&reader, &path, "main").await;
    }
    assert!(seen > 40, "{seen} figures had a point without the cookie");
}
