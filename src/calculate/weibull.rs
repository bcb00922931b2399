//! Lives or masses of bearings as a Weibull distribution.

use crate::calculate::{Answered, refusal};
use crate::stats::weibull::{
    Life, LifeEnd, Lives, QuantileIntervals, WeibullError, WeibullFit, plotting_positions, real_confidence,
};

/// Most times of a sample.
const MOST_TIMES: usize = 10_000;
/// Shapes that are shown beside a free fit (ours).
const BESIDE: [f64; 3] = [1.5, 2.0, 3.0];
/// The share of failures of a bearing's basic rating life (ISO 281, from memory).
const A_TENTH: f64 = 0.1;
/// Shares at which the drawn line and its band are computed.
const SHARES: [f64; 13] = [
    0.01, 0.02, 0.05, A_TENTH, 0.2, 0.3, 0.4, 0.5, 0.632, 0.8, 0.9, 0.95, 0.99,
];

/// What is asked about a sample.
#[derive(Clone, Debug, PartialEq)]
pub struct WeibullQuestion {
    /// Times, each with how it ended.
    pub lives: Vec<Life>,
    /// A shape that is known; `None` lets the sample say it.
    pub shape: Option<f64>,
}

impl WeibullQuestion {
    /// A question from times and, beside each, whether it was stopped before failure; an empty list: none was.
    ///
    /// # Errors
    /// Names `censored` where it has another length than the times.
    pub fn new(times: &[f64], censored: &[bool], shape: Option<f64>) -> Answered<Self> {
        if !censored.is_empty() && times.len() != censored.len() {
            let problem = format!(
                "must have one true or false for each of the {} times, and has {}",
                times.len(),
                censored.len()
            );
            return Err(vec![refusal("censored", problem)]);
        }
        let life = |(place, time): (usize, &f64)| Life {
            time: *time,
            end: match censored.get(place) {
                Some(true) => LifeEnd::Stopped,
                _ => LifeEnd::Failed,
            },
        };
        Ok(Self {
            lives: times.iter().enumerate().map(life).collect(),
            shape,
        })
    }
}

/// The median with a given shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FixedShape {
    /// Shape.
    pub shape: f64,
    /// Median.
    pub median: f64,
    /// Its interval.
    pub interval: [f64; 2],
}

/// A quantile of the fit with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlottedQuantile {
    /// Share that failed.
    pub share: f64,
    /// Time at which it has.
    pub time: f64,
    /// Interval of that time.
    pub interval: [f64; 2],
}

/// A fit with what is shown beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct WeibullAnswer {
    /// The fit.
    pub fit: WeibullFit,
    /// Number of failures.
    pub failures: usize,
    /// Interval of the median.
    pub interval: [f64; 2],
    /// How often such an interval really holds the median; `None` where the shape was given.
    pub real_confidence: Option<f64>,
    /// The same with given shapes; empty where the shape was given.
    pub beside: Vec<FixedShape>,
    /// The line with its band, for drawing.
    pub line: Vec<PlottedQuantile>,
    /// Each failure as time and plotted share.
    pub plotted: Vec<(f64, f64)>,
}

impl WeibullAnswer {
    /// The life that a tenth do not reach, with its interval; `None` where that has no end.
    pub fn b10(&self) -> Option<&PlottedQuantile> {
        self.line.iter().find(|quantile| quantile.share == A_TENTH)
    }
}

/// Shape, scale and median of greatest likelihood; the median's 90 % interval by profile likelihood.
///
/// # Errors
/// No times, or more than 10 000; a time that is none; too few failures; a shape that is none.
pub fn calculate_weibull(question: &WeibullQuestion) -> Answered<WeibullAnswer> {
    if question.lives.is_empty() || question.lives.len() > MOST_TIMES {
        return Err(vec![refusal("times", format!("give 1 to {MOST_TIMES} times"))]);
    }
    answer(question).map_err(|error| {
        let field = match &error {
            WeibullError::Time { place, .. } => format!("times[{place}]"),
            WeibullError::Shape => "shape".to_string(),
            WeibullError::NotFinite if question.shape.is_some() => "shape".to_string(),
            _ => "times".to_string(),
        };
        vec![refusal(field, problem(error))]
    })
}

fn problem(error: WeibullError) -> String {
    match error {
        WeibullError::Time { place, value } => {
            format!(
                "time {} is {value}: a time must be above zero and finite",
                place + 1
            )
        }
        WeibullError::TooFewFailures { failures } => format!(
            "{failures} of the times are failures: with a free shape at least two are needed, with a given shape one"
        ),
        WeibullError::NoScatter => {
            "all failures lie at the greatest time: the shape has no finite estimate; give the shape"
                .to_string()
        }
        WeibullError::Shape => "a shape must be above zero and finite".to_string(),
        WeibullError::NotFinite => {
            "with these times and this shape the scale leaves the finite numbers".to_string()
        }
    }
}

fn answer(question: &WeibullQuestion) -> Result<WeibullAnswer, WeibullError> {
    let lives = Lives::new(&question.lives)?;
    let (fit, region) = match question.shape {
        Some(shape) => {
            let fit = lives.fit_with_shape(shape)?;
            (fit, QuantileIntervals::with_shape_given(&lives, &fit))
        }
        None => {
            let fit = lives.fit()?;
            (fit, QuantileIntervals::around(&lives, &fit))
        }
    };
    let quantile = |share: f64| {
        Some(PlottedQuantile {
            share,
            time: fit.quantile(share),
            interval: region.of_quantile(share).ok()?,
        })
    };
    let beside = match question.shape {
        Some(_) => Vec::new(),
        None => BESIDE
            .into_iter()
            .filter_map(|shape| with_shape(&lives, shape).ok())
            .collect(),
    };
    Ok(WeibullAnswer {
        failures: lives.failures(),
        interval: region.of_quantile(0.5)?,
        real_confidence: question
            .shape
            .is_none()
            .then(|| real_confidence(lives.failures()))
            .flatten(),
        beside,
        line: SHARES.into_iter().filter_map(quantile).collect(),
        plotted: plotting_positions(&question.lives),
        fit,
    })
}

fn with_shape(lives: &Lives, shape: f64) -> Result<FixedShape, WeibullError> {
    let fit = lives.fit_with_shape(shape)?;
    Ok(FixedShape {
        shape,
        median: fit.median(),
        interval: QuantileIntervals::with_shape_given(lives, &fit).of_quantile(0.5)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask(times: &[f64], shape: Option<f64>) -> Answered<WeibullAnswer> {
        calculate_weibull(&WeibullQuestion::new(times, &[], shape)?)
    }

    #[test]
    fn a_free_fit_stands_beside_three_given_shapes_and_a_given_one_alone() {
        let free = ask(&[11.0, 14.0, 9.0, 21.0], None).unwrap();
        assert_eq!(free.beside.len(), 3);
        assert!(free.interval[0] < free.fit.median() && free.fit.median() < free.interval[1]);
        // Closed form with shape 2, recomputed: 12.05767892765637.
        assert!((free.beside[1].median - 12.057_678_927_656_37).abs() < 1e-9);
        assert!(ask(&[11.0, 14.0], Some(2.0)).unwrap().beside.is_empty());
    }

    #[test]
    fn what_has_no_answer_is_named_by_its_field() {
        let field = |times: &[f64], shape| ask(times, shape).unwrap_err()[0].field.clone();
        assert_eq!(field(&[], None), "times");
        assert_eq!(field(&[3.0], None), "times");
        assert_eq!(field(&[3.0, -1.0], None), "times[1]");
        assert_eq!(field(&[3.0, 3.0], None), "times");
        assert_eq!(field(&[3.0, 4.0], Some(-1.0)), "shape");
        assert_eq!(field(&[3.0, 4.0], Some(1e-9)), "shape");
        assert_eq!(
            WeibullQuestion::new(&[1.0, 2.0], &[true], None).unwrap_err()[0].field,
            "censored"
        );
    }
}
