//! A case of our own as strips: the candidate that reads highest, and the blend of the page, on the position scale.

use crate::charts::{Svg, Who};
use crate::explain::Explanation;
use crate::prose::standing::number_of_standard;
use crate::records::{BlendCode, TestKey};
use crate::standing::{Anchored, Comparison};
use crate::web::figures;
use crate::web::pages::comparison::cast::{Cast, LegendEntry};
use crate::web::pages::comparison::plot;
use crate::web::preferences::preferences;

/// The case, as the page shows it.
pub(super) struct CounterView {
    pub(super) blend: String,
    /// The blend of the page; empty where it is the case itself.
    pub(super) own: String,
    pub(super) heading: String,
    pub(super) rejected: bool,
    pub(super) rows: Vec<StripRow>,
    pub(super) legend: Vec<LegendEntry>,
}

/// One test.
pub(super) struct StripRow {
    pub(super) key: String,
    pub(super) name: String,
    pub(super) standard: String,
    pub(super) resemblance: String,
    pub(super) drawing: Svg,
    pub(super) lacks: &'static str,
    pub(super) read: Vec<String>,
    pub(super) told: &'static str,
}

impl CounterView {
    /// `None` where there is no case.
    pub(super) fn new(explained: &Explanation, comparison: &Comparison) -> Option<Self> {
        let counter = explained.call.counter.as_ref()?;
        let (records, standing) = (&comparison.records, &comparison.standing);
        let cast = Cast::of(records);
        let is_shown = |code: &str| code == counter.blend || code == explained.blend;
        let blends = standing
            .candidates
            .iter()
            .filter(|candidate| is_shown(candidate.blend.as_str()));
        let place = |blend: &BlendCode| cast.index(blend);
        let shown: Vec<usize> = blends
            .clone()
            .filter_map(|candidate| place(&candidate.blend))
            .collect();
        let inside = blends.filter(|candidate| !candidate.is_out());
        let lanes: Vec<usize> = inside.filter_map(|candidate| place(&candidate.blend)).collect();
        let is_same = counter.blend == explained.blend;
        let rows = counter.rows.iter().filter_map(|row| {
            let (method, quantity) = row.key.split_once('/')?;
            let key = TestKey::new(&crate::catalogue::MethodId::new(method)?, quantity);
            let test = standing.test(&key)?;
            let strip = test.strip.as_ref()?;
            let mut chart = plot::chart(test, standing, records, &cast)?;
            chart
                .marks
                .retain(|mark| matches!(mark.who, Who::Candidate(index) if shown.contains(&index)));
            Some(StripRow {
                name: preferences().dress_within(&test.label),
                standard: number_of_standard(&test.standard).to_string(),
                resemblance: row.resemblance.map(figures::position).unwrap_or_default(),
                drawing: chart.draw_row(&lanes),
                lacks: match strip.anchored {
                    Anchored::Both => "",
                    Anchored::Good => "poor",
                    Anchored::Poor => "good",
                    Anchored::None => "both",
                },
                read: (row.read.iter().enumerate())
                    .map(|(at, number)| match number {
                        _ if is_same && at == 2 => String::new(),
                        Some(number) => number.clone(),
                        None => "not run".to_string(),
                    })
                    .collect(),
                told: row.told.unwrap_or("not judged"),
                key: row.key.clone(),
            })
        });
        Some(Self {
            blend: counter.blend.clone(),
            own: if is_same {
                String::new()
            } else {
                explained.blend.clone()
            },
            heading: counter.heading.clone(),
            rejected: counter.rejected,
            rows: rows.collect(),
            legend: cast
                .legend()
                .into_iter()
                .filter(|entry| is_shown(&entry.code))
                .collect(),
        })
    }
}
