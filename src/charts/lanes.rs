//! Which lane each mark goes in, so that no two overlap.

/// Lanes for spans given in order of importance: each goes in the first lane where it keeps `gap` from all others.
/// Spans with an end that is not a number take no lane.
pub(in crate::charts) fn lanes(spans: &[(f64, f64)], gap: f64) -> Vec<Option<usize>> {
    let mut taken: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut chosen = Vec::with_capacity(spans.len());
    for &(a, b) in spans {
        if !(a.is_finite() && b.is_finite()) {
            chosen.push(None);
            continue;
        }
        let (lo, hi) = (a.min(b), a.max(b));
        let is_free = |lane: &[(f64, f64)]| {
            lane.iter()
                .all(|&(other_lo, other_hi)| hi + gap <= other_lo || other_hi + gap <= lo)
        };
        let lane = taken.iter().position(|lane| is_free(lane)).unwrap_or(taken.len());
        if lane == taken.len() {
            taken.push(Vec::new());
        }
        taken[lane].push((lo, hi));
        chosen.push(Some(lane));
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twenty_marks_at_one_place_take_twenty_lanes() {
        let spans = vec![(5.0, 9.0); 20];
        let chosen: Vec<usize> = lanes(&spans, 2.0).into_iter().flatten().collect();
        assert_eq!(chosen, (0..20).collect::<Vec<_>>());
    }

    #[test]
    fn marks_apart_share_a_lane_and_the_first_keeps_the_first() {
        assert_eq!(
            lanes(&[(10.0, 20.0), (0.0, 7.0), (15.0, 30.0), (22.0, 25.0)], 2.0),
            [Some(0), Some(0), Some(1), Some(0)]
        );
    }

    #[test]
    fn what_is_not_a_number_takes_no_lane() {
        assert_eq!(lanes(&[(f64::NAN, 1.0), (0.0, 1.0)], 1.0), [None, Some(0)]);
    }
}
