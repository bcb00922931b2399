//! Every kind of page of the demo, found as a reader finds them: by the links, from the list on.

use crate::kept::Archive;
use crate::plain_http::get;
use scraper::{Html, Selector};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// A page that some link leads to.
pub(crate) struct Page {
    pub(crate) path: String,
    /// The route that answered, as the program's sources write it.
    pub(crate) route: String,
    pub(crate) html: String,
}

/// How many pages are looked at of one route; every trial's comparison is.
const EACH: usize = 2;
const COMPARISON: &str = "/trials/{trial}";

/// A trial leads here where its machine has a newer version, which no machine of the demo has.
const ONLY_AFTER_A_CHANGE: &str = "/trials/pitch-drive-defoamer-check/machine";

/// The plan of the one trial that still runs: only such a trial's set-up may be changed.
const STILL_RUNS: &str = "/trials/pitch-drive-full/plan";

/// The pages, two of each route and one more with a question in its address.
pub(crate) fn pages() -> &'static [Page] {
    static PAGES: OnceLock<Vec<Page>> = OnceLock::new();
    PAGES.get_or_init(|| walk(Archive::shared()))
}

fn walk(archive: &Archive) -> Vec<Page> {
    let routes = routes();
    let first = ["/", ONLY_AFTER_A_CHANGE, STILL_RUNS].map(ToString::to_string);
    let mut seen = BTreeSet::from(first.clone());
    let mut waiting = VecDeque::from(first);
    let mut counts = BTreeMap::new();
    let mut pages = Vec::new();
    while let Some(path) = waiting.pop_front() {
        let route = route_of(&path, &routes);
        let route = route.unwrap_or_else(|| panic!("a link leads to {path}, where no page is"));
        let is_asked = path.contains('?');
        let count = counts.entry((route.clone(), is_asked)).or_insert(0);
        let most = if is_asked { 1 } else { EACH };
        if *count >= most && (is_asked || route != COMPARISON) {
            continue;
        }
        *count += 1;
        let answer = get(&archive.address, &path);
        assert_eq!(answer.status, 200, "a link leads to {path}");
        assert!(answer.kind.starts_with("text/html"), "{path}: {}", answer.kind);
        for link in links(&answer.body) {
            if seen.insert(link.clone()) {
                waiting.push_back(link);
            }
        }
        pages.push(Page {
            path,
            route,
            html: answer.body,
        });
    }
    pages
}

/// The addresses a page leads to within the program, without the place within a page.
fn links(html: &str) -> Vec<String> {
    let parsed = Html::parse_document(html);
    let anchors = Selector::parse("a[href]").unwrap();
    let hrefs = parsed.select(&anchors).filter_map(|anchor| anchor.attr("href"));
    let within = hrefs.map(|href| href.split('#').next().unwrap_or(""));
    within
        .filter(|href| !href.is_empty())
        .inspect(|href| assert!(href.starts_with('/'), "a link leads out of the program: {href}"))
        .filter(|href| !href.starts_with("/api/") && !href.starts_with("/static/"))
        // A file to keep, not a page to open.
        .filter(|href| !href.ends_with("?download") && !is_a_file(href))
        .map(ToString::to_string)
        .collect()
}

/// The route of a path: all segments equal, or a name in braces; a route without braces comes first.
fn route_of(path: &str, routes: &[String]) -> Option<String> {
    let path = path.split('?').next().unwrap_or("");
    let fits = |route: &&String| {
        let (of_route, of_path) = (route.split('/'), path.split('/'));
        of_route.clone().count() == of_path.clone().count()
            && of_route.zip(of_path).all(|(a, b)| a == b || a.starts_with('{'))
    };
    routes
        .iter()
        .filter(fits)
        .min_by_key(|route| route.matches('{').count())
        .cloned()
}

/// Every route that answers a GET with a page, from the sources of the pages.
pub(crate) fn routes() -> Vec<String> {
    let mut files = Vec::new();
    sources(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src/web/pages"),
        &mut files,
    );
    let mut routes = Vec::new();
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        for (at, _) in text.match_indices(".route(") {
            let rest = text[at + ".route(".len()..].trim_start();
            let Some((path, handlers)) = rest.split_once(',') else {
                continue;
            };
            let written = match path.strip_prefix('"') {
                Some(path) => path.trim_end_matches('"').to_string(),
                None => constant(&file, path),
            };
            if handlers.trim_start().starts_with("get(") && !is_a_file(&written) {
                routes.push(written);
            }
        }
    }
    routes
}

/// The text of a constant of the same file, or of one of its modules.
fn constant(file: &Path, name: &str) -> String {
    let (holder, name) = match name.split_once("::") {
        Some((module, name)) => {
            let beside = file.with_file_name(format!("{module}.rs"));
            let below = file.with_file_name(module).join("mod.rs");
            (if beside.exists() { beside } else { below }, name)
        }
        None => (file.to_path_buf(), name),
    };
    let text = fs::read_to_string(&holder).unwrap();
    let start = format!("const {name}: &str = \"");
    let (_, rest) = text
        .split_once(&start)
        .unwrap_or_else(|| panic!("no constant {name}"));
    rest.split('"').next().unwrap().to_string()
}

fn sources(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, files);
        } else {
            files.push(path);
        }
    }
}

/// Whether an address hands a file on.
fn is_a_file(address: &str) -> bool {
    [".csv", ".xlsx"].iter().any(|end| address.ends_with(end))
}
