"""What orders use up and what they cost, packaging too, reckoned a second time.

By the rules as `src/card/mod.rs`, `src/card/model.rs`, `src/card/things.rs`, `src/kitchen/boxes` and `src/quote` state
them in words, with whole fractions and nothing but Python's standard library; no line of the project's own code is used. `tests/independent_totals.rs` holds
the project against it, to the milligram and the minor unit. Write it anew after a built-in card has changed:

    python3 tests/independent/totals.py > tests/data/totals.json
"""

import json
import pathlib
import random
from fractions import Fraction
from math import ceil, floor, isqrt, prod

ROOT = pathlib.Path(__file__).resolve().parents[2]
CARDS = {card["id"]: card for card in (json.loads(path.read_text()) for path in (ROOT / "src/card/builtin").glob("*.json"))}
GOODS = {good["id"]: good for good in json.loads((ROOT / "src/supply/catalogue.json").read_text())}


# What things are put into, invented: inside width, depth and height, wall (mm), and how many stand on each other.
CONTAINERS = [
    {"name": name, "purpose": purpose, "width": w, "depth": d, "height": h, "wall": wall, "pile": pile}
    for name, purpose, w, d, h, wall, pile in [
        ("low box", "piece-box", 260, 190, 60, 2, 4),
        ("long box", "piece-box", 340, 170, 70, 2, 3),
        ("deep box", "piece-box", 230, 230, 110, 3, 2),
        ("tall box", "piece-box", 250, 210, 170, 2, 1),
        ("flat tin", "tin", 270, 200, 90, 2, 3),
        ("square tin", "tin", 240, 240, 130, 2, 3),
        ("jar", "tub", 90, 90, 80, 4, 1),
        ("pail", "tub", 210, 150, 90, 4, 3),
        ("short bag", "bag", 150, 240, 30, 0, 3),
        ("long bag", "bag", 180, 320, 40, 0, 3),
    ]
]
TRAY = (310, 440)


class Unknown(Exception):
    """A number that no rule gives."""


def on_floor(width, depth, across, gap, edge, cells):
    """Round pieces on a rectangle: the best of a square grid and, along either side, of rows of which every second one
    is shifted by half a step, the step stretched until the row fills the side."""
    pitch = across + gap
    a, b = (side + gap - 2 * edge - pitch for side in (width, depth))
    if min(a, b) < 0:
        return 0
    best = (a // pitch + 1) * (b // pitch + 1)
    for a, b in [] if cells else [(a, b), (b, a)]:
        half_steps = 1
        while half_steps == 1 or 2 * a >= half_steps * pitch:
            half = Fraction(a, half_steps)
            # Neighbours of the next row are a pitch away along the slope, those of the row after next straight on.
            apart = max(pitch * pitch - half * half, Fraction(pitch * pitch, 4))
            rows = isqrt(floor(Fraction(b * b) / apart)) + 1
            count = sum(len(range(row % 2, half_steps + 1, 2)) for row in range(rows))
            best = max(best, count)
            half_steps += 1
    return best


def fewest(of, amount, holds):
    """As many as the largest of a kind would be."""
    largest = max(holds(box) for box in CONTAINERS if box["purpose"] == of)
    return max(1, ceil(Fraction(amount, largest)))


def bag_holds(bag):
    """Two thirds of a prism with the section of a filled bag, rounded at its sides, ml."""
    width, thick = bag["width"] // 2, min(bag["height"], bag["width"] // 2)
    section = width * thick - floor(Fraction(7854, 10_000) * thick * thick)
    return section * bag["depth"] * 2 // 3 // 1000


def standing(thing, numbers):
    """How many of a thing there are."""
    kind = thing["is"]
    amount = max(0, numbers[thing.get("of") or thing["grams"]])
    if amount == 0 or kind in ("board-cake", "boxed-cake", "wrapped"):
        return amount
    if kind in ("tubs", "bags"):
        ml = ceil(Fraction(amount * 1000, thing["density"]))
        if kind == "bags":
            return fewest("bag", ml, bag_holds)
        deepest = Fraction(thing.get("deepest", 10_000))
        return fewest("tub", ml, lambda tub: tub["width"] * tub["depth"] * min(tub["height"] * Fraction(9, 10), deepest) // 1000)
    across, gap = max(0, numbers[thing["across"]]), thing.get("gap", 0)
    if kind == "trays":
        return ceil(Fraction(amount, on_floor(*TRAY, across, gap, thing.get("edge", 0), False)))
    boxes = []
    for box in CONTAINERS:
        layers = min(box["height"] // thing["thick"], thing.get("layers", 1))
        on_one = on_floor(box["width"], box["depth"], across, gap, 0, thing.get("cells", False))
        if box["purpose"] == {"boxed": "piece-box", "tins": "tin"}[kind] and layers and on_one:
            least = ceil(Fraction(amount, thing.get("most", amount)))
            boxes.append(max(least, ceil(Fraction(ceil(Fraction(amount, layers)), on_one))))
    # Boxes of twelve, where none of the list takes a piece.
    return min(boxes, default=ceil(Fraction(amount, 12)))


class Numbers:
    """The named numbers of one batch, each worked out when it is asked for."""

    def __init__(self, card, pieces, ordered, spares, chosen):
        self.card = card
        self.known = {"pieces": pieces, "ordered": ordered, "spares": spares}
        for option in card.get("options", []):
            self.known[option["id"]] = chosen.get(option["id"], option.get("default", 0))
        self.rules = {count["id"]: count for count in card.get("counts", [])}
        self.things = {thing["id"]: thing for thing in card.get("things", [])}

    def __getitem__(self, name):
        if name not in self.known:
            if name in self.things:
                self.known[name] = standing(self.things[name], self)
            elif name in self.rules:
                self.known[name] = self.follow(self.rules[name])
            else:
                raise Unknown(name)
        return self.known[name]

    def follow(self, rule):
        kind = rule["rule"]
        if kind == "divide":
            total = Fraction(prod(self[name] for name in rule["of"]) * rule.get("times", 1), rule["per"])
            return max(rule.get("at_least", 0), ceil(total))
        if kind == "share":
            among = prod(self[name] for name in rule["among"])
            return ceil(Fraction(self[rule["of"]], among)) if among else self[rule["of"]]
        if kind == "least":
            return min(self[name] for name in rule["of"])
        if kind == "minus":
            return max(0, self[rule["from"]] - sum(self[name] for name in rule["take"]) - rule.get("less", 0))
        raise Unknown(kind)

    def holds(self, when):
        return when is None or (self[when["option"]] >= when.get("at_least", 1)) != when.get("not", False)

    def sum(self, terms):
        return sum(
            term["each"] * prod(self[name] for name in term.get("per", []))
            for term in terms
            if self.holds(term.get("when"))
        )


def use_up(card, numbers, used):
    """Adds what a batch uses of each good, in thousandths of a gram or piece, what is bought on top included."""
    happens = {step["id"]: numbers.holds(step.get("when")) for step in card["steps"]}
    for supply in card.get("ingredients", []) + card.get("packaging", []):
        if not happens[supply["step"]] or not numbers.holds(supply.get("when")):
            continue
        milli = ceil(Fraction(numbers.sum(supply["amount"]) * 1000, supply.get("over", 1)))
        milli += ceil(Fraction(milli * supply.get("waste", 0), 100))
        if milli > 0:
            used[supply["of"]] = used.get(supply["of"], 0) + milli
    for part in card.get("components", []):
        if not numbers.holds(part.get("when")):
            continue
        total = sum(numbers.sum(use["amount"]) for use in part["uses"] if happens[use["step"]])
        if total <= 0:
            continue
        other = CARDS[part["card"]]
        chosen = dict(part.get("set", {}))
        chosen.update({theirs: numbers[ours] for theirs, ours in part.get("pass", {}).items()})
        use_up(other, Numbers(other, total, total, 0, chosen), used)


def half_up(amount):
    """Half away from zero; no amount here is below it."""
    return floor(amount + Fraction(1, 2))


def price_of(good):
    """A package of each good: its grams or pieces and its price, invented."""
    at = sorted(GOODS).index(good)
    return 250 + 125 * (at % 7), 99 + 37 * (at % 11)


def order(draw, card):
    options = {}
    for option in card.get("options", []):
        kind = option["kind"]
        low, high = (0, 1) if kind["is"] == "switch" else (kind["min"], kind["max"])
        if draw.random() < 0.4:
            options[option["id"]] = draw.randint(low, high)
    ordered = draw.choice([1, 2, 6, 12, 24, 36, 50])
    return options, ordered, draw.randint(0, ordered // 4)


def orders(draw):
    out = []
    for name in sorted(name for name, card in CARDS.items() if not card.get("component")):
        card = CARDS[name]
        for _ in range(6):
            options, ordered, spares = order(draw, card)
            used = {}
            use_up(card, Numbers(card, ordered + spares, ordered, spares, options), used)
            cost = {"ingredient": 0, "packaging": 0}
            for good, milli in used.items():
                if GOODS[good]["group"] != "tap":
                    size, price = price_of(good)
                    cost[GOODS[good].get("kind", "ingredient")] += half_up(Fraction(price * milli, size * 1000))
            made = {"card": name, "count": ordered, "spares": spares, "options": options, "milli": used}
            out.append(made | {"ingredients": cost["ingredient"], "packaging": cost["packaging"]})
    return out


def quotes(draw):
    out = []
    for _ in range(200):
        case = {
            "ingredients": draw.randint(0, 9000), "packaging": draw.randint(0, 2000),
            "hands_on": draw.randint(0, 1200), "oven": draw.randint(0, 300), "road": draw.randint(0, 120),
            "hour": draw.randint(0, 4000), "oven_hour": draw.randint(0, 90), "road_hour": draw.randint(0, 2500),
            "overhead": draw.randint(0, 3000), "margin": draw.randint(0, 6000), "tax": draw.randint(0, 2500),
            "deposit": draw.choice([0, 2500, 3333, 5000, 10000]),
        }
        work = half_up(Fraction(case["hour"] * case["hands_on"], 60))
        oven = half_up(Fraction(case["oven_hour"] * case["oven"], 60))
        road = half_up(Fraction(case["road_hour"] * case["road"], 60))
        goods = case["ingredients"] + case["packaging"]
        overhead = half_up(Fraction((goods + work) * case["overhead"], 10_000))
        costs = goods + work + oven + road + overhead
        price = half_up(Fraction(costs * 10_000, 10_000 - case["margin"]))
        total = price + half_up(Fraction(price * case["tax"], 10_000))
        case["costs"], case["price"], case["total"] = costs, price, total
        case["at_once"] = half_up(Fraction(total * case["deposit"], 10_000))
        out.append(case)
    return out


def main():
    draw = random.Random(2026)
    packs = {good: price_of(good) for good in sorted(GOODS)}
    kitchen = {"containers": CONTAINERS, "tray": TRAY}
    print(json.dumps({"packs": packs, "kitchen": kitchen, "orders": orders(draw), "quotes": quotes(draw)}, indent=1))


main()
