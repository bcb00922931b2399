//! How far results of one test scatter: from its published precision, from replicates, or from both.

use crate::catalogue::{Origin, Precision, PrecisionKind, Quantity, Scale, step_around};
use crate::records::BlendCode;
use crate::resemblance::median;
use crate::standing::evidence::{Evidence, exact};
use crate::standing::levels::Block;
use crate::stats::deviation::{CANNOT_BE_RARE_BELOW, Deviation, variance_ratio_tail};
use crate::stats::precision::{
    DIFFERENCE_95, between_variance, ladder_sd_steps, pooled, sd_from_constant, sd_from_level,
    sd_from_percent, within_groups,
};
use crate::units::Unit;
use std::collections::BTreeMap;

/// Weight, in degrees of freedom, of a published precision against replicates (ours).
const PUBLISHED_FREEDOM: f64 = 30.0;
/// Fewest degrees of freedom from which replicates count.
const LEAST_FREEDOM: f64 = 3.0;

/// A precision as it is stated.
#[derive(Clone, Debug, PartialEq)]
pub struct StatedPrecision {
    /// Whose method states it.
    pub origin: Origin,
    /// The precision.
    pub precision: Precision,
    /// The unit of its amounts.
    pub unit: Unit,
}

/// Where the scatter of a test comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct PrecisionSource {
    /// The stated precision; `None` where the trial's replicates are all there is.
    pub stated: Option<StatedPrecision>,
    /// Degrees of freedom of the trial's replicates, where they count.
    pub freedom: Option<f64>,
}

/// The scatter of one test on its working scale.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Spread {
    /// Standard deviation of a run within one block.
    pub(crate) within_sd: f64,
    /// Degrees of freedom that the standard deviation rests on.
    pub(crate) freedom: f64,
    /// Blends whose replicates scatter far more than those of the others: each is judged by its own alone.
    pub(crate) departing: BTreeMap<BlendCode, Deviation>,
    /// The same from the published precision alone; `None` where none is published.
    pub(crate) published_sd: Option<f64>,
    /// Repeatability r: 95 % limit of the difference of two runs in one block.
    pub(crate) repeatability: f64,
    /// Reproducibility R: 95 % limit between laboratories.
    pub(crate) reproducibility: f64,
    /// Variance of the shift between blocks.
    pub(crate) between_variance: f64,
    /// Where it comes from.
    pub(crate) source: PrecisionSource,
}

impl Spread {
    /// How far a run scatters within one block, with what is open of that.
    pub(crate) fn deviation(&self) -> Deviation {
        Deviation {
            sd: self.within_sd,
            freedom: self.freedom,
        }
    }

    /// Standard deviation of a run of one blend within one block.
    pub(crate) fn sd_of(&self, blend: &BlendCode) -> f64 {
        self.departing.get(blend).map_or(self.within_sd, |own| own.sd)
    }

    /// Whether the reproducibility is stated; else twice the repeatability stands for it.
    pub(crate) fn states_reproducibility(&self) -> bool {
        let stated = self.source.stated.as_ref();
        stated.is_some_and(|stated| stated.precision.reproducibility.is_some())
    }
}

/// The scatter of a test; `None` with neither a published precision nor enough replicates.
pub(crate) fn spread(evidence: &Evidence) -> Option<Spread> {
    let quantity = evidence.quantity;
    let middles = evidence
        .runs()
        .map(|(_, run)| mean_of_ends(run.observation.ends()));
    let published = published(quantity, evidence.method.origin, median(middles.collect()));
    let replicates = if quantity.scale.is_stepped() {
        BTreeMap::new()
    } else {
        replicates(evidence)
    };
    let known = published.as_ref().map(|known| known.within_sd);
    let departing = departing(&replicates, known);
    let of_others = replicates
        .iter()
        .filter(|(blend, _)| !departing.contains_key(**blend));
    let (sum_of_squares, freedom) = sum_of(of_others.map(|(_, one)| *one));
    let enough = freedom >= LEAST_FREEDOM && sum_of_squares > 0.0;
    let (sd, counted) = match (published.as_ref(), enough) {
        (Some(known), true) => {
            let sd = pooled(known.within_sd, PUBLISHED_FREEDOM, sum_of_squares, freedom)?;
            (sd, Some(freedom))
        }
        (Some(known), _) => (known.within_sd, None),
        (None, true) => ((sum_of_squares / freedom).sqrt(), Some(freedom)),
        (None, _) => return None,
    };
    let factor = published
        .as_ref()
        .map_or(2.0, |known| known.reproducibility / known.repeatability);
    let stepped = published.as_ref().filter(|_| quantity.scale.is_stepped());
    let repeatability = stepped.map_or(sd * DIFFERENCE_95, |known| known.repeatability);
    let reproducibility = stepped.map_or(repeatability * factor, |known| known.reproducibility);
    let between = match stepped {
        Some(known) => known.between_variance,
        None => between_variance(repeatability, reproducibility).unwrap_or(0.0),
    };
    Some(Spread {
        within_sd: sd,
        freedom: published.as_ref().map_or(0.0, |_| PUBLISHED_FREEDOM) + counted.unwrap_or(0.0),
        departing,
        published_sd: known,
        repeatability,
        reproducibility,
        between_variance: between,
        source: PrecisionSource {
            stated: published.and_then(|known| known.source.stated),
            freedom: counted,
        },
    })
}

/// The scatter that the stated precision of a quantity gives around the middle of its results, on the working scale;
/// `None` where none is stated, or where it cannot be placed without a result. `origin` is the method's.
pub(crate) fn published(quantity: &Quantity, origin: Origin, middle: Option<f64>) -> Option<Spread> {
    let precision = quantity.precision.as_ref()?;
    let source = || PrecisionSource {
        stated: Some(StatedPrecision {
            origin,
            precision: precision.clone(),
            unit: quantity.unit,
        }),
        freedom: None,
    };
    let r = precision.repeatability;
    let big_r = precision.reproducibility_or_twice();
    let logarithmic = matches!(quantity.scale, Scale::Ln { .. } | Scale::LnLadder(_));
    let level = || precision.level.or_else(|| typical_level(quantity, middle));
    let (within_sd, scale_of_r) = match precision.kind {
        PrecisionKind::Steps => return steps(r, big_r, quantity, middle, source()),
        PrecisionKind::PerCent if logarithmic => (sd_from_percent(r)?, 0.01),
        PrecisionKind::PerCent => (sd_from_constant(r * level()? / 100.0)?, level()? / 100.0),
        PrecisionKind::Constant if logarithmic => (sd_from_level(r, level()?)?, 1.0 / level()?),
        PrecisionKind::Constant => (sd_from_constant(r)?, 1.0),
    };
    let (repeatability, reproducibility) = (r * scale_of_r, big_r * scale_of_r);
    let same = quantity.scale.is_stepped() && reproducibility == repeatability;
    let between = match typical_step(quantity, middle) {
        Some(step) if same => (0.5 * step).powi(2),
        _ => between_variance(repeatability, reproducibility)?,
    };
    Some(Spread {
        within_sd,
        freedom: PUBLISHED_FREEDOM,
        departing: BTreeMap::new(),
        published_sd: Some(within_sd),
        repeatability,
        reproducibility,
        between_variance: between,
        source: source(),
    })
}

/// "r = m steps" means that 95 % of pairs of runs lie within m steps of each other.
fn steps(
    r: f64,
    big_r: f64,
    quantity: &Quantity,
    middle: Option<f64>,
    source: PrecisionSource,
) -> Option<Spread> {
    let step = typical_step(quantity, middle)?;
    let within = ladder_sd_steps(r.round() as u32)?;
    let between = if big_r > r {
        let across = ladder_sd_steps(big_r.round() as u32)?;
        across.powi(2) - within.powi(2)
    } else {
        0.25
    };
    Some(Spread {
        within_sd: within * step,
        freedom: PUBLISHED_FREEDOM,
        departing: BTreeMap::new(),
        published_sd: Some(within * step),
        repeatability: r * step,
        reproducibility: big_r * step,
        between_variance: between * step * step,
        source,
    })
}

/// The step of the ladder, on the working scale, around the middle of the results.
fn typical_step(quantity: &Quantity, middle: Option<f64>) -> Option<f64> {
    let working = quantity.working_steps();
    step_around(&working, middle.or_else(|| median(working.clone()))?)
}

fn mean_of_ends((lo, hi): (f64, f64)) -> f64 {
    0.5 * (lo + hi)
}

/// The level around which a test reads, in the quantity's unit.
fn typical_level(quantity: &Quantity, middle: Option<f64>) -> Option<f64> {
    Some(quantity.scale.from_working(middle?)).filter(|level| *level > 0.0)
}

/// Sum of squares and degrees of freedom.
type Squares = (f64, f64);

/// Those of the readings of each blend about their mean in one block, added up over its blocks.
fn replicates<'e>(evidence: &'e Evidence) -> BTreeMap<&'e BlendCode, Squares> {
    let mut groups: BTreeMap<&BlendCode, BTreeMap<&Block, Vec<f64>>> = BTreeMap::new();
    for (blend, run) in evidence.runs() {
        let of_blend = groups.entry(blend).or_default();
        let group = of_blend.entry(&run.block).or_default();
        group.extend(exact(run.observation));
    }
    let within = |groups: BTreeMap<&Block, Vec<f64>>| within_groups(groups.values().map(Vec::as_slice));
    groups
        .into_iter()
        .map(|(blend, groups)| (blend, within(groups)))
        .collect()
}

fn sum_of(squares: impl Iterator<Item = Squares>) -> Squares {
    squares.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
}

/// Chance, over all blends of a quantity together, that one of equal scatter is taken to depart.
const DEPARTS_BY_CHANCE: f64 = 0.01;

/// Blends whose variance is too large beside that of all others and of the published precision (F test, each blend left
/// out in turn): one blend's wild replicates must not widen what is said of the rest.
fn departing(
    replicates: &BTreeMap<&BlendCode, Squares>,
    published: Option<f64>,
) -> BTreeMap<BlendCode, Deviation> {
    let compared: Vec<_> = replicates
        .iter()
        .filter(|(_, (_, freedom))| *freedom > 0.0)
        .collect();
    let known = published.map(|sd| (PUBLISHED_FREEDOM * sd * sd, PUBLISHED_FREEDOM));
    let beyond = DEPARTS_BY_CHANCE / compared.len().max(1) as f64;
    let departs = |(blend, (squares, freedom)): &&(&&BlendCode, &Squares)| {
        let others = compared.iter().filter(|(other, _)| other != blend);
        let (sum, of_others) = sum_of(others.map(|(_, one)| **one).chain(known));
        let ratio = (squares / freedom) / (sum / of_others);
        let may_be_rare = sum > 0.0 && freedom * ratio >= CANNOT_BE_RARE_BELOW;
        may_be_rare && variance_ratio_tail(ratio, (*freedom, of_others)) < beyond
    };
    let own = |(blend, (squares, freedom)): &(&&BlendCode, &Squares)| {
        let deviation = Deviation {
            sd: (squares / freedom).sqrt(),
            freedom: *freedom,
        };
        ((**blend).clone(), deviation)
    };
    compared.iter().filter(departs).map(own).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::built_in_method;
    use crate::records::{TestKey, TrialRecords};
    use crate::standing::evidence::gather;
    use crate::support::code;
    use crate::support::trials::a_against_b;

    const BENCH: &str = "bench/wear";

    /// The spread of the first test of a trial whose bench states another precision.
    fn of(records: &TrialRecords) -> Option<Spread> {
        spread(&gather(records)[0])
    }

    fn bench(runs: &[&str], precision: impl FnOnce(&mut Quantity)) -> TrialRecords {
        let trial = a_against_b(&["rolling wear"], &[]).own_bench("bench", "rolling wear");
        let mut records = trial.runs("A", BENCH, runs).runs("B", BENCH, &["0.9"]).build();
        let own = records
            .methods
            .iter_mut()
            .find(|method| method.id.as_str() == "bench")
            .unwrap();
        precision(&mut own.quantities[0]);
        assert!(records.test(&TestKey::parse(BENCH).unwrap()).is_some());
        records
    }

    #[test]
    fn without_a_published_precision_replicates_count_from_3_degrees_of_freedom() {
        let three = bench(&["0.4", "0.5", "0.6"], |quantity| quantity.precision = None);
        assert_eq!(of(&three), None, "2 degrees of freedom");
        let four = bench(&["0.4", "0.5", "0.6", "0.5"], |quantity| {
            quantity.precision = None
        });
        let spread = of(&four).unwrap();
        assert_eq!(spread.freedom, 3.0);
        assert!(
            (spread.within_sd - (0.02f64 / 3.0).sqrt()).abs() < 1e-12,
            "{spread:?}"
        );
    }

    #[test]
    fn a_published_precision_counts_as_30_degrees_of_freedom_beside_replicates() {
        let records = bench(&["0.45", "0.5", "0.55", "0.5"], |_| ());
        let published = 0.1 / DIFFERENCE_95;
        let pooled = ((30.0 * published.powi(2) + 0.005) / 33.0).sqrt();
        let spread = of(&records).unwrap();
        assert!((spread.within_sd - pooled).abs() < 1e-12);
        assert_eq!(spread.freedom, 33.0);
        assert!(spread.departing.is_empty());
    }

    #[test]
    fn a_blend_of_wild_replicates_is_judged_by_them_alone_and_widens_no_other() {
        let wild = of(&bench(&["0.1", "0.5", "0.9", "0.5"], |_| ())).unwrap();
        assert_eq!((wild.within_sd, wild.freedom), (0.1 / DIFFERENCE_95, 30.0));
        let own = wild.departing[&code("A")];
        assert!((own.sd - (0.32f64 / 3.0).sqrt()).abs() < 1e-12);
        assert_eq!(own.freedom, 3.0);
        assert_eq!(wild.sd_of(&code("A")), own.sd);
        assert_eq!(wild.sd_of(&code("B")), wild.within_sd);
    }

    /// Sum of squares and degrees of freedom of three blends, with and without a published deviation.
    #[test]
    fn variances_are_compared_before_they_are_pooled() {
        let codes = [code("A"), code("B"), code("C")];
        let of = |third: Squares, published: Option<f64>| {
            let squares = [(0.02, 2.0), (0.03, 2.0), third];
            let replicates = codes.iter().zip(squares).collect();
            departing(&replicates, published)
        };
        assert!(of((0.01, 1.0), None).is_empty());
        assert!(of((0.01, 1.0), Some(0.1)).is_empty());
        let wild = of((9.0, 2.0), None);
        assert_eq!(wild.keys().collect::<Vec<_>>(), [&codes[2]]);
        assert!((wild[&codes[2]].sd - 4.5f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_variance_departs_where_chance_makes_it_so_large_less_than_once_in_a_hundred_for_all_blends_together()
    {
        let code = code("A");
        let departs = |ratio: f64| {
            let replicates = BTreeMap::from([(&code, (ratio * 2.0, 2.0))]);
            !departing(&replicates, Some(1.0)).is_empty()
        };
        // upper 1 % point of F with 2 and 30 degrees of freedom: 5.39, handbook table (from memory)
        assert!(!departs(5.38) && departs(5.40));
    }

    #[test]
    fn blocks_vary_by_what_reproducibility_exceeds_repeatability() {
        let between = |reproducibility: Option<f64>| {
            let state = |quantity: &mut Quantity| {
                quantity.precision.as_mut().unwrap().reproducibility = reproducibility;
            };
            of(&bench(&["0.4"], state)).unwrap().between_variance
        };
        let variance = |r: f64, big_r: f64| (big_r.powi(2) - r.powi(2)) / DIFFERENCE_95.powi(2);
        assert!((between(Some(0.2)) - variance(0.1, 0.2)).abs() < 1e-12);
        assert!((between(Some(0.3)) - variance(0.1, 0.3)).abs() < 1e-12);
        assert!(
            (between(None) - variance(0.1, 0.2)).abs() < 1e-12,
            "R not published: 2 r"
        );
        assert_eq!(between(Some(0.1)), 0.0, "R = r, no ladder");
    }

    #[test]
    fn on_a_ladder_whose_reproducibility_is_its_repeatability_blocks_vary_by_half_a_step() {
        let method = built_in_method("gear_A8").unwrap();
        let mut stage = method
            .quantities
            .iter()
            .find(|quantity| quantity.id == "fail_stage")
            .unwrap()
            .clone();
        let mut between = |reproducibility: f64| {
            let precision = stage.precision.as_mut().unwrap();
            precision.kind = PrecisionKind::Steps;
            precision.repeatability = 1.0;
            precision.reproducibility = Some(reproducibility);
            published(&stage, Origin::BuiltIn, Some(8.0))
                .unwrap()
                .between_variance
        };
        assert!((between(1.0) - 0.25).abs() < 1e-12, "one stage is the step");
        let (one, two) = (ladder_sd_steps(1).unwrap(), ladder_sd_steps(2).unwrap());
        assert!((between(2.0) - (two.powi(2) - one.powi(2))).abs() < 1e-12);
    }
}
