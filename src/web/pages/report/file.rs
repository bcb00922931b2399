//! A page of ours as a file that stands alone: the style sheet inside, no script, no form, no link that leads out.

use crate::web::assets;

/// Elements that are left out whole, besides those for the screen only: what they do needs the program.
const LEFT_OUT: [&str; 4] = ["script", "form", "nav", "template"];

/// The page without anything that leads out of it. Links within the page stay; a link to another one becomes plain text.
pub(super) fn alone(page: &str) -> String {
    let style = String::from_utf8_lossy(assets::content("likewear.css"));
    let mut written = String::with_capacity(page.len() + style.len());
    let mut rest = page;
    let mut is_in_plain_link = false;
    while let Some(at) = rest.find('<') {
        written.push_str(&rest[..at]);
        rest = &rest[at..];
        let end = tag_end(rest);
        let (tag, after) = rest.split_at(end);
        rest = after;
        let name = name_of(tag);
        match name {
            _ if LEFT_OUT.contains(&name) || tag.contains("screen-only") => rest = after_element(rest, name),
            "link" if tag.contains("rel=\"stylesheet\"") => {
                written.push_str("<style>\n");
                written.push_str(&style);
                written.push_str("</style>");
            }
            "link" if tag.contains("rel=\"icon\"") => written.push_str("<link rel=\"icon\" href=\"data:,\">"),
            "a" if !tag.contains("href=\"#") => {
                is_in_plain_link = true;
                written.push_str(&format!("<span{}>", class_of(tag)));
            }
            "/a" if is_in_plain_link => {
                is_in_plain_link = false;
                written.push_str("</span>");
            }
            _ => written.push_str(tag),
        }
    }
    written.push_str(rest);
    written
}

/// `a` of `<a href=…>`, `/a` of `</a>`.
fn name_of(tag: &str) -> &str {
    let inner = tag.trim_start_matches('<').trim_end_matches('>');
    let end = inner.find(|c: char| c.is_whitespace()).unwrap_or(inner.len());
    &inner[..end]
}

/// ` class="quiet"`, or nothing.
fn class_of(tag: &str) -> &str {
    let start = tag.find(" class=\"");
    let from = start.map_or("", |at| &tag[at..]);
    let end = from.match_indices('"').nth(1).map_or(0, |(at, _)| at + 1);
    &from[..end]
}

/// The length of the tag at the start of a text; a `>` between quotes does not end it.
fn tag_end(text: &str) -> usize {
    let mut is_quoted = false;
    for (at, c) in text.char_indices() {
        match c {
            '"' => is_quoted = !is_quoted,
            '>' if !is_quoted => return at + 1,
            _ => {}
        }
    }
    text.len()
}

/// What follows the end of an element that holds no other one of its name.
fn after_element<'a>(text: &'a str, name: &str) -> &'a str {
    let end = format!("</{name}>");
    text.find(&end).map_or("", |at| &text[at + end.len()..])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_leads_out_of_a_page_is_left_in_its_file() {
        let page = r##"<html><head><link rel="icon" href="/static/1/likewear.svg"><link rel="stylesheet" href="/static/1/likewear.css"><script src="/static/1/likewear.js" defer></script></head><body><nav><a href="/">Trials</a></nav><form action="/"><input name="q"></form><p title="a > b"><a class="quiet" href="/blends/K-1">K-1</a> and <a href="#tests">the tests</a></p><p class="screen-only"><a href="/api">more</a></p></body></html>"##;
        let file = alone(page);
        assert!(file.contains("<style>\n") && file.contains("--hue0"));
        assert!(file.contains(
            r##"<p title="a > b"><span class="quiet">K-1</span> and <a href="#tests">the tests</a></p>"##
        ));
        let body = file.split("</style>").nth(1).unwrap();
        for gone in [
            "more", "/api", "/static", "<script", "<form", "<nav", "/blends", "<input",
        ] {
            assert!(!body.contains(gone), "{gone}");
        }
    }
}
