"""Random problem statements with fixed seeds, for cross-checks.

What enters: a seed, or a seed with sizes. What leaves: the text of a statement: a shelf with several choices, three to six surfaces with
every link, limits drawn tightly around a scattered mix so that most statements can just be met, and in about a
quarter one limit pushed beyond it, so that many of those cannot. Everything is invented.
"""

import math
import random
import re

DENSITY = {
    "cement": 3120, "fly ash": 2310, "slag": 2890, "silica fume": 2210, "limestone": 2710, "expansive agent": 3040,
    "sand": 2640, "light sand": 1800, "stone": 2690, "light coarse one": 1430, "light coarse two": 1570,
    "light coarse three": 1300, "light coarse four": 1650,
    "water": 1000, "water reducer": 1070, "shrinkage reducer": 950, "fibre": 910,
}  # fmt: skip
ROLE = {
    "limestone": "limestone filler", "light sand": "lightweight sand", "stone": "coarse aggregate",
    "light coarse one": "lightweight coarse aggregate", "light coarse two": "lightweight coarse aggregate",
    "light coarse three": "lightweight coarse aggregate", "light coarse four": "lightweight coarse aggregate",
}  # fmt: skip
PRICE = {
    "cement": 125, "fly ash": 60, "slag": 85, "silica fume": 450, "limestone": 40, "expansive agent": 650, "sand": 15,
    "light sand": 95, "stone": 18, "light coarse one": 100, "light coarse two": 92, "light coarse three": 118, "light coarse four": 85, "water": 1.1,
    "water reducer": 2400, "shrinkage reducer": 4100, "fibre": 5400,
}  # fmt: skip
BINDERS = ("cement", "fly ash", "slag", "silica fume", "expansive agent")
# Share of binder of an addition: least and most if used.
SHARES = {"fly ash": (8, 28), "slag": (10, 42), "silica fume": (3, 8), "expansive agent": (3, 8)}


def statement(seed):
    """The statement of a seed."""
    dice = random.Random(seed)
    additions = dice.sample(list(SHARES), dice.randint(2, 4))
    light = dice.random() < 0.6
    grades = dice.randint(0, 2) if light else 0
    liquids = ["water reducer"] + (["shrinkage reducer"] if dice.random() < 0.6 else [])
    shelf = ["cement", *additions]
    shelf += ["limestone"] if dice.random() < 0.3 else []
    shelf += ["sand"] + (["light sand"] if light else []) + ["stone"]
    shelf += ["light coarse one", "light coarse two"][:grades]
    shelf += ["water", *liquids] + (["fibre"] if dice.random() < 0.4 else [])
    mix = scattered(dice, shelf, additions)
    lines = ["mixbound: 1", f"title: Invented statement {seed}", "currency: EUR", "air: 2 %", "", "materials:"]
    lines += [material(dice, name) for name in shelf]
    factors = [factor for factor in FACTORS if factor[1](shelf)]
    size = dice.choice((1.0, 1.0, 2.5))  # how curved the surfaces are
    surfaces = [surface(dice, kind, factors, mix, size) for kind in dice.sample(KINDS, dice.randint(3, 6))]
    surfaces += [nested(dice, one, mix) for one in surfaces if one[1] == "stiffness" and dice.random() < 0.4]
    lines += ["", "responses:"] + [line for text, *_ in surfaces for line in text]
    needs_reducer = dice.random() < 0.3
    lines += DEMAND if needs_reducer else []
    lines += ["", "limits:", *plain_limits(dice, mix), *curved_limits(dice, surfaces)]
    lines += ["  enough reducer: {on: water reducer, at least: reducer demand}"] if needs_reducer else []
    lines += ["", "choices:", *choices(dice, shelf, additions, grades)]
    lines += ["", f"goal: {goal(dice, surfaces)}"]
    return "\n".join(lines) + "\n"


# What a statement of a given size decides on, in this order; all of it is on the shelf in any case.
DECIDED = (
    "fly ash", "light sand", "shrinkage reducer", "silica fume", "slag", "expansive agent", "light coarse one",
    "light coarse two", "fibre", "limestone", "light coarse three", "light coarse four",
)  # fmt: skip
# Used at least so much, where a decision is taken on it.
IF_USED = {"fibre": "1 .. 5 kg/m3", "limestone": "15 .. 90 kg/m3"}


def sized(seed, factors, decisions):
    """A statement of four surfaces, each in the same `factors` factors (4 to 12), with `decisions` yes/no decisions
    (0 to 12)."""
    dice = random.Random(f"{seed} of {factors} and {decisions}")
    shelf = ["cement", "fly ash", "slag", "silica fume", "expansive agent", "limestone", "sand", "light sand", "stone"]
    shelf += ["light coarse one", "light coarse two", "light coarse three", "light coarse four"]
    shelf += ["water", "water reducer", "shrinkage reducer", "fibre"]
    mix = scattered(dice, shelf, ["fly ash", "slag", "silica fume", "expansive agent"])
    lines = ["mixbound: 1", f"title: Invented statement {seed}, {factors} factors, {decisions} decisions"]
    lines += ["currency: EUR", "air: 2 %", "", "materials:"]
    for name in shelf:
        text = material(dice, name)
        if name in DECIDED[decisions:]:  # any amount from nothing on
            text = re.sub(r"if used: \S+ \.\. (\S+) %", r"dose: at most \1 %", text)
            text = re.sub(r"if used: \S+ \.\. (\S+) kg/m3", r"amount: at most \1 kg/m3", text)
        elif name in IF_USED:
            text = re.sub(r"amount: [^,}]+", f"if used: {IF_USED[name]}", text)
        lines.append(text)
    chosen = [*FACTORS, COARSE][:factors]
    kinds = [kind for kind in KINDS if kind[0] in ("strength", "stiffness", "shrinkage", "toughness")]
    surfaces = [surface(dice, kind, chosen, mix, 1.0, everywhere=True) for kind in kinds]
    lines += ["", "responses:"] + [line for text, *_ in surfaces for line in text]
    lines += ["", "limits:", *plain_limits(dice, mix)]
    for _, name, link, value, spread, unit, _ in surfaces:
        side = dice.choice((-1, 1))
        says = "at least" if side == 1 else "at most"
        lines.append(f"  {name}: {{{says}: {natural(link, value - side * 0.15 * spread):.6g}{unit}}}")
    return "\n".join([*lines, "", "goal: least cost"]) + "\n"


def scattered(dice, shelf, additions):
    """A mix in kg/m3 with some of the additions."""
    binder = dice.uniform(340, 460)
    mix = dict.fromkeys(shelf, 0.0)
    used = [name for name in additions if dice.random() < 0.6][:2]
    for name in used:
        mix[name] = binder * dice.uniform(*SHARES[name]) / 100
    mix["cement"] = binder - sum(mix[name] for name in used)
    mix["water reducer"] = binder * dice.uniform(0.5, 1.2) / 100
    if "shrinkage reducer" in shelf and dice.random() < 0.5:
        mix["shrinkage reducer"] = binder * dice.uniform(0.5, 2.0) / 100
    if "fibre" in shelf:
        mix["fibre"] = dice.uniform(1.5, 4.0)
    water = binder * dice.uniform(0.36, 0.46)
    mix["water"] = water - 0.7 * mix["water reducer"] - mix.get("shrinkage reducer", 0.0)
    rest = 0.98 - sum(kg / DENSITY[name] for name, kg in mix.items())
    fine = rest * dice.uniform(0.42, 0.55)
    replaced = dice.uniform(0.1, 0.3) * fine if "light sand" in shelf and dice.random() < 0.6 else 0.0
    mix["sand"] = (fine - replaced) * DENSITY["sand"]
    if replaced:
        mix["light sand"] = replaced * DENSITY["light sand"]
    mix["stone"] = (rest - fine) * DENSITY["stone"]
    return mix


def material(dice, name):
    price = PRICE[name] * dice.uniform(0.8, 1.2)
    text = f"  {name}: {{role: {ROLE.get(name, name)}, density: {DENSITY[name]} kg/m3"
    state = ""
    if ROLE.get(name, name) in ("sand", "coarse aggregate"):
        text, state = text + f" surface-dry, absorption: {dice.uniform(0.5, 1.2):.1f} %", " surface-dry"
    if name.startswith("light"):
        text += f" prewetted, absorption: {dice.randint(10, 25)} %, desorption: 88 %"
        state = " dry"
    text += f", price: {price:.1f} /t{state}, carbon: {dice.uniform(0.01, 0.9):.3f} kg/kg{state if 'light' in name else ''}"
    if name in SHARES:
        low, high = SHARES[name]
        text += f", if used: {low} .. {high} % of binder"
    elif name == "shrinkage reducer":
        text += ", mixing water: 100 %, if used: 0.5 .. 2.0 % of binder"
    elif name == "water reducer":
        text += ", solids: 30 %, dose: at most 2.4 % of binder"
    elif name.startswith("light"):
        text += ", if used: 60 .. 350 kg/m3"
    elif name == "cement":
        text += ", amount: 150 .. 450 kg/m3"
    elif name == "limestone":
        text += ", amount: at most 90 kg/m3"
    elif name in ("sand", "stone"):
        text += ", amount: at least 100 kg/m3"
    elif name == "fibre":
        text += ", amount: 1 .. 5 kg/m3"
    return text + "}"


def binder(mix):
    return sum(mix.get(name, 0.0) for name in BINDERS)


def free_water(mix):
    return mix["water"] + 0.7 * mix["water reducer"] + mix.get("shrinkage reducer", 0.0)


def volume(mix, *names):
    return sum(mix.get(name, 0.0) / DENSITY[name] for name in names)


def share(name):
    return lambda mix: 100 * mix.get(name, 0.0) / binder(mix)


LIGHT_COARSE = tuple(f"light coarse {number}" for number in ("one", "two", "three", "four"))
SANDS, STONES = ("sand", "light sand"), ("stone", *LIGHT_COARSE)
# Short name, whether the shelf has it, what it is in the statement, region and coding, value at a mix.
FACTORS = [
    ("w", lambda s: True, "is: water-binder ratio", (0.32, 0.50), lambda m: free_water(m) / binder(m)),
    ("b", lambda s: True, "is: binder, unit: kg/m3", (320, 480), binder),
    ("n", lambda s: True, 'is: sand share, unit: "%"', (38, 60),
     lambda m: 100 * volume(m, *SANDS) / volume(m, *SANDS, *STONES)),
    ("l", lambda s: "light sand" in s, 'is: lightweight share of sand, unit: "%"', (0, 45),
     lambda m: 100 * volume(m, "light sand") / volume(m, *SANDS)),
    ("a", lambda s: "fly ash" in s, 'is: share of fly ash, unit: "%"', (0, 30), share("fly ash")),
    ("g", lambda s: "slag" in s, 'is: share of slag, unit: "%"', (0, 45), share("slag")),
    ("s", lambda s: "silica fume" in s, 'is: share of silica fume, unit: "%"', (0, 9), share("silica fume")),
    ("e", lambda s: "expansive agent" in s, 'is: expansive agent / binder, unit: "%"', (0, 9),
     share("expansive agent")),
    ("r", lambda s: "shrinkage reducer" in s, 'is: shrinkage reducer / binder, unit: "%"', (0, 2.2),
     share("shrinkage reducer")),
    ("d", lambda s: True, 'is: water reducer / binder, unit: "%"', (0, 2.4), share("water reducer")),
    ("v", lambda s: "fibre" in s, 'is: fibre volume, unit: "%"', (0.05, 0.6), lambda m: 100 * volume(m, "fibre")),
]
# One more for statements of a given size.
COARSE = ("c", lambda s: True, 'is: lightweight share of coarse aggregate, unit: "%"', (0, 60),
          lambda m: 100 * volume(m, *LIGHT_COARSE) / volume(m, *STONES))  # fmt: skip
# Name, unit, link, value on the link's scale, spread of coefficients on it, factors it always has.
KINDS = [
    ("strength", "MPa", "log", math.log(45), 0.06, "w"),
    ("stiffness", "GPa", "identity", 28.0, 1.2, "n"),
    ("shrinkage", "microstrain", "log", math.log(480), 0.08, "w"),
    ("toughness", '"1"', "square root", 9.0, 0.5, "w"),
    ("scaling", "g/m2", "log", 6.2, 0.15, "w"),
    ("voids", '"%"', "logit", -2.2, 0.12, "w"),
    ("flow", "mm", "identity", 560.0, 40.0, "d"),
    ("warmth", '"1"', "square root", 17.0, 0.6, "b"),
]


def natural(link, predictor):
    if link == "log":
        return math.exp(predictor)
    if link == "square root":
        return predictor**2
    if link == "logit":
        return 100 / (1 + math.exp(-predictor))
    return predictor


DEMAND = [
    "  reducer demand:",
    '    unit: "% of binder"',
    "    factors:",
    "      w: {is: water-binder ratio, region: 0.30 .. 0.52, coded: 0.32 .. 0.50}",
    "      b: {is: binder, unit: kg/m3, region: 310 .. 500 kg/m3, coded: 320 .. 480 kg/m3}",
    "    terms: {constant: 0.5, w: -0.2, b: 0.06, w * w: 0.05, w * b: -0.04}",
]


def nested(dice, stiffness, mix):
    """A surface in another one's value and the water-binder ratio."""
    inner, ratio = (stiffness[3] - 28.0) / 12.0, (free_water(mix) / binder(mix) - 0.41) / 0.09
    by = [dice.choice((-1, 1)) * dice.uniform(0.1, 0.5) for _ in range(4)]
    value = 3.0 + by[0] * inner + by[1] * ratio + by[2] * inner * ratio + by[3] * inner * inner
    lines = [
        "  brittleness:",
        '    unit: "1"',
        "    factors:",
        "      m: {is: stiffness, unit: GPa, region: 16 .. 40 GPa, coded: 16 .. 40 GPa}",
        "      w: {is: water-binder ratio, region: 0.32 .. 0.5, coded: 0.32 .. 0.5}",
        f"    terms: {{constant: 3, m: {by[0]!r}, w: {by[1]!r}, m * w: {by[2]!r}, m * m: {by[3]!r}}}",
        "    residual: 0.02",
    ]
    return lines, "brittleness", "identity", value, 0.3, "", 0.02


def covariance(dice, coded, terms):
    """Lines of the covariance that scattered trials would leave, and a leverage a little above that of the mix."""
    count = len(terms)

    def monomials(point):
        return [math.prod(point[name] for name in term.split(" * ") if name != "constant") for term in terms]

    trials = [monomials({name: dice.uniform(-1, 1) for name in coded}) for _ in range(3 * count)]
    normal = [[sum(trial[i] * trial[j] for trial in trials) for j in range(count)] for i in range(count)]
    matrix = inverse(normal)
    at = monomials(coded)
    leverage = sum(at[i] * matrix[i][j] * at[j] for i in range(count) for j in range(count))
    rows = ", ".join("[" + ", ".join(f"{entry:.12g}" for entry in row) + "]" for row in matrix)
    return [f"    covariance: [{rows}]", f"    leverage: {1.1 * leverage + 0.05:.6g}"]


def inverse(matrix):
    """The inverse of a positive definite matrix, symmetric to the last digit."""
    size = len(matrix)
    rows = [list(row) + [float(i == j) for j in range(size)] for i, row in enumerate(matrix)]
    for step in range(size):
        pivot = rows[step][step]
        rows[step] = [entry / pivot for entry in rows[step]]
        for other in range(size):
            if other != step:
                factor = rows[other][step]
                rows[other] = [a - factor * b for a, b in zip(rows[other], rows[step])]
    found = [row[size:] for row in rows]
    return [[0.5 * (found[i][j] + found[j][i]) for j in range(size)] for i in range(size)]


def surface(dice, kind, factors, mix, size, everywhere=False):
    """Lines of the response, its name and link, predictor at the mix, spread, unit, residual. Everywhere: with all
    factors, and as many curved terms."""
    name, unit, link, middle, spread, always = kind
    spread *= size
    others = [factor for factor in factors if factor[0] != always]
    chosen = [next(factor for factor in factors if factor[0] == always)]
    chosen += others if everywhere else dice.sample(others, min(len(others), dice.randint(2, 5)))
    terms, value = {"constant": middle}, middle
    coded = {}
    for letter, _, _, (low, high), at in chosen:
        coded[letter] = (at(mix) - 0.5 * (low + high)) / (0.5 * (high - low))
        terms[letter] = dice.choice((-1, 1)) * dice.uniform(0.4, 1.6) * spread
        value += terms[letter] * coded[letter]
    letters = list(coded)
    for _ in range(len(letters) if everywhere else dice.randint(1, 5)):
        one, other = sorted((dice.choice(letters), dice.choice(letters)), key=letters.index)
        if f"{one} * {other}" not in terms:
            curved = dice.choice((-1, 1)) * dice.uniform(0.2, 1.0) * spread
            terms[f"{one} * {other}"] = curved
            value += curved * coded[one] * coded[other]
    residual = 0.05 * spread
    lines = [f"  {name}:", f"    unit: {unit}"]
    if name == "strength":
        about = "specimen: cylinder 100 x 200 mm, statistic: mean, age: 28 d, curing: moist"
        lines.append(f"    strength: {{{about}}}")
    lines += [f"    link: {link}", "    factors:"]
    for letter, _, says, (low, high), _ in chosen:
        of = " kg/m3" if "kg/m3" in says else " %" if "%" in says else ""
        lines.append(f"      {letter}: {{{says}, region: {low} .. {high}{of}, coded: {low} .. {high}{of}}}")
    lines.append("    terms: {" + ", ".join(f"{term}: {size:.5g}" for term, size in terms.items()) + "}")
    shown = f"{residual:.4g}" + (f" {unit}" if link == "identity" else "")
    lines.append(f"    residual: {shown}")
    if not everywhere and dice.random() < 0.15:
        lines += covariance(dice, coded, list(terms))
    return lines, name, link, value, spread, "" if unit == '"1"' else " " + unit.strip('"'), residual


def plain_limits(dice, mix):
    ratio, mass = free_water(mix) / binder(mix), binder(mix)
    lines = [
        f"  water-binder ratio: {ratio - dice.uniform(0.005, 0.05):.4f} .. {ratio + dice.uniform(0.005, 0.05):.4f}",
        f"  binder: {mass - dice.uniform(5, 40):.1f} .. {mass + dice.uniform(5, 40):.1f} kg/m3",
    ]
    if dice.random() < 0.5:
        part = 100 * volume(mix, *SANDS) / volume(mix, *SANDS, *STONES)
        lines.append(f"  sand share: {part - dice.uniform(0.5, 4):.2f} .. {part + dice.uniform(0.5, 4):.2f} %")
    return lines


def curved_limits(dice, surfaces):
    lines = []
    broken = dice.randrange(len(surfaces)) if dice.random() < 0.25 else None
    for index, (_, name, link, value, spread, unit, residual) in enumerate(surfaces):
        side = dice.choice((-1, 1))
        room = dice.choice((0.05, 0.15, 0.4)) * spread
        margin = dice.random() < 0.3
        room += 1.3 * residual if margin else 0.0
        room = -dice.uniform(0.3, 2.5) * spread if index == broken else room
        wanted = natural(link, value - side * room)
        says = f"{'at least' if side == 1 else 'at most'}: {wanted:.6g}{unit}"
        lines.append(f"  {name}: {{{says}{', margin: 1.28 deviations' if margin else ''}}}")
    return lines


def choices(dice, shelf, additions, grades):
    lines = [f"  additions: {{of: [{', '.join(additions)}], at most: {dice.randint(1, 2)}}}"]
    if grades == 2:
        lines.append("  one grade: {of: [light coarse one, light coarse two], at most: 1}")
    if "shrinkage reducer" in shelf and "expansive agent" in additions and dice.random() < 0.6:
        lines.append("  together: {if: expansive agent, then: shrinkage reducer}")
    return lines


def goal(dice, surfaces):
    draw = dice.random()
    if draw < 0.75:
        return "least cost"
    if draw < 0.85:
        return "least carbon"
    _, name, _, _, _, _, _ = dice.choice(surfaces)
    return f"{{{dice.choice(('least', 'most'))}: {name}}}"


# One factor more, for dense surfaces.
FILLER = ("p", lambda s: True, 'is: limestone / binder, unit: "%"', (0, 25),
          lambda m: 100 * m.get("limestone", 0.0) / binder(m))  # fmt: skip
DENSE_KINDS = ("strength", "stiffness", "shrinkage", "toughness", "scaling")
# How curved a dense surface is against its slopes.
MILD, STRONG = 0.8, 2.5


def dense(seed, curved, beyond=0.0):
    """Five surfaces in the same 13 factors, each with 70 % of all products of two factors; `curved` is the size of their
    coefficients against the slopes. With `beyond` the limits are pushed so many spreads further."""
    dice = random.Random(f"dense {seed} {curved}")
    shelf = ["cement", "fly ash", "slag", "silica fume", "expansive agent", "limestone", "sand", "light sand", "stone"]
    shelf += ["light coarse one", "light coarse two", "water", "water reducer", "shrinkage reducer", "fibre"]
    mix = scattered(dice, shelf, ["fly ash", "slag", "silica fume", "expansive agent"])
    lines = ["mixbound: 1", f"title: Invented dense statement {seed}", "currency: EUR", "air: 2 %", "", "materials:"]
    decided = DECIDED[: dice.choice((2, 4, 6))]
    lines += [undecided(dice, name, decided) for name in shelf]
    kinds = [kind for kind in KINDS if kind[0] in DENSE_KINDS]
    surfaces = [dense_surface(dice, kind, [*FACTORS, COARSE, FILLER], mix, curved, 0.7) for kind in kinds]
    lines += ["", "responses:"] + [line for text, *_ in surfaces for line in text]
    lines += ["", "limits:", *wide_limits(dice, mix), *sided_limits(dice, surfaces, beyond)]
    return "\n".join([*lines, "", "goal: least cost"]) + "\n"


def undecided(dice, name, decided):
    """A material that is decided on if its name is among those decided, else of any amount from nothing on."""
    text = material(dice, name)
    if name not in decided:
        text = re.sub(r"if used: \S+ \.\. (\S+) %", r"dose: at most \1 %", text)
        return re.sub(r"if used: \S+ \.\. (\S+) kg/m3", r"amount: at most \1 kg/m3", text)
    return re.sub(r"amount: [^,}]+", f"if used: {IF_USED[name]}", text) if name in IF_USED else text


def dense_surface(dice, kind, factors, mix, curved, share):
    """A surface in all factors with a share of all products of two, scattered trials behind it in thought."""
    name, unit, link, middle, spread, _ = kind
    terms, value, coded = {"constant": middle}, middle, {}
    for letter, _, _, (low, high), at in factors:
        coded[letter] = (at(mix) - 0.5 * (low + high)) / (0.5 * (high - low))
        terms[letter] = dice.choice((-1, 1)) * dice.uniform(0.4, 1.6) * spread
        value += terms[letter] * coded[letter]
    letters = list(coded)
    pairs = [(one, other) for at, one in enumerate(letters) for other in letters[at:]]
    for one, other in sorted(dice.sample(pairs, round(share * len(pairs)))):
        size = dice.choice((-1, 1)) * dice.uniform(0.2, 1.0) * spread * curved
        terms[f"{one} * {other}"] = size
        value += size * coded[one] * coded[other]
    residual = 0.05 * spread
    lines = [f"  {name}:", f"    unit: {unit}"]
    if name == "strength":
        lines.append("    strength: {specimen: cylinder 100 x 200 mm, statistic: mean, age: 28 d, curing: moist}")
    lines += [f"    link: {link}", "    factors:"]
    for letter, _, says, (low, high), _ in factors:
        of = " kg/m3" if "kg/m3" in says else " %" if "%" in says else ""
        lines.append(f"      {letter}: {{{says}, region: {low} .. {high}{of}, coded: {low} .. {high}{of}}}")
    lines.append("    terms: {" + ", ".join(f"{term}: {size:.5g}" for term, size in terms.items()) + "}")
    lines.append(f"    residual: {residual:.4g}" + (f" {unit}" if link == "identity" else ""))
    return lines, name, link, value, spread, "" if unit == '"1"' else " " + unit.strip('"'), residual


def wide_limits(dice, mix):
    ratio, mass = free_water(mix) / binder(mix), binder(mix)
    return [
        f"  water-binder ratio: {ratio - dice.uniform(0.03, 0.08):.4f} .. {ratio + dice.uniform(0.03, 0.08):.4f}",
        f"  binder: {mass - dice.uniform(40, 80):.1f} .. {mass + dice.uniform(40, 80):.1f} kg/m3",
    ]


def sided_limits(dice, surfaces, beyond=0.0):
    """A limit on each surface some spreads beyond the scattered mix, so that better mixes must be sought; all of them
    `beyond` spreads further where few or none may reach."""
    lines = []
    for _, name, link, value, spread, unit, _ in surfaces:
        side = 1 if name == "strength" else dice.choice((-1, 1))
        room = -(dice.uniform(1.8, 3.2) + beyond) * spread
        says = "at least" if side == 1 else "at most"
        lines.append(f"  {name}: {{{says}: {natural(link, value - side * room):.6g}{unit}}}")
    return lines


# What a statement with many assignments chooses from, one of each group: 3 x 2 x 2 x 2 x 4 x 2 = 192.
GROUPS = {
    "cements": ("cement one", "cement two", "cement three"),
    "ashes": ("ash one", "ash two"),
    "slags": ("slag one", "slag two"),
    "sands": ("sand one", "sand two"),
    "coarse": ("coarse one", "coarse two", "light one", "light two"),
}
GROUP_ROLE = {"cement": "cement", "ash": "fly ash", "slag": "slag", "sand": "sand", "coarse": "coarse aggregate",
              "light": "lightweight coarse aggregate"}  # fmt: skip
GROUP_DENSITY = {"cement": 3100, "ash": 2300, "slag": 2880, "sand": 2640, "coarse": 2690, "light": 1500}
GROUP_PRICE = {"cement": 122, "ash": 58, "slag": 84, "sand": 15, "coarse": 18, "light": 98}


def assignments(seed, factors, curved, share=0.7):
    """One of three cements, two ashes, two slags, two sands, four coarse, and a shrinkage reducer or none: 192
    assignments; five surfaces in the same `factors` (13 to 18) factors, each with a share of all products."""
    dice = random.Random(f"assignments {seed} {factors} {curved} {share}")
    density, lines = {"water": 1000, "water reducer": 1070, "shrinkage reducer": 950}, []
    for names in GROUPS.values():
        for name in names:
            kind = name.split()[0]
            density[name] = round(GROUP_DENSITY[kind] * dice.uniform(0.97, 1.03))
            text = f"  {name}: {{role: {GROUP_ROLE[kind]}, density: {density[name]} kg/m3"
            state = ""
            if kind in ("sand", "coarse"):
                text, state = text + f" surface-dry, absorption: {dice.uniform(0.5, 1.2):.1f} %", " surface-dry"
            if kind == "light":
                text, state = text + f" prewetted, absorption: {dice.randint(10, 25)} %, desorption: 88 %", " dry"
            text += f", price: {GROUP_PRICE[kind] * dice.uniform(0.8, 1.2):.1f} /t{state}"
            text += f", carbon: {dice.uniform(0.01, 0.9):.3f} kg/kg{state if kind == 'light' else ''}"
            used = {"cement": "180 .. 420 kg/m3", "ash": "4 .. 28 % of binder", "slag": "5 .. 40 % of binder",
                    "sand": "300 .. 1100 kg/m3", "coarse": "300 .. 1200 kg/m3", "light": "150 .. 700 kg/m3"}  # fmt: skip
            lines.append(f"{text}, if used: {used[kind]}}}")
    lines.append("  water: {role: water, density: 1000 kg/m3, price: 1.1 /t, carbon: 0.001 kg/kg}")
    lines += [material(dice, name) for name in ("water reducer", "shrinkage reducer")]
    mix = {name: 0.0 for name in density}
    taken = {group: dice.choice(names) for group, names in GROUPS.items()}
    mass = dice.uniform(360, 440)
    mix[taken["ashes"]], mix[taken["slags"]] = mass * dice.uniform(0.06, 0.2), mass * dice.uniform(0.08, 0.25)
    mix[taken["cements"]] = mass - mix[taken["ashes"]] - mix[taken["slags"]]
    mix["water reducer"] = mass * dice.uniform(0.005, 0.012)
    mix["shrinkage reducer"] = mass * dice.choice((0.0, dice.uniform(0.006, 0.018)))
    mix["water"] = mass * dice.uniform(0.38, 0.46) - 0.7 * mix["water reducer"] - mix["shrinkage reducer"]
    rest = 0.98 - sum(kg / density[name] for name, kg in mix.items())
    fine = rest * dice.uniform(0.42, 0.52)
    mix[taken["sands"]] = fine * density[taken["sands"]]
    mix[taken["coarse"]] = (rest - fine) * density[taken["coarse"]]
    surfaces = [
        dense_surface(dice, kind, grouped_factors(density)[:factors], mix, curved, share)
        for kind in KINDS
        if kind[0] in DENSE_KINDS
    ]
    head = ["mixbound: 1", f"title: Invented statement {seed} of 192 assignments", "currency: EUR", "air: 2 %", ""]
    text = [*head, "materials:", *lines, "", "responses:"] + [line for part, *_ in surfaces for line in part]
    ratio = group_water(mix) / group_binder(mix)
    limits = [
        f"  water-binder ratio: {ratio - dice.uniform(0.03, 0.08):.4f} .. {ratio + dice.uniform(0.03, 0.08):.4f}",
        f"  binder: {mass - dice.uniform(40, 80):.1f} .. {mass + dice.uniform(40, 80):.1f} kg/m3",
    ]
    text += ["", "limits:", *limits, *sided_limits(dice, surfaces), "", "choices:"]
    text += [f"  one of {group}: {{of: [{', '.join(names)}], at least: 1, at most: 1}}" for group, names in GROUPS.items()]
    return "\n".join([*text, "", "goal: least cost"]) + "\n"


def group_binder(mix):
    return sum(kg for name, kg in mix.items() if name.split()[0] in ("cement", "ash", "slag"))


def group_water(mix):
    return mix["water"] + 0.7 * mix["water reducer"] + mix["shrinkage reducer"]


def grouped_factors(density):
    """18 factors of a statement with many assignments."""

    def part(name, *of):
        return lambda m: 100 * m[name] / (sum(m[one] for one in of) if of else group_binder(m))

    def by_volume(mix, names):
        return sum(mix[name] / density[name] for name in names)

    coarse, sands = GROUPS["coarse"], GROUPS["sands"]
    found = [
        ("w", None, "is: water-binder ratio", (0.32, 0.52), lambda m: group_water(m) / group_binder(m)),
        ("b", None, "is: binder, unit: kg/m3", (300, 500), group_binder),
        ("n", None, 'is: sand share, unit: "%"', (36, 60),
         lambda m: 100 * by_volume(m, sands) / by_volume(m, (*sands, *coarse))),
        ("d", None, 'is: water reducer / binder, unit: "%"', (0, 2.4), part("water reducer")),
        ("r", None, 'is: shrinkage reducer / binder, unit: "%"', (0, 2.2), part("shrinkage reducer")),
    ]  # fmt: skip
    shares = [*GROUPS["ashes"], *GROUPS["slags"], "cement two", "cement three"]
    for letter, name in zip("efghij", shares):
        high = 100 if name.startswith("cement") else 45
        found.append((letter, None, f'is: {name} / binder, unit: "%"', (0, high), part(name)))
    for letter, name in zip("klmo", ("light one", "light two", "coarse two", "sand two")):
        found.append((letter, None, f"is: {name}, unit: kg/m3", (0, 1200), lambda m, name=name: m[name]))
    found += [
        ("q", None, "is: free water, unit: kg/m3", (100, 240), group_water),
        ("s", None, "is: coarse one, unit: kg/m3", (0, 1200), lambda m: m["coarse one"]),
        ("t", None, "is: sand one, unit: kg/m3", (0, 1200), lambda m: m["sand one"]),
    ]
    return found


# The statements that proofs are measured on: name, and its text. 44 of them.
def families():
    for seed in range(1, 17):
        yield f"dense-mild-{seed}", dense(seed, MILD)
    for seed in range(1, 11):
        yield f"dense-strong-{seed}", dense(seed, STRONG)
    for seed in range(1, 9):
        yield f"assignments-{seed}", assignments(seed, 13 + (seed * 5) % 6, MILD if seed % 2 else STRONG)
    for seed in range(1, 11):
        yield f"beyond-{seed}", dense(seed + 100, MILD if seed % 2 else STRONG, beyond=(1.5, 2.5, 4.0)[seed % 3])
