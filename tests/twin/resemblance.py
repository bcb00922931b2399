"""Resemblance and votes once more, written from the description of the method and not from the program.

    python3 resemblance.py TABLES.csv < questions.json > answers.json

Sides are {"pressure": [lo, hi] or null, ..., "motion": word or null, ...}; temperatures stand under "contact" and "bulk".
Pairs of words are looked up in the published tables of terms.
"""
import csv
import json
import math
import sys

BY_FACTOR = {"pressure": 2.0, "sliding": 5.0, "entrainment_speed": 10.0, "film_ratio": 4.0, "time_in_contact": 30.0}
IMPORTANCE = {"pressure": 3, "entrainment_speed": 1, "time_in_contact": 1, "supply": 1}
FIRST_ORDER = ["pressure", "sliding", "slide_roll", "film_ratio", "materials"]
TERMS = ["pressure", "sliding", "entrainment_speed", "slide_roll", "shape", "motion", "temperature", "film_ratio",
         "materials", "time_in_contact", "supply"]


def tables(path):
    found = {}
    with open(path, newline="") as file:
        for row in csv.DictReader(file):
            if row["similarity"]:
                for pair in [(row["row"], row["column"]), (row["column"], row["row"])]:
                    found[(row["table"],) + pair] = float(row["similarity"])
    return found


def falls(distance, halving):
    x = distance / halving
    s = math.pow(2.0, -x * x)
    return s if s >= 0.02 else max(0.002, 0.02 * math.log2(50.0) / (x * x))


def gap(a, b):
    return max(0.0, a[0] - b[1], b[0] - a[1])


def on_scale(term, ends):
    if term in ("sliding", "entrainment_speed"):
        return [math.log(max(end, 0.001)) for end in ends]
    if term == "film_ratio":
        return [math.log(min(max(end, 0.3), 4.0)) for end in ends]
    if term == "slide_roll":
        return [min(end, 2.0) for end in ends]
    if term == "shape":
        return [math.log10(end) for end in ends]
    if term == "temperature":
        return ends
    return [math.log(end) for end in ends]


def temperatures(test, machine, seizure):
    if test["contact"] and machine["contact"]:
        return test["contact"], machine["contact"]
    return (None, None) if seizure else (test["bulk"], machine["bulk"])


def likeness(term, test, machine, seizure, words):
    """one term's similarity; None where it is left out"""
    if term in ("motion", "materials", "supply"):
        a, b = test[term], machine[term]
        return words[(term, a, b)] if a and b else 0.5
    if term == "film_ratio" and (seizure or (test["pressure"] and test["pressure"][1] > 3.5e9)):
        return None
    a, b = temperatures(test, machine, seizure) if term == "temperature" else (test[term], machine[term])
    if not a or not b:
        return 0.5
    halving = {"slide_roll": 0.8, "shape": 1.0, "temperature": 60.0}.get(term)
    halving = math.log(BY_FACTOR[term]) if halving is None else halving
    return falls(gap(on_scale(term, a), on_scale(term, b)), halving)


def resemblance(pair, words):
    test, machine, seizure = pair["test"], pair["machine"], pair["seizure"]
    if any(not side[term] for side in (test, machine) for term in ("pressure", "sliding", "slide_roll")):
        return {"value": None, "f_term": None}
    s = {term: likeness(term, test, machine, seizure, words) for term in TERMS}
    s = {term: value for term, value in s.items() if value is not None}
    weight = {term: IMPORTANCE.get(term, 2) for term in s}
    g = math.exp(sum(weight[t] * math.log(s[t]) for t in s) / sum(weight.values()))
    first = FIRST_ORDER + (["motion"] if "fretting" in (test["motion"], machine["motion"]) else [])
    least = min((t for t in TERMS if t in first and t in s), key=lambda t: s[t])
    return {"value": math.sqrt(g * s[least]), "f_term": least if s[least] < 1 else None}


def votes(voters):
    """[method, family, raw weight] each; the weights that they keep"""
    of_method = {}
    for method, family, raw in voters:
        of_method.setdefault((family, method), []).append(raw)
    heaviest = {key: max(raws) for key, raws in of_method.items()}
    kept = []
    for method, family, raw in voters:
        total = sum(of_method[(family, method)])
        own = raw * heaviest[(family, method)] / total if total > 0 else 0.0
        members = [w for (f, _), w in heaviest.items() if f == family and w > 0]
        if members:
            n = len(members)
            own *= min(max(members) * n / (1 + 0.8 * (n - 1)), sum(members), 1.0) / sum(members)
        kept.append(own)
    return kept


if __name__ == "__main__":
    words, asked = tables(sys.argv[1]), json.load(sys.stdin)
    json.dump({"pairs": [resemblance(pair, words) for pair in asked["pairs"]],
               "votes": [votes(voters) for voters in asked["votes"]]}, sys.stdout)
