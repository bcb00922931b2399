"""The standing once more, in numpy, written from the description of the method and not from the program.

    python3 standing.py < trials.json > answers.json      answers each trial, and each gate asked alone
    python3 standing.py --bench CANDIDATES TESTS DRAWS     seconds that a generated standing takes

It shares no formula, table or random number with the program: normal tails come from a table of math.erfc, cells are
gridded and refined by its own rule, open block shifts are conditioned on draw by draw, the deviation's own doubt has
parts of its own number, and mean positions are averages over draws. Changes of a rig's level are steps of a least-squares
fit beside a level of each oil. Everything is turned so that greater is better. Results are [kind, lo, hi, block], or
[kind, lo, hi, [rig, campaign, day]] where blocks are to be found; kinds are "exact", "between", "above" and "below". Needs
numpy only.
"""
import json
import math
import sys
import time

import numpy as np

DIFFERENCE_95 = 1.959963984540054 * math.sqrt(2.0)
POINTS = 2001
PUBLISHED_FREEDOM = 30.0
LEAST_FREEDOM = 3.0
PARTS = 25  # of the doubt about a deviation

# ---- the normal distribution ------------------------------------------------------------------------------------

TABLE_X = np.arange(-30.0, 9.0005, 0.0005)
TABLE_LOG_PHI = np.array([math.log(0.5 * math.erfc(-x / math.sqrt(2.0))) for x in TABLE_X])


def log_phi(x):
    x = np.asarray(x, float)
    inside = np.interp(np.clip(x, -30.0, 9.0), TABLE_X, TABLE_LOG_PHI)
    far = np.minimum(x, -30.0)
    tail = -0.5 * far**2 - np.log(-far) - 0.5 * math.log(2 * math.pi) + np.log1p(-1 / far**2 + 3 / far**4)
    return np.where(x < -30.0, tail, inside)


def log_between(a, b):
    """log(Phi(b) - Phi(a)), in whichever tail has the digits"""
    turned = a > 0
    lower, upper = np.where(turned, -b, a), np.where(turned, -a, b)
    top, bottom = log_phi(upper), log_phi(lower)
    return top + np.log1p(-np.exp(np.minimum(bottom - top, -1e-12)))


def log_likelihood(result, truth, sd):
    kind, lo, hi = result[:3]
    if kind == "exact":
        return -0.5 * ((lo - truth) / sd) ** 2
    if kind == "between":
        return log_between((lo - truth) / sd, (hi - truth) / sd)
    return log_phi((truth - lo) / sd if kind == "above" else (hi - truth) / sd)


# ---- one cell ---------------------------------------------------------------------------------------------------


def turned(results, sign):
    if sign > 0:
        return [tuple(r) for r in results]
    other = {"exact": "exact", "between": "between", "above": "below", "below": "above"}
    return [(other[kind], -hi, -lo, block) for kind, lo, hi, block in results]


def moved(results, by_block):
    return [(kind, lo - by_block[block], hi - by_block[block], block) for kind, lo, hi, block in results]


def named(cells):
    return [end for cell in cells for r in cell for end in r[1:3]]


def grid_posterior(results, sd, prior, span):
    """points and probabilities: prior times likelihood, gridded once over everything and again over what matters"""
    numbers = [*span, prior[0] - 5 * prior[1], prior[0] + 5 * prior[1]]
    lo, hi = min(numbers), max(numbers)
    for _ in range(3):
        points = np.linspace(lo, hi, POINTS)
        log = -0.5 * ((points - prior[0]) / prior[1]) ** 2
        for result in results:
            log = log + log_likelihood(result, points, sd)
        log -= log.max()
        matters = np.flatnonzero(log > -45.0)
        step = points[1] - points[0]
        lo, hi = points[matters[0]] - step, points[matters[-1]] + step
    weights = np.exp(log)
    return points, weights / weights.sum()


def mean_of(posterior):
    return float((posterior[0] * posterior[1]).sum())


def draw_from(posterior, n, rng):
    points, weights = posterior
    step = points[1] - points[0]
    edges = np.concatenate([[points[0] - step / 2], points + step / 2])
    return np.interp(rng.random(n), np.concatenate([[0.0], np.cumsum(weights)]), edges)


def factors_on_deviation(freedom, parts):
    """middles of equal parts of sqrt(freedom / chi2), from a summed density of chi2"""
    if freedom is None:
        return np.ones(1)
    x = np.linspace(0.0, freedom + 40 * math.sqrt(2 * freedom) + 40, 400_001)[1:]
    log = (0.5 * freedom - 1) * np.log(x) - 0.5 * x
    density = np.exp(log - log.max())
    below = np.cumsum(density) - 0.5 * density
    middles = (np.arange(parts) + 0.5) / parts
    return np.sqrt(freedom / np.interp(1 - middles, below / density.sum(), x))


def place(ratio, head_room):
    """a ratio between the references as it is, beyond them by a logarithm"""
    if head_room == 0:
        return np.clip(ratio, 0.0, 1.0)
    above = 1 + head_room * np.log(1 + np.maximum(ratio - 1, 0) / head_room)
    below = -head_room * np.log(1 + np.maximum(-ratio, 0) / head_room)
    return np.where(ratio > 1, above, np.where(ratio < 0, below, ratio))


def conditional(results, sd, mean, spread, shifts, rng):
    """One draw of the cell, and its mean, for every draw of prior and open block shifts."""
    if all(r[0] == "exact" for r in results):
        precision = 1 / spread**2 + len(results) / sd**2
        total = mean / spread**2 + sum((r[1] - shifts[r[3]]) / sd**2 for r in results)
        centre = total / precision
        return centre + rng.standard_normal(len(mean)) / np.sqrt(precision), centre
    reach = max(float(np.abs(s).max()) for s in shifts)
    span = named([results])
    wide = grid_posterior(results, sd, (float(mean.mean()), float(spread.max())), (min(span), max(span)))[0]
    points = np.linspace(wide[0] - reach, wide[-1] + reach, 401)
    step = points[1] - points[0]
    # each result's log-likelihood on a grid 64 times finer: a shift moves it by whole points of that grid
    margin = 64 * (int(reach / step) + 2)
    fine = points[0] + (np.arange(-margin, 64 * len(points) + margin)) * (step / 64)
    tables = [log_likelihood(r, fine, sd) for r in results]
    moves = [np.rint(shift * 64 / step).astype(int) + margin for shift in shifts]
    column = 64 * np.arange(len(points))
    drawn, centre = np.empty(len(mean)), np.empty(len(mean))
    for start in range(0, len(mean), 1000):
        some = slice(start, start + 1000)
        log = -0.5 * ((points - mean[some, None]) / spread[some, None]) ** 2
        for result, table in zip(results, tables):
            log += table[moves[result[3]][some, None] + column]
        log -= log.max(axis=1, keepdims=True)
        weights = np.exp(log)
        weights /= weights.sum(axis=1, keepdims=True)
        below = np.cumsum(weights, axis=1)
        u = rng.random(len(weights))
        place = np.minimum((below < u[:, None]).sum(axis=1), len(points) - 1)
        row = np.arange(len(weights))
        part = (u - (below[row, place] - weights[row, place])) / np.maximum(weights[row, place], 1e-300)
        drawn[some] = points[place] + (np.clip(part, 0, 1) - 0.5) * step
        centre[some] = weights @ points
    return drawn, centre


# ---- blocks -----------------------------------------------------------------------------------------------------

REFERENCES = ("good", "poor", "middle")
ON_A_SIDE, JUDGED_FROM, BY_CHANCE = 3, 8, 0.01


def beyond(t, freedom):
    """P(|T| > t) of Student's t, from its density over the angle atan(t / sqrt(freedom))"""
    angle = np.linspace(0.0, math.pi / 2, 200_001)
    density = np.cos(angle) ** (freedom - 1)
    return density[angle > math.atan(t / math.sqrt(freedom))].sum() / density.sum()


def step_in(oils, values, place):
    """t of a step before a place, fitted beside a level of each oil, and its degrees of freedom; None where nothing tells"""
    names = sorted(set(oils))
    columns = [[1.0 if oil == name else 0.0 for oil in oils] for name in names]
    columns.append([0.0 if k < place else 1.0 for k in range(len(values))])
    design = np.array(columns).T
    freedom = len(values) - design.shape[1]
    if freedom < 1 or np.linalg.matrix_rank(design) < design.shape[1]:
        return None
    fit, *_ = np.linalg.lstsq(design, values, rcond=None)
    gaps = [np.diff(sorted({v for o, v in zip(oils, values) if o == name})) for name in names]
    gaps = np.concatenate(gaps)
    if not len(gaps):
        return None
    variance = max(float(((values - design @ fit) ** 2).sum()) / freedom, gaps.min() ** 2 / 12)
    return abs(fit[-1]) / math.sqrt(variance * np.linalg.inv(design.T @ design)[-1, -1]), freedom


def cuts_of(oils, days, values, first=0):
    """places before which the level changed"""
    places = [k for k in range(ON_A_SIDE, len(values) - ON_A_SIDE + 1) if days[k - 1] < days[k]]
    tried = [(k, step_in(oils, values, k)) for k in places]
    tried = [(k, found) for k, found in tried if found]
    if not tried:
        return []
    place, (t, freedom) = max(tried, key=lambda one: one[1][0])
    if beyond(t, freedom) >= BY_CHANCE / len(tried):
        return []
    return (
        cuts_of(oils[:place], days[:place], values[:place], first)
        + [first + place]
        + cuts_of(oils[place:], days[place:], values[place:], first + place)
    )


def levels_of(runs, base):
    """of one rig: first and last day of each level, which of them is in control, and whether labels do not matter"""
    runs = sorted(run for run in runs if run[0] is not None)
    days, oils = [run[0] for run in runs], [run[1] for run in runs]
    cuts = cuts_of(oils, days, np.array([run[2] for run in runs]))
    edges = [0, *cuts, len(runs)]
    levels = [(days[a], days[b - 1]) for a, b in zip(edges, edges[1:])] if runs else []
    inside = [sum(base[0] <= d <= base[1] for d in days[a:b]) for a, b in zip(edges, edges[1:])] if base else [0]
    return levels, inside.index(max(inside)), max((oils.count(oil) for oil in oils), default=0) >= JUDGED_FROM


def when(day, levels):
    """the level of a day, or the two between which it lies"""
    if len(levels) < 2:
        return 0
    if day is None:
        return "undated"
    place = max([k for k, (first, _) in enumerate(levels) if first <= day], default=0)
    return place if place + 1 == len(levels) or day <= levels[place][1] else (place, place + 1)


def in_blocks(test):
    """the test with blocks in place of rigs, campaigns and days, and those in which its rigs were in control"""
    runs = {}
    for role in REFERENCES:
        for kind, lo, hi, (rig, _, day) in test.get(role) or []:
            if kind in ("exact", "between"):
                runs.setdefault(rig, []).append((day, role, (lo + hi) / 2))
    rigs = {rig: levels_of(of_rig, test.get("base")) for rig, of_rig in runs.items()}
    numbers, in_control = {}, set()

    def block(rig, campaign, day):
        levels, good, judged = rigs.get(rig, ([], 0, False))
        time = when(day, levels)
        number = numbers.setdefault((rig, "" if judged else campaign, str(time)), len(numbers))
        if time == good or len(levels) < 2:
            in_control.add(number)
        return number

    def cell(results):
        return [(kind, lo, hi, block(*run)) for kind, lo, hi, run in results]

    roles = [role for role in (*REFERENCES, "control") if test.get(role)]
    blocked = {role: cell(test[role]) for role in roles}
    blocked["candidates"] = [cell(results) for results in test["candidates"]]
    return test | blocked | {"in_control": in_control}


# ---- scatter and severity ---------------------------------------------------------------------------------------


def scatter(test):
    """sd, R and degrees of freedom: as given, or from r, R and this trial's replicates"""
    if "sd" in test:
        return test["sd"], test.get("reproducibility"), test["freedom"]
    squares, freedom, groups = 0.0, 0, {}
    for name, cell in all_cells(test).items():
        for kind, lo, _, block in cell:
            if kind == "exact":
                groups.setdefault((name, block), []).append(lo)
    for values in groups.values():
        squares += float(((np.array(values) - np.mean(values)) ** 2).sum())
        freedom += len(values) - 1
    published = test["r"] / DIFFERENCE_95
    sd, total = published, PUBLISHED_FREEDOM
    if freedom >= LEAST_FREEDOM and squares > 0:
        total += freedom
        sd = math.sqrt((PUBLISHED_FREEDOM * published**2 + squares) / total)
    return sd, test["R"] * sd / published, total


def all_cells(test):
    cells = {f"candidate {i}": cell for i, cell in enumerate(test["candidates"])}
    return cells | {role: test[role] for role in ("good", "poor", "middle", "control") if test.get(role)}


def block_shifts(test, sd, reproducibility):
    """mean and variance of each block's shift, before anything is turned"""
    if "blocks" in test:
        return [tuple(b) for b in test["blocks"]]
    count = 1 + max(r[3] for cell in all_cells(test).values() for r in cell)
    if count == 1:
        return [(0.0, 0.0)]
    between = (reproducibility**2 - (DIFFERENCE_95 * sd) ** 2) / DIFFERENCE_95**2
    residuals = [[] for _ in range(count)]
    for role in REFERENCES:
        cell = [((lo + hi) / 2, block) for kind, lo, hi, block in test.get(role) or [] if kind in ("exact", "between")]
        of_block = {block: np.mean([v for v, b in cell if b == block]) for _, block in cell}
        usual = [mean for block, mean in of_block.items() if block in test["in_control"]]
        for value, block in cell if usual else []:
            residuals[block].append(value - float(np.median(usual)))
    shifts = []
    for of_block in residuals:
        share = between / (between + sd**2 / len(of_block)) if of_block else 0.0
        shifts.append((share * float(np.mean(of_block or [0.0])), between * (1 - share)))
    return shifts


# ---- one test ---------------------------------------------------------------------------------------------------


def positions_in(test, head_room, n, rng, parts):
    """position of every candidate in every draw, and how well the test sorted its known oils"""
    sign = test["sign"]
    sd, reproducibility, freedom = scatter(test)
    deviations = sd * factors_on_deviation(freedom, parts)
    part = rng.integers(len(deviations), size=n)
    shifts = block_shifts(test, sd, reproducibility)
    means = [sign * mean for mean, _ in shifts]
    cells = {name: moved(turned(cell, sign), means) for name, cell in all_cells(test).items()}
    cap = np.inf if test["cap"] is None else sign * test["cap"]
    span = (min(named(cells.values())), max(named(cells.values())))
    wide = (0.5 * (span[0] + span[1]), 0.5 * (span[1] - span[0]) + 8 * sd)
    span = (span[0] - 8 * sd, span[1] + 8 * sd)
    is_open = any(variance > 0 for _, variance in shifts)
    drawn_shifts = [math.sqrt(variance) * rng.standard_normal(n) for _, variance in shifts]

    def draw(results, mean, spread):
        if not results:
            mean, spread = np.broadcast_to(mean, n), np.broadcast_to(spread, n)
            return mean + spread * rng.standard_normal(n), mean
        drawn, centre = np.empty(n), np.empty(n)
        for j, deviation in enumerate(deviations):
            some = np.flatnonzero(part == j)
            if is_open:
                of_some = [shift[some] for shift in drawn_shifts]
                both = conditional(results, deviation, np.full(len(some), mean), np.full(len(some), spread), of_some, rng)
            else:
                posterior = grid_posterior(results, deviation, (mean, spread), span)
                both = draw_from(posterior, len(some), rng), mean_of(posterior)
            drawn[some], centre[some] = both
        return drawn, centre

    known = {role: draw(cells[role], *wide) for role in ("good", "poor", "middle", "control") if cells.get(role)}
    value = {role: np.minimum(drawn, cap) for role, (drawn, _) in known.items()}
    # the prior of a cell that was not run moves with what is open of the block shifts, not with the deviation
    settled = (lambda centre: centre) if is_open else (lambda centre: np.full(n, centre.mean()))
    centre = {role: np.minimum(settled(mean), cap) for role, (_, mean) in known.items()}
    if "poor" in known and "good" in known:
        counts = 0.5 * (1 / len(cells["good"]) + 1 / len(cells["poor"]))
        least = DIFFERENCE_95 * sd * math.sqrt(counts)
        prior = 0.5 * (centre["good"] + centre["poor"]), np.maximum(np.abs(centre["good"] - centre["poor"]), least)
        zero, gap = value["poor"], np.maximum(value["good"] - value["poor"], least)
    elif "good" in known:
        prior = centre["good"] - reproducibility, 2 * reproducibility
        zero, gap = value["good"] - 2 * reproducibility, 2 * reproducibility
    else:
        prior = centre["poor"] + reproducibility, 2 * reproducibility
        zero, gap = value["poor"], 2 * reproducibility
    positions = []
    for i in range(len(test["candidates"])):
        of_candidate = cells[f"candidate {i}"]
        theta = np.minimum(draw(of_candidate, *(wide if of_candidate else prior))[0], cap)
        positions.append(place((theta - zero) / gap, head_room))
    validity = {
        "good_over_poor": float((value["good"] > value["poor"]).mean()) if {"good", "poor"} <= value.keys() else None,
        "good_over_control": float((value["good"] > value["control"]).mean()) if {"good", "control"} <= value.keys() else None,
    }
    return np.array(positions), validity


# ---- the standing -----------------------------------------------------------------------------------------------


def first_places(scores):
    """part of the draws in which each is first; those that are level share a draw"""
    level = scores >= scores.max(axis=0) - 1e-9
    return (level / level.sum(axis=0)).mean(axis=1)


def answer(trial, parts=PARTS):
    rng, n = np.random.default_rng(trial["seed"]), trial["draws"]
    tests = [test if "sd" in test else in_blocks(test) for test in trial["tests"]]
    placed = [positions_in(test, trial["head_room"], n, rng, parts) for test in tests]
    u = np.array([positions for positions, _ in placed])
    w = np.array([test["weight"] for test in tests])
    drawn = np.empty((len(tests), n))
    for method in dict.fromkeys(test["method"] for test in tests):
        members = [k for k, test in enumerate(tests) if test["method"] == method]
        mean, c = w[members].sum(), trial["concentration"]
        # a mean weight of 1 leaves a Beta no room: certain
        vote = rng.beta(mean * c, (1 - mean) * c, n) if mean < 1 - 1e-9 else np.ones(n)
        for k in members:
            drawn[k] = w[k] / mean * vote
    sums = np.einsum("kn,kin->in", drawn, u)
    with_mean_weights = np.tensordot(w, u, axes=(0, 0)) / w.sum()
    scores = with_mean_weights.mean(axis=1)
    without = []
    for k in range(len(tests) if len(tests) > 1 else 0):
        rest = np.delete(np.arange(len(tests)), k)
        front = int((w[rest] @ u[rest].mean(axis=2)).argmax())
        without.append({"front_runner": front, "p_best": first_places(sums - drawn[k] * u[k]).tolist()})
    front = int(scores.argmax())
    lead = with_mean_weights[front] - with_mean_weights
    return {
        "name": trial["name"],
        "p_best": first_places(sums).tolist(),
        "scores": scores.tolist(),
        "score_errors": (with_mean_weights.std(axis=1) / math.sqrt(n)).tolist(),
        "lead_errors": (lead.std(axis=1) / math.sqrt(n)).tolist(),
        "front_runner": front,
        "without": without,
        "validity": [validity for _, validity in placed],
    }


# ---- requirements -----------------------------------------------------------------------------------------------


def variance_ratio_tail(ratio, upper, lower):
    """P(F > ratio): an incomplete beta function, summed"""
    a, b = lower / 2, upper / 2
    x = lower / (lower + upper * ratio)
    s = (np.arange(200_000) + 0.5) / 200_000
    t = x * s**2
    density = np.exp((a - 1) * np.log(t) + (b - 1) * np.log1p(-t) + math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b))
    return float((density * 2 * x * s).mean())


def pooled_deviation(replicates, blend):
    """of one blend, from {blend: {block: [readings]}}: all blends together, but those that scatter far more by their own"""
    squares = {}
    for name, blocks in replicates.items():
        several = [np.array(v) for v in blocks.values() if len(v) > 1]
        squares[name] = (float(sum(((v - v.mean()) ** 2).sum() for v in several)), sum(len(v) - 1 for v in several))
    squares = {name: one for name, one in squares.items() if one[1] > 0}
    wild = {}
    for name, (ss, nu) in squares.items():
        rest = [one for other, one in squares.items() if other != name]
        ss_rest, nu_rest = sum(one[0] for one in rest), sum(one[1] for one in rest)
        if ss_rest > 0 and variance_ratio_tail((ss / nu) / (ss_rest / nu_rest), nu, nu_rest) < 0.01 / len(squares):
            wild[name] = math.sqrt(ss / nu)
    ss = sum(one[0] for name, one in squares.items() if name not in wild)
    nu = sum(one[1] for name, one in squares.items() if name not in wild)
    if nu < LEAST_FREEDOM or ss <= 0:
        return None
    return wild.get(blend, math.sqrt(ss / nu))


def gate(asked):
    """ISO 4259-2 with a precision, else counted; runs are [laboratory, lowest, highest] of one blend"""
    most, limit, runs = asked["at_most"], asked["limit"], asked["runs"]
    # everything turned so that less is better and the limit is 0
    sign = 1 if most else -1
    turned_runs = [(lab, *sorted((sign * (lo - limit), sign * (hi - limit)))) for lab, lo, hi in runs]
    outside = sum(lo > 0 for _, lo, _ in turned_runs)
    inside = sum(hi <= 0 for _, _, hi in turned_runs)
    if not runs:
        return {"outcome": "not run"}
    by_count = "pass" if inside == len(runs) else "fail" if outside >= len(runs) / 2 else "in doubt"
    if asked["classes"]:
        return {"outcome": by_count}
    laboratories = [[run for run in turned_runs if run[0] == lab] for lab in dict.fromkeys(run[0] for run in runs)]
    m = len(laboratories)
    mean = [sum(np.mean([run[end] for run in of_lab]) for of_lab in laboratories) / m for end in (1, 2)]
    margin, stated = None, asked.get("r") is not None
    if stated:
        unit = abs(limit) / 100 if asked["percent"] else 1.0
        r, big_r = asked["r"] * unit, (2 * asked["r"] if asked["R"] is None else asked["R"]) * unit
        variance = sum(big_r**2 - r**2 * (1 - 1 / len(of_lab)) for of_lab in laboratories) / m**2
        margin = 0.59 * math.sqrt(variance)
    else:
        sd = pooled_deviation(asked["replicates"], "A")
        if sd is not None:
            margin = 1.645 * sd * math.sqrt(sum(1 / len(of_lab) for of_lab in laboratories)) / m
    if margin is None:
        outcome = by_count
    else:
        place = "pass" if mean[1] <= -margin else "fail" if mean[0] >= margin else "in doubt"
        outcome = place if stated or place == "in doubt" else by_count
    known = mean[0] == mean[1]
    return {"outcome": outcome, "margin": margin, "mean": sign * mean[0] + limit if known else None}


# ---- how long it takes ------------------------------------------------------------------------------------------


def generated(candidates, tests):
    rng = np.random.default_rng(1)

    def read(k, truth):
        error = rng.standard_normal()
        if k % 3 == 0:
            return ["exact", truth + 0.1 * error, truth + 0.1 * error, 0]
        if k % 3 == 1:
            step = math.ceil((truth + 0.05 * error) / 0.1)
            return ["between", 0.1 * step - 0.1, 0.1 * step, 0]
        stage = max(2, math.ceil(8 + 4 * truth + 0.9 * error))
        return ["above", 12.0, 12.0, 0] if stage > 12 else ["between", stage - 1.0, float(stage), 0]

    def test(k):
        cell = lambda truth: [read(k, truth), read(k, truth)]
        return {
            "method": f"test {k}",
            "sign": 1,
            "sd": [0.1, 0.0502, 0.879][k % 3],
            "freedom": 30.0,
            "cap": 12.0 if k % 3 == 2 else None,
            "blocks": [[0.0, 0.0]],
            "weight": float(rng.uniform(0.1, 0.9)),
            "good": cell(1.0),
            "poor": cell(0.0),
            "candidates": [cell(t) for t in rng.normal(0.6, 0.3, candidates)],
        }

    return [test(k) for k in range(tests)]


def bench(candidates, tests, draws):
    trial = {"name": "bench", "seed": 7, "draws": draws, "head_room": 0.5, "concentration": 15.0}
    trial["tests"] = generated(candidates, tests)
    start = time.perf_counter()
    answer(trial, parts=9)
    print(f"{time.perf_counter() - start:.4f}")


if __name__ == "__main__":
    if "--bench" in sys.argv:
        bench(*(int(number) for number in sys.argv[sys.argv.index("--bench") + 1 :][:3]))
    else:
        asked = json.load(sys.stdin)
        json.dump([gate(one) if "at_most" in one else answer(one) for one in asked], sys.stdout)
