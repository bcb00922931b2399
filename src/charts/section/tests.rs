use super::*;

impl SectionChart {
    /// Every text of the drawing where it stands.
    pub fn text_boxes(&self) -> Vec<TextBox> {
        Layout::of(self).boxes()
    }

    /// Width and height of the drawing in CSS pixels.
    pub fn size(&self) -> (f64, f64) {
        let layout = Layout::of(self);
        (layout.width, layout.height)
    }

    /// CSS pixels per metre: the one scale of all bodies.
    fn pixels_per_metre(&self) -> f64 {
        Layout::of(self).scale
    }
}

impl AreaChart {
    /// Every text of the drawing where it stands.
    pub fn text_boxes(&self) -> Vec<TextBox> {
        self.boxes()
    }

    /// Width and height of the drawing in CSS pixels.
    pub fn size(&self) -> (f64, f64) {
        self.section().size()
    }
}

/// A ball of 10 mm on a flat that goes on.
fn ball_on_flat() -> SectionChart {
    let window = [-10e-3, 10e-3, -5e-3, 10.5e-3];
    SectionChart {
        window,
        shapes: vec![
            Shape::Body(vec![(-1.0, 0.0), (1.0, 0.0), (1.0, -1.0), (-1.0, -1.0)]),
            Shape::Body(disc((0.0, 5e-3), 5e-3, window)),
            Shape::Touch((0.0, 0.0)),
        ],
        across: vec![DimensionLine {
            from: (-5e-3, 5e-3),
            to: (5e-3, 5e-3),
            words: "ball diameter 10 mm".to_string(),
        }],
        upright: vec![DimensionLine {
            from: (0.0, 0.0),
            to: (0.0, 10e-3),
            words: "as high as it is wide".to_string(),
        }],
        arrows: vec![Arrow::straight((-4e-3, 5e-3), (4e-3, 5e-3), Heads::Both)],
        load: Some(((0.0, 10e-3), "load 200 N".to_string())),
        forces: Vec::new(),
        notes: vec!["the disc goes on".to_string()],
    }
}

#[test]
fn lengths_are_drawn_as_long_as_they_are_at_the_one_scale() {
    let chart = ball_on_flat();
    let svg = chart.draw("a ball on a flat").to_string();
    // Across and upright the ball has the same number of the drawing's quarter pixels.
    let whole = (10e-3 * chart.pixels_per_metre() * 4.0).round() as i64;
    let ends: Vec<i64> = svg
        .split("points=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .filter_map(|points| {
            let mut xs: Vec<i64> = points
                .split_whitespace()
                .filter_map(|point| point.split_once(',')?.0.parse().ok())
                .collect();
            xs.sort_unstable();
            (xs.len() > 200).then(|| xs[xs.len() - 1] - xs[0])
        })
        .collect();
    assert!(
        !ends.is_empty() && ends.iter().all(|wide| (wide - whole).abs() <= 1),
        "{ends:?} {whole}"
    );
}

#[test]
fn a_body_that_reaches_out_of_the_window_is_cut_at_it() {
    let window = Window::of([-1.0, 1.0, -1.0, 1.0]);
    let cut = clipped(&[(-9.0, 0.0), (9.0, 0.0), (9.0, -9.0), (-9.0, -9.0)], window);
    assert!(
        cut.iter().all(|(x, y)| x.abs() <= 1.0 && y.abs() <= 1.0),
        "{cut:?}"
    );
    let lines = strokes(&cut, window);
    let surfaces: Vec<_> = lines.iter().filter(|(_, is_break)| !is_break).collect();
    assert_eq!(surfaces.len(), 1);
    assert!(surfaces[0].0.iter().all(|(_, y)| *y == 0.0));
}

#[test]
fn a_line_that_leaves_the_window_is_cut_off_at_its_edge() {
    let inside = |points: &[Place]| Window::UNIT.inside(points);
    assert_eq!(inside(&[(0.5, 0.5), (1.5, 0.5)]), [[(0.5, 0.5), (1.0, 0.5)]]);
    assert_eq!(inside(&[(-1.0, -1.0), (3.0, 3.0)]), [[(0.0, 0.0), (1.0, 1.0)]]);
    assert!(inside(&[(0.5, 1.5), (0.7, 1.5)]).is_empty());
    assert!(inside(&[(1.5, 0.0), (2.5, 1.0)]).is_empty());
}

#[test]
fn an_outline_is_cut_off_along_the_edges_of_the_window() {
    let cut = clipped(&[(-0.5, 0.2), (1.5, 0.2), (1.5, 0.4), (-0.5, 0.4)], Window::UNIT);
    assert_eq!(cut.len(), 4);
    for corner in [(0.0, 0.2), (1.0, 0.2), (1.0, 0.4), (0.0, 0.4)] {
        assert!(cut.contains(&corner), "{cut:?}");
    }
    assert!(clipped(&[(2.0, 2.0), (3.0, 2.0), (3.0, 3.0)], Window::UNIT).is_empty());
    assert!(clipped(&[], Window::UNIT).is_empty());
}

#[test]
fn a_great_circle_is_drawn_finely_where_the_window_is() {
    let window = [-1e-3, 1e-3, -1e-3, 1e-3];
    let round = circle((0.0, -50.0), 50.0, window);
    let parts = Window::of(window).inside(&round);
    assert_eq!(parts.len(), 1);
    assert!(parts[0].len() > 50, "{}", parts[0].len());
    assert!(clipped(&disc((0.0, -50.0), 50.0, window), Window::of(window)).len() > 50);
}

#[test]
fn an_area_much_longer_than_wide_is_cut_and_keeps_its_width() {
    let strip = |across_m: f64| AreaChart {
        form: AreaShape::Strip {
            along_m: 0.3e-3,
            across_m,
        },
        motion: Heads::One,
        inside: Vec::new(),
        notes: Vec::new(),
        shown: crate::units::DisplayPreferences::default(),
    };
    let (cut, longer) = (strip(20e-3), strip(40e-3));
    assert_eq!(cut.section().window, longer.section().window);
    let words: Vec<_> = cut.text_boxes().into_iter().map(|text| text.words).collect();
    assert_eq!(words, ["half-width 150 µm", "scale: 500 µm", "length 20 mm"]);
    assert!(cut.draw("a strip").to_string().contains("length 20 mm"));
}

#[test]
fn an_area_without_sizes_shows_none() {
    for class in [
        ClassForm::Point,
        ClassForm::Elliptical,
        ClassForm::Line,
        ClassForm::Conformal,
        ClassForm::Unknown,
    ] {
        let chart = AreaChart {
            form: AreaShape::Class(class),
            motion: Heads::One,
            inside: Vec::new(),
            notes: vec!["size not known".to_string()],
            shown: crate::units::DisplayPreferences::default(),
        };
        assert_eq!(chart.text_boxes().len(), 1, "{class:?}");
        assert_eq!(said_inside(chart, class), 4);
    }
}

/// How many texts the drawing has with three lines inside its form; each of them stands in the form's box.
fn said_inside(chart: AreaChart, class: ClassForm) -> usize {
    let inside = ["stated", "by its", "numbers"].map(str::to_string).to_vec();
    let chart = AreaChart { inside, ..chart };
    let (section, boxes) = (chart.section(), chart.text_boxes());
    let layout = crate::charts::section::layout::Layout::of(&section);
    let half = if class == ClassForm::Line { 0.2 } else { 0.5 };
    let ((left, top), (right, bottom)) = (layout.at((-half, 0.5)), layout.at((half, -0.5)));
    for text in boxes.iter().filter(|text| chart.inside.contains(&text.words)) {
        let [a, b, c, d] = text.sides;
        assert!(
            left <= a && top <= b && c <= right && d <= bottom,
            "{class:?} {text:?} {left} {right}"
        );
    }
    boxes.len()
}

#[test]
fn lengths_are_written_in_the_unit_that_suits_them() {
    assert_eq!(
        length(0.18e-3, crate::units::DisplayPreferences::default()),
        "180 µm"
    );
    assert_eq!(
        length(12.7e-3, crate::units::DisplayPreferences::default()),
        "12.7 mm"
    );
    assert_eq!(length(1.2, crate::units::DisplayPreferences::default()), "1.2 m");
}
