//! The one backend of the drawing library, and the finished drawing: the only text that enters a page as markup.
//!
//! The backend writes as few words as say it: lines of one look become one path in relative steps, texts of one look
//! share a group, and no attribute says what is usual. Colours are the roles' CSS custom properties.

use crate::charts::role::Role;
use plotters_backend::text_anchor::HPos;
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind, FontStyle,
    FontTransform,
};
use std::convert::Infallible;
use std::fmt::{self, Write};

/// Markup of one drawing. It is made in this room alone, where every text in it has been escaped.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Svg(String);

impl Svg {
    /// From markup that this room has made.
    pub(in crate::charts) fn of(markup: String) -> Self {
        Self(markup)
    }
}

impl fmt::Display for Svg {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl askama::filters::HtmlSafe for Svg {}

impl askama::FastWritable for Svg {
    fn write_into(&self, dest: &mut dyn fmt::Write, _: &dyn askama::Values) -> askama::Result<()> {
        dest.write_str(&self.0)?;
        Ok(())
    }
}

/// Text as it may stand in markup and in a quoted attribute.
pub(in crate::charts) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// Markup as it grows.
#[derive(Default)]
pub(in crate::charts) struct Markup {
    written: String,
    open: Option<Open>,
}

/// What further shapes of the same look are added to.
enum Open {
    /// A path of lines with its look, and the point at which it stands.
    Lines(String, BackendCoord),
    /// A group of texts with its look.
    Texts(String),
}

impl Markup {
    /// A shape of its own, or a tag of one.
    pub(in crate::charts) fn add(&mut self, tag: fmt::Arguments<'_>) {
        self.written.push_str(match self.open.take() {
            Some(Open::Lines(..)) => "\"/>",
            Some(Open::Texts(_)) => "</g>",
            None => "",
        });
        self.write(tag);
    }

    /// All of it.
    pub(in crate::charts) fn finish(mut self) -> String {
        self.add(format_args!(""));
        self.written
    }

    fn write(&mut self, words: fmt::Arguments<'_>) {
        // writing into a text cannot fail
        let _ = self.written.write_fmt(words);
    }

    fn lines(&mut self, look: String, points: &[BackendCoord]) {
        let at = match &self.open {
            // what shines through stays apart, or it would be seen where it crosses itself
            Some(Open::Lines(own, at)) if *own == look && !look.contains("opacity") => *at,
            _ => {
                self.add(format_args!("<path{look} d=\""));
                (0, 0)
            }
        };
        let at = self.steps(at, points);
        self.open = Some(Open::Lines(look, at));
    }

    fn text(&mut self, look: String, text: fmt::Arguments<'_>) {
        if !matches!(&self.open, Some(Open::Texts(own)) if *own == look) {
            self.add(format_args!("<g{look}>"));
            self.open = Some(Open::Texts(look));
        }
        self.write(text);
    }

    /// Points as steps of a path, each relative to the one before it; where the path then stands.
    fn steps(&mut self, mut at: BackendCoord, points: &[BackendCoord]) -> BackendCoord {
        let mut told = ' ';
        for (place, point) in points.iter().enumerate() {
            let (dx, dy) = (point.0 - at.0, point.1 - at.1);
            let (step, numbers): (char, &[i32]) = match (place, dx, dy) {
                (0, ..) => ('m', &[dx, dy]),
                (_, 0, 0) if points.len() > 2 => continue,
                (_, _, 0) => ('h', &[dx]),
                (_, 0, _) => ('v', &[dy]),
                _ => ('l', &[dx, dy]),
            };
            if step != told {
                self.written.push(step);
            }
            for (i, number) in numbers.iter().enumerate() {
                let apart = *number >= 0 && (i > 0 || step == told);
                self.write(format_args!("{}{number}", if apart { " " } else { "" }));
            }
            // after a first point further pairs mean lines
            told = if step == 'm' { 'l' } else { step };
            at = *point;
        }
        at
    }
}

/// The backend: shapes on whole points of the grid.
pub(in crate::charts) struct Writer<'m> {
    pub(in crate::charts) markup: &'m mut Markup,
    pub(in crate::charts) size: (u32, u32),
}

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

/// A filled shape of more corners is as long either way.
const MOST_CORNERS: usize = 40;

fn opacity(colour: BackendColor) -> String {
    match colour.alpha {
        1.0 => String::new(),
        alpha => format!(" opacity=\"{alpha}\""),
    }
}

fn stroke(style: &impl BackendStyle) -> String {
    let colour = style.color();
    format!(
        " stroke=\"{}\" stroke-width=\"{}\"{}",
        Role::property(colour),
        style.stroke_width(),
        opacity(colour)
    )
}

fn fill(colour: BackendColor) -> String {
    format!("{} fill=\"{}\"", opacity(colour), Role::property(colour))
}

impl DrawingBackend for Writer<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, at: BackendCoord, colour: BackendColor) -> Drawn {
        self.draw_rect(at, (at.0 + 1, at.1 + 1), &colour, true)
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let points: Vec<BackendCoord> = path.into_iter().collect();
        self.markup.lines(stroke(style), &points);
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        outline: I,
        style: &S,
    ) -> Drawn {
        let corners: Vec<BackendCoord> = outline.into_iter().collect();
        let fill = fill(style.color());
        if corners.len() > MOST_CORNERS {
            let points: Vec<String> = corners.iter().map(|(x, y)| format!("{x},{y}")).collect();
            self.markup
                .add(format_args!("<polygon{fill} points=\"{}\"/>", points.join(" ")));
        } else {
            self.markup.add(format_args!("<path{fill} d=\""));
            self.markup.steps((0, 0), &corners);
            self.markup.add(format_args!("z\"/>"));
        }
        Ok(())
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        a: BackendCoord,
        b: BackendCoord,
        style: &S,
        filled: bool,
    ) -> Drawn {
        let look = if filled {
            fill(style.color())
        } else {
            stroke(style)
        };
        let ((x, y), (width, height)) = (a, (b.0 - a.0, b.1 - a.1));
        self.markup.add(format_args!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"{look}/>"
        ));
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        (x, y): BackendCoord,
        radius: u32,
        style: &S,
        filled: bool,
    ) -> Drawn {
        let look = if filled {
            fill(style.color())
        } else {
            stroke(style)
        };
        self.markup.add(format_args!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"{look}/>"
        ));
        Ok(())
    }

    /// A text around the middle of its height.
    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, style: &S, (x, y): BackendCoord) -> Drawn {
        let anchor = match style.anchor().h_pos {
            HPos::Left => "",
            HPos::Center => " text-anchor=\"middle\"",
            HPos::Right => " text-anchor=\"end\"",
        };
        let weight = match style.style() {
            FontStyle::Bold => " font-weight=\"bold\"",
            FontStyle::Normal | FontStyle::Oblique | FontStyle::Italic => "",
        };
        let turn = match style.transform() {
            FontTransform::Rotate270 => format!(" transform=\"rotate(270, {x}, {y})\""),
            _ => String::new(),
        };
        let fill = fill(style.color());
        let look = format!("{anchor} font-size=\"{}\"{weight}{fill}", style.size());
        let place = format!("x=\"{x}\" y=\"{y}\" dy=\"0.5ex\"{turn}");
        self.markup
            .text(look, format_args!("<text {place}>{}</text>", escaped(text)));
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::charts::pen::{Picture, Side};

    fn drawn(shapes: impl FnOnce(&crate::charts::pen::Pen<'_>)) -> String {
        let mut picture = Picture::new(1000.0, 1000.0);
        picture.draw(shapes);
        let svg = picture.finish("").to_string();
        let (_, inside) = svg.split_once("\"true\">").unwrap();
        inside.trim_end_matches("</svg>").to_string()
    }

    /// Points of a picture on its grid of quarters.
    fn quarters(points: &[(i32, i32)]) -> Vec<(f64, f64)> {
        let quarter = |&(x, y): &(i32, i32)| (f64::from(x) / 4.0, f64::from(y) / 4.0);
        points.iter().map(quarter).collect()
    }

    #[test]
    fn lines_of_one_look_become_one_path_in_steps() {
        let short = drawn(|pen| {
            pen.line(&quarters(&[(288, 0), (288, 20)]), Role::Ink, 1.75);
            let bent = [(288, 34), (288, 54), (300, 60), (290, 50), (290, 50), (280, 55)];
            pen.line(&quarters(&bent), Role::Ink, 1.75);
            pen.line(&quarters(&[(5, 5), (9, 5), (9, 7)]), Role::Ink, 1.75);
        });
        assert_eq!(
            short,
            "<path stroke=\"var(--ink)\" stroke-width=\"7\" \
             d=\"m288 0v20m0 14v20l12 6-10-10-10 5m-275-50h4v2\"/>"
        );
    }

    #[test]
    fn lines_of_two_looks_stay_apart_and_in_their_order() {
        let short = drawn(|pen| {
            pen.line(&quarters(&[(0, 0), (1, 1)]), Role::Ink, 1.0);
            pen.disc((1.0, 2.0), 3.0, Role::Film);
            pen.line(&quarters(&[(2, 2), (3, 3)]), Role::Ink, 1.0);
            pen.line(&quarters(&[(2, 2), (3, 3)]), Role::Quiet, 1.0);
            pen.area((0.0, 0.0), (1.0, 1.0), Role::Band, 0.5);
        });
        assert_eq!(short.matches("<path").count(), 3, "{short}");
        assert!(short.contains("<circle cx=\"4\" cy=\"8\" r=\"12\" fill=\"var(--film)\"/><path"));
        assert!(
            short.ends_with("height=\"4\" opacity=\"0.5\" fill=\"var(--band)\"/>"),
            "{short}"
        );
    }

    #[test]
    fn a_filled_shape_keeps_its_corners_and_is_closed() {
        let few = quarters(&[(1906, 16), (1936, 46), (1906, 76), (1876, 46)]);
        assert_eq!(
            drawn(|pen| pen.shape(&few, Role::Loss)),
            "<path fill=\"var(--loss)\" d=\"m1906 16 30 30-30 30-30-30z\"/>"
        );
        let many: Vec<(i32, i32)> = (0..50).map(|i| (i, i * i)).collect();
        assert!(drawn(|pen| pen.shape(&quarters(&many), Role::Loss)).ends_with("48,2304 49,2401\"/>"));
    }

    #[test]
    fn texts_of_one_look_share_what_they_have_in_common_and_keep_their_place() {
        let short = drawn(|pen| {
            pen.text("a < b", (1.0, 2.0), Side::Middle, Role::Quiet, 12.0);
            pen.text("12", (2.0, 2.0), Side::Middle, Role::Quiet, 12.0);
            pen.bold("A", (2.0, 2.0), Side::Start, Role::Ink, 12.0);
        });
        assert_eq!(
            short,
            "<g text-anchor=\"middle\" font-size=\"48\" fill=\"var(--quiet)\">\
             <text x=\"4\" y=\"8\" dy=\"0.5ex\">a &lt; b</text><text x=\"8\" y=\"8\" dy=\"0.5ex\">12</text></g>\
             <g font-size=\"48\" font-weight=\"bold\" fill=\"var(--ink)\">\
             <text x=\"8\" y=\"8\" dy=\"0.5ex\">A</text></g>"
        );
    }
}
