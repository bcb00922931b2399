//! A method by its id, its standard's number or its title; a quantity by its id or label.

use crate::catalogue::{Method, Quantity};

/// The method and quantity that two cells name, or which of the two is wrong and why.
pub(crate) fn find_test<'a>(
    methods: &'a [Method],
    method: &str,
    quantity: &str,
) -> Result<(&'a Method, &'a Quantity), (&'static str, String)> {
    let key = method
        .split_once('/')
        .and_then(|(id, rest)| Some((with_id(methods, id)?, rest)));
    if let Some((found, in_method)) = key {
        if !quantity.is_empty() && plain(quantity) != plain(in_method) {
            let problem = format!("differs from the quantity in the method's cell, {in_method}");
            return Err(("quantity", problem));
        }
        return find_quantity(found, in_method).map_err(|problem| ("method", problem));
    }
    let found = find_method(methods, method).map_err(|problem| ("method", problem))?;
    find_quantity(found, quantity).map_err(|problem| ("quantity", problem))
}

fn with_id<'a>(methods: &'a [Method], id: &str) -> Option<&'a Method> {
    methods
        .iter()
        .find(|method| method.id.as_str().eq_ignore_ascii_case(id.trim()))
}

fn find_method<'a>(methods: &'a [Method], text: &str) -> Result<&'a Method, String> {
    if text.is_empty() {
        return Err("is empty; name a method by id, standard number or title".to_string());
    }
    if let Some(method) = with_id(methods, text) {
        return Ok(method);
    }
    let wanted = plain(text);
    let by_title: Vec<&Method> = methods.iter().filter(|m| plain(&m.title) == wanted).collect();
    let number = without_year(&wanted);
    let by_standard = || {
        methods
            .iter()
            .filter(|m| has_standard(&m.standard, number))
            .collect()
    };
    let found = if by_title.is_empty() {
        by_standard()
    } else {
        by_title
    };
    match found.as_slice() {
        [one] => Ok(one),
        [] => Err(
            "is not a method by id, standard number or title; the page of methods lists those that are known"
                .to_string(),
        ),
        several => {
            let said = |it: &&Method| format!("{} ({})", it.id, it.title);
            let ids: Vec<String> = several.iter().map(said).collect();
            Err(format!("can be {}; write one of these ids", ids.join(" or ")))
        }
    }
}

fn find_quantity<'a>(method: &'a Method, text: &str) -> Result<(&'a Method, &'a Quantity), String> {
    let ids = || {
        let said = |it: &Quantity| format!("{} ({})", it.id, it.label);
        method.quantities.iter().map(said).collect::<Vec<_>>().join(", ")
    };
    if text.is_empty() {
        return match method.quantities.as_slice() {
            [only] => Ok((method, only)),
            _ => Err(format!(
                "is empty, and {} measures several: {}",
                method.name(),
                ids()
            )),
        };
    }
    let wanted = plain(text);
    let by_id = method.quantities.iter().find(|q| q.id.eq_ignore_ascii_case(text));
    let by_label = || method.quantities.iter().find(|q| plain(&q.label) == wanted);
    match by_id.or_else(by_label) {
        Some(quantity) => Ok((method, quantity)),
        None => Err(format!(
            "is not a quantity of {}; it has {}",
            method.name(),
            ids()
        )),
    }
}

/// Small letters with one space between words.
fn plain(text: &str) -> String {
    let small = text.to_lowercase();
    small.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `astm d2783-21` and `iso 14635-1:2000` without the year of their edition.
fn without_year(text: &str) -> &str {
    let digits = |part: &str, length: usize| {
        let bare = part
            .strip_suffix(|c: char| c.is_ascii_lowercase())
            .unwrap_or(part);
        bare.len() == length && bare.bytes().all(|b| b.is_ascii_digit())
    };
    if let Some((number, year)) = text.rsplit_once(':')
        && digits(year, 4)
    {
        return number;
    }
    match text.rsplit_once('-') {
        Some((number, year)) if number.starts_with("astm ") && digits(year, 2) => number,
        _ => text,
    }
}

/// Whether one of a method's standards (`;` between) is this number, also where more stands behind it.
fn has_standard(standards: &str, number: &str) -> bool {
    standards.split(';').any(|standard| {
        let standard = plain(standard);
        match standard.strip_prefix(number) {
            Some(rest) => !rest.starts_with(|c: char| c.is_alphanumeric() || matches!(c, '-' | '/')),
            None => false,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in;

    fn found(method: &str, quantity: &str) -> Result<String, String> {
        find_test(built_in(), method, quantity)
            .map(|(method, quantity)| format!("{}/{}", method.id, quantity.id))
            .map_err(|(column, problem)| format!("{column}: {problem}"))
    }

    #[test]
    fn a_method_is_known_by_id_number_and_title() {
        for text in [
            "fb_ep_oil",
            "ASTM D2783",
            "astm d2783-21",
            "Four-ball extreme pressure, oil",
            "fb_ep_oil/weld",
        ] {
            assert_eq!(found(text, "weld"), Ok("fb_ep_oil/weld".into()), "{text}");
        }
        for text in ["ISO 14635-1", "ISO 14635-1:2000", "ASTM D5182", "gear_A8"] {
            assert_eq!(found(text, ""), Ok("gear_A8/fail_stage".into()), "{text}");
        }
    }

    #[test]
    fn a_number_of_two_methods_is_refused_with_both() {
        let words = found("ASTM D4172", "scar").unwrap_err();
        assert!(
            words.contains(
                "fb_wear_oil_A (Four-ball wear, oil, 15 kgf) or fb_wear_oil_B (Four-ball wear, oil, 40 kgf)"
            ),
            "{words}"
        );
        assert!(found("ASTM D27", "").unwrap_err().contains("is not a method"));
        assert!(found("ISO 14635", "").unwrap_err().contains("is not a method"));
    }

    #[test]
    fn a_quantity_may_be_left_out_only_where_there_is_one() {
        let words = found("fb_ep_oil", "").unwrap_err();
        assert!(
            words
                .starts_with("quantity: is empty, and Four-ball extreme pressure, oil (ASTM D2783) measures"),
            "{words}"
        );
        assert!(
            found("fb_ep_oil/weld", "lwi")
                .unwrap_err()
                .starts_with("quantity")
        );
    }
}
