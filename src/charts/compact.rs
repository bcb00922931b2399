//! The drawing library's markup in fewer words: the same shapes, no attribute that says what is usual, strokes of one
//! look as one path, texts of one look in one group.

use std::fmt::Write;

/// A shape of the library, as far as it is written shorter.
enum Part {
    /// Lines of one look.
    Strokes {
        look: String,
        path: Path,
    },
    /// Texts of one look.
    Texts {
        look: String,
        texts: String,
    },
    Other(String),
}

/// Lines as a path in steps, each relative to the point before it.
struct Path {
    words: String,
    at: (i64, i64),
}

impl Path {
    fn new() -> Self {
        Self {
            words: String::new(),
            at: (0, 0),
        }
    }

    fn add(&mut self, points: &[(i64, i64)]) {
        let mut told = ' ';
        for (place, point) in points.iter().enumerate() {
            let (dx, dy) = (point.0 - self.at.0, point.1 - self.at.1);
            let (step, numbers): (char, &[i64]) = match (place, dx, dy) {
                (0, ..) => ('m', &[dx, dy]),
                (_, 0, 0) if points.len() > 2 => continue,
                (_, _, 0) => ('h', &[dx]),
                (_, 0, _) => ('v', &[dy]),
                _ => ('l', &[dx, dy]),
            };
            if step != told {
                self.words.push(step);
            }
            for (i, number) in numbers.iter().enumerate() {
                if *number >= 0 && (i > 0 || step == told) {
                    self.words.push(' ');
                }
                let _ = write!(self.words, "{number}");
            }
            // after a first point further pairs mean lines
            told = if step == 'm' { 'l' } else { step };
            self.at = *point;
        }
    }
}

/// The drawing in fewer words; what is not known here passes as it is.
pub(in crate::charts) fn compact(drawing: &str) -> String {
    let mut parts: Vec<Part> = Vec::new();
    let mut rest = drawing;
    while let Some((before, tag, after)) = next_tag(rest) {
        rest = after;
        other(&mut parts, before.trim());
        match tag.split_once(' ') {
            Some(("<polyline", attributes)) => strokes(&mut parts, attributes),
            Some(("<polygon", attributes)) => area(&mut parts, tag, attributes),
            Some(("<text", attributes)) => {
                let (words, after) = rest.split_once("</text>").unwrap_or((rest, ""));
                rest = after;
                text(&mut parts, attributes, words.trim());
            }
            _ => other(&mut parts, &plainer(tag)),
        }
    }
    other(&mut parts, rest.trim());
    written(&parts)
}

/// What stands before the next tag, the tag, and what comes after it.
fn next_tag(text: &str) -> Option<(&str, &str, &str)> {
    let start = text.find('<')?;
    let end = start + text[start..].find('>')? + 1;
    Some((&text[..start], &text[start..end], &text[end..]))
}

/// The value of an attribute.
fn value<'t>(attributes: &'t str, name: &str) -> Option<&'t str> {
    let lead = format!("{name}=\"");
    let at = attributes
        .match_indices(&lead)
        .map(|(at, _)| at)
        .find(|at| *at == 0 || attributes.as_bytes()[at - 1] == b' ')?;
    attributes[at + lead.len()..].split('"').next()
}

/// Attributes by name, those that are missing or usual left out.
fn look(attributes: &str, names: &[&str]) -> String {
    let mut look = String::new();
    for name in names {
        let usual = match *name {
            "opacity" => "1",
            "text-anchor" => "start",
            _ => "",
        };
        if let Some(value) = value(attributes, name).filter(|value| *value != usual) {
            let _ = write!(look, " {name}=\"{value}\"");
        }
    }
    look
}

fn points(attributes: &str) -> Vec<(i64, i64)> {
    value(attributes, "points")
        .unwrap_or_default()
        .split_whitespace()
        .filter_map(|point| {
            let (x, y) = point.split_once(',')?;
            Some((x.parse().ok()?, y.parse().ok()?))
        })
        .collect()
}

/// A filled shape of few corners as a path; one of many is as long either way.
fn area(parts: &mut Vec<Part>, tag: &str, attributes: &str) {
    const MOST_CORNERS: usize = 40;
    let corners = points(attributes);
    if corners.len() > MOST_CORNERS {
        return other(parts, &plainer(tag));
    }
    let mut path = Path::new();
    path.add(&corners);
    let look = look(attributes, &["opacity", "fill"]);
    other(parts, &format!("<path{look} d=\"{}z\"/>", path.words));
}

fn strokes(parts: &mut Vec<Part>, attributes: &str) {
    let points = points(attributes);
    let own = look(attributes, &["stroke", "stroke-width", "opacity"]);
    if let Some(Part::Strokes { look, path }) = parts.last_mut()
        && *look == own
        && !own.contains("opacity")
    {
        path.add(&points);
        return;
    }
    let mut path = Path::new();
    path.add(&points);
    parts.push(Part::Strokes { look: own, path });
}

fn text(parts: &mut Vec<Part>, attributes: &str, words: &str) {
    let own = look(
        attributes,
        &["text-anchor", "font-size", "font-weight", "opacity", "fill"],
    );
    let place = look(attributes, &["x", "y", "dy", "transform"]);
    let one = format!("<text{place}>{words}</text>");
    match parts.last_mut() {
        Some(Part::Texts { look, texts }) if *look == own => texts.push_str(&one),
        _ => parts.push(Part::Texts {
            look: own,
            texts: one,
        }),
    }
}

fn other(parts: &mut Vec<Part>, markup: &str) {
    match parts.last_mut() {
        _ if markup.is_empty() => {}
        Some(Part::Other(so_far)) => so_far.push_str(markup),
        _ => parts.push(Part::Other(markup.to_string())),
    }
}

/// A tag without what a shape has anyway.
fn plainer(tag: &str) -> String {
    let mut plain = tag.replace(" opacity=\"1\"", "");
    for usual in [" stroke=\"none\"", " fill=\"none\"", " stroke-width=\"0\""] {
        plain = plain.replace(usual, "");
    }
    plain.replace(" \"/>", "\"/>")
}

fn written(parts: &[Part]) -> String {
    let mut out = String::new();
    for part in parts {
        let _ = match part {
            Part::Strokes { look, path } => write!(out, "<path{look} d=\"{}\"/>", path.words),
            Part::Texts { look, texts } => write!(out, "<g{look}>{texts}</g>"),
            Part::Other(markup) => write!(out, "{markup}"),
        };
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const DASH: &str = "<polyline fill=\"none\" opacity=\"1\" stroke=\"red\" stroke-width=\"7\" points=";

    /// The points of a path, each line of it a list, read by the rules of SVG 1.1, section 8.3 (from memory).
    fn points_of(path: &str) -> Vec<Vec<(i64, i64)>> {
        let mut lines: Vec<Vec<(i64, i64)>> = Vec::new();
        let mut at = (0, 0);
        let mut rest = path;
        while let Some(step) = rest.chars().next() {
            rest = &rest[1..];
            let end = rest.find(|c: char| c.is_alphabetic()).unwrap_or(rest.len());
            let spaced = rest[..end].replace('-', " -");
            let numbers: Vec<i64> = spaced.split_whitespace().map(|n| n.parse().unwrap()).collect();
            rest = &rest[end..];
            let moves: Vec<(i64, i64)> = match step {
                'h' => numbers.iter().map(|n| (*n, 0)).collect(),
                'v' => numbers.iter().map(|n| (0, *n)).collect(),
                _ => numbers.chunks(2).map(|pair| (pair[0], pair[1])).collect(),
            };
            for (place, (dx, dy)) in moves.into_iter().enumerate() {
                at = (at.0 + dx, at.1 + dy);
                if step == 'm' && place == 0 {
                    lines.push(Vec::new());
                }
                lines.last_mut().unwrap().push(at);
            }
        }
        lines
    }

    fn path_of(markup: &str) -> &str {
        markup.split(" d=\"").nth(1).unwrap().split('"').next().unwrap()
    }

    #[test]
    fn lines_of_one_look_become_one_path_through_the_same_points() {
        let drawing = format!(
            "{DASH}\"288,0 288,20 \"/>\n{DASH}\"288,34 288,54 300,60 290,50 290,50 280,55 \"/>\n{DASH}\"5,5 9,5 9,7 \"/>\n"
        );
        let short = compact(&drawing);
        assert_eq!(short.matches("<path").count(), 1, "{short}");
        assert_eq!(
            points_of(path_of(&short)),
            [
                vec![(288, 0), (288, 20)],
                vec![(288, 34), (288, 54), (300, 60), (290, 50), (280, 55)],
                vec![(5, 5), (9, 5), (9, 7)],
            ]
        );
        assert!(short.contains("stroke=\"red\" stroke-width=\"7\"") && !short.contains("opacity"));
    }

    #[test]
    fn lines_of_two_looks_and_lines_that_shine_through_stay_apart_and_in_their_order() {
        let faint = DASH.replace("opacity=\"1\"", "opacity=\"0.5\"");
        let drawing = format!(
            "{DASH}\"0,0 1,1 \"/><circle cx=\"1\" cy=\"2\" r=\"3\" opacity=\"1\" fill=\"red\" stroke=\"none\" stroke-width=\"0\"/>{DASH}\"2,2 3,3 \"/>{faint}\"0,0 1,1 \"/>{faint}\"0,0 1,1 \"/>"
        );
        let short = compact(&drawing);
        assert_eq!(short.matches("<path").count(), 4, "{short}");
        assert!(short.contains("<circle cx=\"1\" cy=\"2\" r=\"3\" fill=\"red\"/>"));
        assert_eq!(short.matches("opacity=\"0.5\"").count(), 2);
    }

    #[test]
    fn a_filled_shape_keeps_its_corners_and_is_closed() {
        let few = "<polygon opacity=\"1\" fill=\"red\" points=\"1906,16 1936,46 1906,76 1876,46 \"/>";
        let short = compact(few);
        assert_eq!(short, "<path fill=\"red\" d=\"m1906 16 30 30-30 30-30-30z\"/>");
        let corners = points_of(path_of(&short).trim_end_matches('z'));
        assert_eq!(corners, [vec![(1906, 16), (1936, 46), (1906, 76), (1876, 46)]]);
        let many: String = (0..100).map(|i| format!("{i},{} ", i * i)).collect();
        assert!(
            compact(&format!("<polygon fill=\"red\" points=\"{many}\"/>")).contains("98,9604 99,9801\"/>")
        );
    }

    #[test]
    fn texts_of_one_look_share_what_they_have_in_common_and_keep_their_place() {
        let one = "<text x=\"1\" y=\"2\" dy=\"0.5ex\" text-anchor=\"middle\" font-family=\"sans-serif\" font-size=\"48\" opacity=\"1\" fill=\"red\">\n";
        let short = compact(&format!("{one}a &lt; b\n</text>\n{one}12\n</text>\n"));
        assert_eq!(
            short,
            "<g text-anchor=\"middle\" font-size=\"48\" fill=\"red\"><text x=\"1\" y=\"2\" dy=\"0.5ex\">a &lt; b</text><text x=\"1\" y=\"2\" dy=\"0.5ex\">12</text></g>"
        );
    }

    #[test]
    fn what_is_not_known_passes_untouched() {
        let drawing = "<g><title>K-1: 5 over 3</title><ellipse rx=\"3\"/></g>";
        assert_eq!(compact(drawing), drawing);
    }
}
