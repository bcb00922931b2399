//! Trials whose truth is known, judged by the kernel. All data invented; the truth of a candidate comes from the
//! engine's own prior, N(midpoint of the references, gap^2), and the true weights from its Beta.

use std::collections::BTreeSet;

use likewear::facade::catalogue::MethodId;
use likewear::facade::standing::kernel::{
    Anchors, BlockId, BlockInput, CellData, Fitted, KernelInput, KnownFits, Selection, TestInput, Who,
    WithoutTests, candidate_streams, fit,
};
use likewear::facade::standing::{
    Calibration, Claims, EqualBlends, HEAD_ROOM, Leaders, PAIRWISE, RESOLVED, Tenth, WithoutScreen,
};
use likewear::facade::stats::deviation::Deviation;
use likewear::facade::stats::draws::{Stream, UncertainWeight};
use likewear::facade::stats::observation::Observation::{self, Above, Between, Exact};
use likewear::facade::stats::precision::{DIFFERENCE_95, ladder_sd_steps};
use likewear::facade::stats::severity::BlockShift;
use likewear::facade::units::position;
use rayon::prelude::*;

pub(crate) const SEED: u64 = 20_261_126;

/// Everything that the about page tells, from so many trials per line.
pub(crate) fn calibrate(trials: usize, draws: usize) -> Calibration {
    let simulation = Simulation { trials, draws };
    Calibration {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        trials,
        draws,
        seed: SEED,
        claims: [1.0, 1.6, 0.6].map(|s| simulation.claims(s)).to_vec(),
        leaders: [Some(3), Some(5), Some(12), None]
            .map(|freedom| simulation.leaders(freedom))
            .to_vec(),
        equal: [2, 3, 4, 6].map(|n| simulation.equal_blends(n)).to_vec(),
        screens: [-1.0, -0.5, 0.0, 0.5, 1.0]
            .map(|ahead| simulation.without_screen(ahead))
            .to_vec(),
    }
}

#[derive(Clone, Copy)]
struct Simulation {
    trials: usize,
    draws: usize,
}

/// What a test reads.
#[derive(Clone, Copy)]
enum Reading {
    Number,
    /// Failing step of a ladder with steps of this length.
    Step(f64),
    /// Failing stage, the last being 12; the known good lies at the last one.
    Stage,
}

/// A test before anything is run: the known poor lies at `poor`, the known good one `gap` above it.
#[derive(Clone, Copy)]
struct Bench {
    reading: Reading,
    poor: f64,
    gap: f64,
    sd: f64,
    weight: f64,
}

impl Bench {
    /// One of three kinds; one result of a ladder or a measured quantity scatters by a tenth to half of the gap.
    fn any(random: &mut Stream) -> Self {
        let sd = 0.1 + 0.4 * random.uniform();
        let weight = 0.1 + 0.8 * random.uniform();
        let one_step = ladder_sd_steps(1).unwrap();
        let (reading, poor, gap, sd) = match (3.0 * random.uniform()) as usize {
            0 => (Reading::Number, 0.0, 1.0, sd),
            1 => (Reading::Step(sd / one_step), 0.0, 1.0, sd),
            _ => (Reading::Stage, 8.0, 4.0, one_step),
        };
        Self {
            reading,
            poor,
            gap,
            sd,
            weight,
        }
    }

    fn at(&self, position: f64) -> f64 {
        self.poor + self.gap * position
    }

    fn cap(&self) -> Option<f64> {
        matches!(self.reading, Reading::Stage).then_some(12.0)
    }

    /// True position: held at the cap, slowed beyond the references.
    fn position_of(&self, truth: f64) -> f64 {
        let held = truth.min(self.cap().unwrap_or(f64::INFINITY));
        position((held - self.poor) / self.gap, HEAD_ROOM)
    }

    fn read(&self, truth: f64, scatter: f64, random: &mut Stream) -> Observation {
        let value = truth + scatter * self.sd * random.normal();
        let between = |step: f64| {
            let hi = step * (value / step).ceil();
            Between { lo: hi - step, hi }
        };
        match self.reading {
            Reading::Number => Exact(value),
            Reading::Step(step) => between(step),
            Reading::Stage if value > 12.0 => Above(12.0),
            Reading::Stage => between(1.0),
        }
    }

    fn cell(&self, truth: f64, runs: usize, scatter: f64, random: &mut Stream) -> CellData {
        let observations: Vec<Observation> = (0..runs).map(|_| self.read(truth, scatter, random)).collect();
        CellData::of(observations.iter().map(|&one| (one, BlockId(0))).collect())
    }
}

/// A simulated trial.
struct Trial {
    benches: Vec<Bench>,
    concentration: f64,
    /// True working value per test and candidate.
    truths: Vec<Vec<f64>>,
    scatter: f64,
    /// Degrees of freedom from which the engine is told every deviation; none: it is told the true one.
    freedom: Option<u32>,
    /// Runs per cell.
    runs: usize,
}

/// A deviation as so many degrees of freedom estimate it.
fn estimated(sd: f64, freedom: Option<u32>, random: &mut Stream) -> Deviation {
    let Some(freedom) = freedom else {
        return Deviation {
            sd,
            freedom: f64::INFINITY,
        };
    };
    let squares: f64 = (0..freedom).map(|_| random.normal().powi(2)).sum();
    Deviation {
        sd: sd * (squares / f64::from(freedom)).sqrt(),
        freedom: f64::from(freedom),
    }
}

impl Trial {
    fn fitted(&self, draws: usize, random: &mut Stream) -> Fitted {
        let mut tests = Vec::new();
        for (k, (bench, truths)) in self.benches.iter().zip(&self.truths).enumerate() {
            let deviation = estimated(bench.sd, self.freedom, random);
            let mut cell = |truth: f64, runs: usize| bench.cell(truth, runs, self.scatter, random);
            let (good, poor) = (cell(bench.at(1.0), 2), cell(bench.at(0.0), 2));
            tests.push(TestInput {
                key: format!("test {k}"),
                method: MethodId::new(&format!("test {k}")).unwrap(),
                family: format!("test {k}"),
                sign: 1.0,
                deviation,
                cap: bench.cap(),
                weight: bench.weight,
                anchors: Anchors::Two { good, poor },
                candidates: truths.iter().map(|&truth| cell(truth, self.runs)).collect(),
                control: None,
                middle: None,
            });
        }
        let names: Vec<String> = (0..self.truths[0].len()).map(|i| format!("blend {i}")).collect();
        let input = KernelInput {
            candidate_streams: candidate_streams(&names, &tests),
            tests,
            blocks: vec![BlockInput {
                key: "block".to_owned(),
                shift: BlockShift::NONE,
            }],
            head_room: HEAD_ROOM,
            concentration: self.concentration,
            draws,
            seed: (random.uniform() * 1e15) as u64,
        };
        fit(&input, &KnownFits::default()).unwrap()
    }

    /// Chance of being truly best per candidate (1 for one of them, or shared between those that are level), and true
    /// scores.
    fn truth(&self, random: &mut Stream) -> (Vec<f64>, Vec<f64>) {
        let mut scores = vec![0.0; self.truths[0].len()];
        let mut total = 0.0;
        for (bench, truths) in self.benches.iter().zip(&self.truths) {
            let weight = UncertainWeight::new(bench.weight, self.concentration)
                .unwrap()
                .draw(random);
            total += weight;
            for (score, &truth) in scores.iter_mut().zip(truths) {
                *score += weight * bench.position_of(truth);
            }
        }
        let top = scores.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let best: Vec<bool> = scores.iter().map(|s| top - s < 1e-12).collect();
        let shared = best.iter().filter(|b| **b).count() as f64;
        let best = best.into_iter().map(|best| if best { 1.0 / shared } else { 0.0 });
        (best.collect(), scores.iter().map(|score| score / total).collect())
    }
}

fn pick<T: Copy>(of: &[T], random: &mut Stream) -> T {
    of[(random.uniform() * of.len() as f64) as usize]
}

impl Simulation {
    fn each<T: Send>(self, key: u64, trial: impl Fn(&mut Stream) -> T + Sync) -> Vec<T> {
        (0..self.trials as u64)
            .into_par_iter()
            .map(|number| trial(&mut Stream::new(SEED + number, key)))
            .collect()
    }

    /// Two to six candidates in two to six tests, machine data of any confidence, truth from the engine's prior.
    fn claims(self, true_scatter: f64) -> Claims {
        let trials = self.each(1, |random| {
            let benches: Vec<Bench> = (0..pick(&[2, 3, 4, 5, 6], random))
                .map(|_| Bench::any(random))
                .collect();
            let candidates = pick(&[2, 3, 4, 6], random);
            let truths = benches
                .iter()
                .map(|bench| (0..candidates).map(|_| bench.at(0.5 + random.normal())).collect())
                .collect();
            let trial = Trial {
                benches,
                concentration: pick(&[5.0, 15.0, 50.0], random),
                truths,
                scatter: true_scatter,
                freedom: None,
                runs: pick(&[1, 2, 3], random),
            };
            let (best, _) = trial.truth(random);
            let fitted = trial.fitted(self.draws, random);
            let standing = fitted.weigh(&Selection::default()).unwrap().ranking();
            (standing.p_best, best)
        });
        let mut sums = [(0usize, 0.0, 0.0); 10];
        for (said, best) in trials {
            for (p, true_share) in said.into_iter().zip(best) {
                let tenth = &mut sums[((10.0 * p) as usize).min(9)];
                *tenth = (tenth.0 + 1, tenth.1 + p, tenth.2 + true_share);
            }
        }
        let line = |(candidates, said, came_true): (usize, f64, f64)| Tenth {
            candidates,
            said: said / candidates as f64,
            came_true: came_true / candidates as f64,
        };
        Claims {
            true_scatter,
            tenths: sums.into_iter().filter(|sum| sum.0 > 0).map(line).collect(),
        }
    }

    /// Readings alone, deviations from few degrees of freedom: how often a leader that is named is truly the best, and how
    /// often intervals hold the truth.
    fn leaders(self, freedom: Option<u32>) -> Leaders {
        let trials = self.each(4, |random| {
            let mut benches: Vec<Bench> = (0..pick(&[2, 3, 4, 5, 6], random))
                .map(|_| Bench::any(random))
                .collect();
            for bench in &mut benches {
                *bench = Bench {
                    reading: Reading::Number,
                    poor: 0.0,
                    gap: 1.0,
                    sd: 0.1 + 0.4 * random.uniform(),
                    ..*bench
                };
            }
            let candidates = pick(&[2, 3, 4, 6], random);
            let truths = benches
                .iter()
                .map(|bench| (0..candidates).map(|_| bench.at(0.5 + random.normal())).collect())
                .collect();
            let trial = Trial {
                benches,
                concentration: pick(&[5.0, 15.0, 50.0], random),
                truths,
                scatter: 1.0,
                freedom,
                runs: pick(&[1, 2, 3], random),
            };
            let (best, scores) = trial.truth(random);
            let fitted = trial.fitted(self.draws, random);
            let standing = fitted.weigh(&Selection::default()).unwrap().ranking();
            let claim = standing.claim;
            let named = claim.p_best >= RESOLVED && claim.least_win >= PAIRWISE;
            let leader = standing.front_runner.filter(|_| named);
            let inside = |(lo, hi): (f64, f64), truth: f64| lo <= truth && truth <= hi;
            let intervals = standing.score_intervals.iter().zip(&scores);
            let of_scores = intervals
                .filter(|(interval, truth)| inside(**interval, **truth))
                .count();
            let positions = fitted.tests().iter().zip(trial.benches.iter().zip(&trial.truths));
            let of_positions = positions.map(|(fit, (bench, truths))| {
                let placed = truths.iter().enumerate();
                let held = placed.filter(|(place, truth)| {
                    let position = fit.position(Who::Candidate(*place)).unwrap();
                    inside(position.interval, bench.position_of(**truth))
                });
                held.count()
            });
            let said = leader.map(|leader| (claim.p_best, best[leader]));
            let cells = candidates * trial.benches.len();
            (said, [of_scores, candidates, of_positions.sum(), cells])
        });
        let named: Vec<(f64, f64)> = trials.iter().filter_map(|(said, _)| *said).collect();
        let mean = |of: fn(&(f64, f64)) -> f64| named.iter().map(of).sum::<f64>() / named.len() as f64;
        let sum = |place: usize| trials.iter().map(|(_, counts)| counts[place]).sum::<usize>();
        Leaders {
            freedom,
            named: named.len(),
            said: mean(|(said, _)| *said),
            right: mean(|(_, right)| *right),
            scores_held: part(sum(0), sum(1)),
            positions_held: part(sum(2), sum(3)),
        }
    }

    /// Every candidate the same in every test. Everything was run, so that the draws alone decide.
    fn equal_blends(self, candidates: usize) -> EqualBlends {
        let named = self.each(2, |random| {
            let benches: Vec<Bench> = (0..pick(&[2, 3, 4, 5, 6], random))
                .map(|_| Bench::any(random))
                .collect();
            let mut truth = |bench: &Bench| bench.at(0.2 + 0.9 * random.uniform());
            let truths = benches.iter().map(|b| vec![truth(b); candidates]).collect();
            let trial = Trial {
                benches,
                concentration: pick(&[5.0, 15.0, 50.0], random),
                truths,
                scatter: 1.0,
                freedom: None,
                runs: pick(&[1, 2, 3], random),
            };
            let fitted = trial.fitted(self.draws, random);
            let claim = fitted.weigh(&Selection::default()).unwrap().ranking().claim;
            claim.p_best >= RESOLVED && claim.least_win >= PAIRWISE
        });
        EqualBlends {
            candidates,
            named: part(named.iter().filter(|named| **named).count(), named.len()),
        }
    }

    /// The first blend is far better in the screen, and `ahead` critical differences better in what remains.
    fn without_screen(self, ahead: f64) -> WithoutScreen {
        let trials = self.each(3, |random| {
            let mut benches: Vec<Bench> = (0..pick(&[2, 3, 4, 5], random))
                .map(|_| Bench::any(random))
                .filter(|bench| bench.cap().is_none())
                .collect();
            while benches.len() < 2 {
                let bench = Bench::any(random);
                benches.extend(Some(bench).filter(|bench| bench.cap().is_none()));
            }
            let runs = pick(&[1, 2, 3], random);
            let by = 0.5 * ahead * critical_difference(&benches, runs);
            let mut truths: Vec<Vec<f64>> = benches
                .iter()
                .map(|bench| vec![bench.at(0.6 + by), bench.at(0.6 - by)])
                .collect();
            let rest: f64 = benches.iter().map(|bench| bench.weight).sum();
            let screen = Bench {
                reading: Reading::Number,
                poor: 0.0,
                gap: 1.0,
                sd: 0.1,
                weight: (rest * (0.5 + random.uniform())).min(0.95),
            };
            benches.push(screen);
            truths.push(vec![1.1, 0.1]);
            let trial = Trial {
                benches,
                concentration: pick(&[5.0, 15.0, 50.0], random),
                truths,
                scatter: 1.0,
                freedom: None,
                runs,
            };
            let fitted = trial.fitted(self.draws, random);
            let everything = Selection::default();
            let screen = BTreeSet::from([trial.benches.len() - 1]);
            let sets = [WithoutTests::default(), screen.into()];
            let [with, without] = &fitted.weigh(&everything).unwrap().leave_out(&sets).unwrap()[..] else {
                panic!("two sets were asked for")
            };
            let in_front = with.front_runner == Some(0);
            in_front.then_some((without.front_runner != Some(0), 1.0 - without.p_best[0]))
        });
        let counted: Vec<(bool, f64)> = trials.into_iter().flatten().collect();
        WithoutScreen {
            ahead,
            trials: counted.len(),
            fired: part(counted.iter().filter(|(fired, _)| *fired).count(), counted.len()),
            shown: counted.iter().map(|(_, shown)| shown).sum::<f64>() / counted.len() as f64,
        }
    }
}

/// Difference of two scores that equal blends exceed once in twenty: 2.77 standard deviations of one score.
fn critical_difference(benches: &[Bench], runs: usize) -> f64 {
    let total: f64 = benches.iter().map(|bench| bench.weight).sum();
    let variance = |bench: &Bench| (bench.weight * bench.sd / bench.gap).powi(2) / runs as f64;
    DIFFERENCE_95 * benches.iter().map(variance).sum::<f64>().sqrt() / total
}

fn part(number: usize, of: usize) -> f64 {
    number as f64 / of as f64
}
