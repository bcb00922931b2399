"""The terms of the contacts of the later methods, computed a second time in plain Python: the formulas that the program names,
written anew, with the path of a gear pair walked in small steps.

    python3 tests/contacts/later_methods.py            the rows, as they stand in tests/published/method_contacts_named.csv
    python3 tests/contacts/later_methods.py --check    the same arithmetic on rows that were computed before

Oil: 220 and 19 mm2/s, 880 kg/m3. Steel: 206 GPa, 0.3, 46 W/(m K), 7850 kg/m3, 460 J/(kg K). Friction coefficient 0.1.
"""

import csv
import math
import sys
from pathlib import Path

TABLE = Path(__file__).parent.parent / "published" / "method_contacts_named.csv"
E_STAR = 206e9 / (1 - 0.3**2) / 2
CONDUCTIVITY, HEAT_PER_VOLUME = 46.0, 7850 * 460
EFFUSIVITY = math.sqrt(CONDUCTIVITY * HEAT_PER_VOLUME)
DIFFUSIVITY = CONDUCTIVITY / HEAT_PER_VOLUME
FRICTION = 0.1
STEPS_OF_A_PATH = 20000


def viscosity_pa_s(celsius):
    """D341 with its plain 0.7, density falling by 7e-4 per kelvin."""
    def double_log(kv):
        return math.log10(math.log10(kv + 0.7))
    t1, t2 = math.log10(313.15), math.log10(373.15)
    slope = (double_log(19) - double_log(220)) / (t2 - t1)
    kv = 10 ** 10 ** (double_log(220) + slope * (math.log10(celsius + 273.15) - t1)) - 0.7
    return kv * 1e-6 * 880 * (1 - 7e-4 * (celsius - 15))


def film_ratio(shape, radius, force, entrainment, celsius, roughness):
    """Minimum film over the combined roughness: a circle after Hamrock and Dowson, a line after Dowson."""
    eta = viscosity_pa_s(celsius)
    alpha = (0.6 + 0.965 * math.log10(eta * 1e3)) * 1e-8
    double = 2 * E_STAR
    speed, material = eta * entrainment / (double * radius), alpha * double
    if shape == "point":
        load = force / (double * radius**2)
        film = 3.63 * speed**0.68 * material**0.49 * load**-0.073 * (1 - math.exp(-0.68))
    else:
        load = force / (double * radius)
        film = 2.65 * speed**0.7 * material**0.54 * load**-0.13
    return film * radius / math.hypot(*roughness)


def circle(force, radius):
    """Half-width and greatest pressure of a ball on a plane."""
    half = (3 * force * radius / (4 * E_STAR)) ** (1 / 3)
    return half, 1.5 * force / (math.pi * half**2)


def strip(per_length, radius):
    """Half-width and greatest pressure of a line."""
    half = math.sqrt(4 * per_length * radius / (math.pi * E_STAR))
    return half, 2 * per_length / (math.pi * half)


def circle_rise(force, half, u1, u2):
    """Flash rise of a circle, each body alone and the two together."""
    heat = FRICTION * force * abs(u1 - u2)

    def alone(u):
        peclet = u * half / (2 * DIFFUSIVITY)
        fast = lambda p: 0.435 / math.sqrt(2 * p)
        if peclet <= 0.1:
            factor = 1 / math.pi
        elif peclet >= 5:
            factor = fast(peclet)
        else:
            x = (math.log(peclet) - math.log(0.1)) / (math.log(5) - math.log(0.1))
            factor = math.exp((1 - x) * math.log(1 / math.pi) + x * math.log(fast(5)))
        return factor * heat / (CONDUCTIVITY * half)

    return 1 / (1 / alone(u1) + 1 / alone(u2))


def strip_rise(per_length, half, u1, u2):
    """Flash rise of a band, after Blok."""
    carried = EFFUSIVITY * (math.sqrt(u1) + math.sqrt(u2))
    return 1.11 * FRICTION * per_length * abs(u1 - u2) / (math.sqrt(2 * half) * carried)


def ball_slides(force, radius, speed, bulk, roughness, scar=None):
    """A ball against a body that it slides on; with a scar its pressure goes down to the mean on it."""
    half, pressure = circle(force, radius)
    rises = [circle_rise(force, half, speed, 0)]
    least = pressure
    if scar:
        least = force / (math.pi * scar**2 / 4)
        rises.append(circle_rise(force, scar / 2, speed, 0))
    return {
        "shape": "point", "ellipticity": (1, 1), "pressure": (least, pressure), "sliding": (speed, speed),
        "rolling": (speed / 2, speed / 2), "slide_roll": (2, 2), "time_share": (1, 1), "bulk": bulk,
        "contact_temperature": (bulk[0] + min(rises), bulk[1] + max(rises)),
        "film": (film_ratio("point", radius, force, speed / 2, sum(bulk) / 2, roughness),) * 2,
    }


def four_ball(force, rpm, bulk, scar=None):
    """Three contacts at asin(1/sqrt 3) from the axis."""
    d = 0.0127
    slope = math.asin(1 / math.sqrt(3))
    speed = 2 * math.pi * rpm / 60 * d / 2 * math.sin(slope)
    return ball_slides(force / (3 * math.cos(slope)), d / 4, speed, bulk, (3.125e-8, 3.125e-8), scar)


def block_on_ring(force, diameter, length, rpm, bulk, roughness):
    """A block on the outside of a ring."""
    speed = math.pi * diameter * rpm / 60
    half, pressure = strip(force / length, diameter / 2)
    rise = strip_rise(force / length, half, speed, 0)
    return {
        "shape": "line", "ellipticity": (100, 100), "pressure": (pressure, pressure), "sliding": (speed, speed),
        "rolling": (speed / 2, speed / 2), "slide_roll": (2, 2), "time_share": (1, 1), "bulk": bulk,
        "contact_temperature": (bulk[0] + rise, bulk[1] + rise),
        "film": (film_ratio("line", diameter / 2, force / length, speed / 2, sum(bulk) / 2, roughness),) * 2,
    }


def gears(tips, face, rpm, torque, start, roughness):
    """Sixteen teeth on twenty-four, 4.5 mm module, 91.5 mm apart; means over the path, the film at the pitch point."""
    z1, z2, a = 16, 24, 0.0915
    base = [4.5e-3 * z * math.cos(math.radians(20)) / 2 for z in (z1, z2)]
    working = math.acos(sum(base) / a)
    line = a * math.sin(working)
    first = line - math.sqrt((tips[1] / 2) ** 2 - base[1] ** 2)
    last = math.sqrt((tips[0] / 2) ** 2 - base[0] ** 2)
    w1 = 2 * math.pi * rpm / 60
    w2 = w1 * z1 / z2
    per_length = torque / base[0] / face
    pitch = base[0] * math.tan(working)

    def at(g):
        u1, u2 = w1 * g, w2 * (line - g)
        radius = g * (line - g) / line
        half, pressure = strip(per_length, radius)
        return u1, u2, radius, half, pressure

    totals = [0.0] * 4
    for step in range(STEPS_OF_A_PATH):
        u1, u2, _, half, _ = at(first + (last - first) * (step + 0.5) / STEPS_OF_A_PATH)
        mean = (u1 + u2) / 2
        for i, value in enumerate((abs(u1 - u2), mean, abs(u1 - u2) / mean, strip_rise(per_length, half, u1, u2))):
            totals[i] += value / STEPS_OF_A_PATH
    sliding, rolling, slide_roll, rise = totals
    u1, u2, radius, half, pressure = at(pitch)
    velocity = w1 * a * z1 / (z1 + z2)
    own = max(0.0, 0.23 * torque * velocity / 8.3 - 10)
    bulk = (start[0] + own, start[1] + own)
    share = 2 * half / u1 * rpm / 60
    film = film_ratio("line", radius, per_length, (u1 + u2) / 2, sum(bulk) / 2, roughness)
    return {
        "shape": "line", "ellipticity": (100, 100), "pressure": (pressure, pressure), "sliding": (sliding, sliding),
        "rolling": (rolling, rolling), "slide_roll": (slide_roll, slide_roll), "time_share": (share, share),
        "bulk": bulk, "contact_temperature": (bulk[0] + rise, bulk[1] + rise), "film": (film, film),
    }


def with_wear(terms, pressure=None):
    """What wears its contact flat: a film down to that of boundary lubrication, a pressure down to a stated one."""
    lo, hi = terms["film"]
    film = (min(lo, 0.3), hi)
    worn = (min(terms["pressure"][0], pressure or math.inf), terms["pressure"][1])
    return {**terms, "film": film, "pressure": worn}


A_TIPS, C_TIPS = (0.0888, 0.1125), (0.0825, 0.1184)
A_ROUGH, C_ROUGH = (4.375e-7,) * 2, (6.25e-7,) * 2


def checks():
    """Rows that were computed before, each with this arithmetic."""
    return {
        ("fb_wear_oil_B", "scar"): with_wear(four_ball(392, 1200, (75, 75), 0.00045)),
        ("gear_A10", "fail_stage"): gears(A_TIPS, 0.010, 4350, 372.6, (120, 120), A_ROUGH),
        ("gear_A8", "fail_stage"): gears(A_TIPS, 0.020, 2175, 534.5, (90, 90), (4.375e-7,) * 2),
    }


HARD, SOFT = "hard steel/hard steel", "hard steel/soft steel"
SCUFFING, STEEL_VANE = "gear rig, scuffing stages", "vane pump, mass loss"


def stated(shape, pressure, sliding, slide_roll, bulk, time_share=None, rolling=None):
    """A contact that its file states: nothing to compute but what follows from speed and slide-roll ratio."""
    if rolling is None and slide_roll[0] > 0:
        rolling = (sliding[0] / slide_roll[1], sliding[1] / slide_roll[0])
    ratio = 1 if shape == "point" else 100
    return {
        "shape": shape, "ellipticity": (ratio, ratio), "pressure": pressure, "sliding": sliding, "rolling": rolling,
        "slide_roll": slide_roll, "time_share": time_share, "bulk": bulk, "contact_temperature": None, "film": None,
    }


def later():
    """Method, quantity, contact, family, category, modes, terms, motion, materials, supply, mark."""
    _, fresh = circle(10, 0.005)
    scar = 10 / (math.pi * 0.001**2 / 4)
    vane = lambda sliding, bulk: stated("line", (3e8, 9e8), sliding, (2, 2), bulk, (1, 1))
    vanes = "adhesive wear=1;abrasive wear=0.3"
    return [
        ("bor_osc_d3704", "scar_width", "block on ring", "block on ring, oscillating", "VI",
         "adhesive wear=1;slow-speed wear=0.3",
         block_on_ring(2135.15, 0.035, 0.00635, 43.75, (20, 30), (1.8e-7, 3.6e-7)),
         "reversing", SOFT, "thin dab", "geometry, speed and load seen; room temperature ours"),
        ("fb_friction_d5183", "cof", "ball on three balls", "four-ball machine, wear", "VI", "friction=1",
         with_wear(four_ball(392, 600, (75, 75)), 392 / math.sqrt(6) / (math.pi * 0.00067**2 / 4)),
         "one way", HARD, "bath", "geometry, speed, load seen; worn in to 0.67 mm"),
        ("gear_A10_90", "fail_stage", "gear mesh", SCUFFING, "IV", "scuffing=1",
         gears(A_TIPS, 0.010, 4350, 372.6, (90, 90), A_ROUGH), "one way", HARD, "bath", "as gear_A10, 30 K cooler"),
        ("gear_micropit_short", "profile_deviation", "gear mesh", "gear rig, micropitting", "IV", "micropitting=1",
         gears(C_TIPS, 0.014, 2175, 215.513, (90, 90), C_ROUGH), "one way", HARD, "circulated",
         "gears, speed seen; stage 9 of the 0.35 m arm memory"),
        ("gear_shock_A10", "fail_stage", "gear mesh", SCUFFING, "IV", "scuffing=1",
         gears(A_TIPS, 0.010, 4350, 302.0, (90, 90), A_ROUGH), "one way", HARD, "bath", "as gear_A10_90, stage 9"),
        ("gear_slow_c005", "mass_loss", "gear mesh", "gear rig, slow wear", "IV",
         "slow-speed wear=1;adhesive wear=0.3",
         with_wear(gears(C_TIPS, 0.014, 13.05, 378.26, (90, 120), C_ROUGH)), "one way", HARD, "bath",
         "gears, speed seen; stage 12 of the 0.35 m arm memory"),
        ("pod_g99", "scar", "ball on disc", "ball on turning disc", "VI", "adhesive wear=1",
         stated("point", (scar, fresh), (0.1, 0.1), (2, 2), (23, 23)), "one way", HARD, "bath",
         "load, ball, speed memory"),
        ("pump_vane_d6973", "mass_loss", "vane tip on ring", STEEL_VANE, "III", vanes, vane((7.5, 10.1), (95, 95)),
         "one way", HARD, "circulated", "temperature seen; pressure memory, speed ours"),
        ("pump_vane_d7043", "mass_loss", "vane tip on ring", STEEL_VANE, "III", vanes, vane((3.8, 5.1), (66, 80)),
         "one way", HARD, "circulated", "temperature seen; pressure memory, speed ours"),
        ("pump_vane_iso20763", "mass_loss", "vane tip on ring", STEEL_VANE, "III", vanes, vane((4.5, 6.1), (40, 80)),
         "one way", HARD, "circulated", "pressure memory, speed and temperature ours"),
        ("recip_g133", "scar", "ball on disc", "ball on flat, long stroke", "VI", "adhesive wear=1",
         with_wear(ball_slides(200, 0.0047625, 2 * 0.01 * 10, (150, 150), (3e-8, 6e-8), 0.0006)),
         "reversing", HARD, "bath", "all memory; roughness ours"),
        ("traction_bod", "traction", "ball on disc", "ball on disc, rolling and sliding", "VI", "friction=1",
         stated("point", (0.75e9, 1.25e9), (0.01, 1.5), (0.05, 0.5), (40, 120), rolling=(0.02, 3)),
         "one way", HARD, "bath", "ranges of use memory"),
    ]


ENDS = [("ellipticity", ""), ("pressure", "_pa"), ("sliding", "_m_s"), ("rolling", "_m_s"), ("slide_roll", "")]
AFTER = [("time_share", ""), ("bulk", "_c"), ("contact_temperature", "_c"), ("film", "")]


def cells(terms, columns):
    """Both ends of each term, four digits; two empty cells of one that is not known."""
    ends = [terms[name] or ("", "") for name, _ in columns]
    return [end if end == "" else f"{end:.4g}" for pair in ends for end in pair]


def check():
    """Whether this arithmetic gives what stands in the rows that were there before it."""
    with TABLE.open(newline="") as file:
        rows = {(row["method"], row["quantity"]): row for row in csv.DictReader(file)}
    sound = True
    for key, terms in checks().items():
        for name, unit in ENDS + AFTER:
            for end, found in zip(("lo", "hi"), terms[name]):
                wanted = float(rows[key][f"{name}_{end}{unit}"])
                # The film carries the rounding of speed and bulk temperature in the older rows.
                near = abs(found - wanted) <= (0.02 if name == "film" else 0.006) * abs(wanted)
                sound &= near
                print(f"{key[0]:15} {name}_{end}: {found:.4g} for {wanted:.4g}{'' if near else '   DIFFERS'}")
    return sound


def write():
    """The rows."""
    out = csv.writer(sys.stdout, lineterminator="\n")
    for method, quantity, contact, family, category, modes, terms, motion, materials, supply, mark in later():
        out.writerow([method, quantity, "weigh", contact, family, category, modes, terms["shape"]]
                     + cells(terms, ENDS) + [motion, materials] + cells(terms, AFTER) + [supply, "yes", mark])


if __name__ == "__main__":
    if "--check" in sys.argv:
        sys.exit(0 if check() else 1)
    write()
