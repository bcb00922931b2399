//! The lead over each other candidate, and the weights that would take it away.

use crate::charts::{Svg, legend_mark};
use crate::prose::standing::{per_cent, short_test_name};
use crate::records::TestKey;
use crate::standing::{CommonChange, Rival, Standing};
use crate::web::figures;
use crate::web::pages::comparison::cast::Cast;
use crate::web::pages::comparison::verdicts::some_of;

/// The front-runner beside one other candidate.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RivalRow {
    pub(crate) index: Option<usize>,
    pub(crate) code: String,
    pub(crate) mark: Svg,
    pub(crate) lead: String,
    pub(crate) wins: String,
    pub(crate) alone: String,
    pub(crate) together: String,
}

/// One row per rival, greatest score first.
pub(crate) fn rows(standing: &Standing, cast: &Cast<'_>) -> Vec<RivalRow> {
    let row = |rival: &Rival| RivalRow {
        index: cast.index(&rival.blend),
        code: rival.blend.to_string(),
        mark: cast.index(&rival.blend).map(legend_mark).unwrap_or_default(),
        lead: figures::signed(rival.lead),
        wins: per_cent(rival.front_wins),
        alone: alone(standing, rival),
        together: match &rival.change {
            Some(change) => together(standing, change),
            None => "no test favours it: no weights put it in front".to_string(),
        },
    };
    standing.rivals.iter().map(row).collect()
}

/// `Wear × 0.42; Fail stage × 2.1`.
fn alone(standing: &Standing, rival: &Rival) -> String {
    let mut tips: Vec<(&TestKey, &f64)> = rival.tips.iter().collect();
    tips.sort_by(|a, b| a.1.ln().abs().total_cmp(&b.1.ln().abs()).then(a.0.cmp(b.0)));
    let named: Vec<String> = tips
        .iter()
        .map(|(key, factor)| {
            format!(
                "{} × {}",
                short_test_name(standing, key),
                figures::position(**factor)
            )
        })
        .collect();
    if named.is_empty() {
        "none".to_string()
    } else {
        some_of(&named)
    }
}

fn together(standing: &Standing, change: &CommonChange) -> String {
    let named = |keys: &[TestKey]| {
        let names: Vec<String> = keys.iter().map(|key| short_test_name(standing, key)).collect();
        some_of(&names)
    };
    let factor = figures::position(change.factor);
    format!(
        "{} × {factor}, {} ÷ {factor}",
        named(&change.raise),
        named(&change.lower)
    )
}
