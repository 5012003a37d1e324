"""What orders use up and what they cost, reckoned a second time.

By the rules as `src/card/mod.rs`, `src/card/model.rs` and `src/quote` state them in words, with whole fractions and
nothing but Python's standard library; no line of the project's own code is used. `tests/independent_totals.rs` holds
the project against it, to the milligram and the minor unit. Write it anew after a built-in card has changed:

    python3 tests/independent/totals.py > tests/data/totals.json
"""

import json
import pathlib
import random
from fractions import Fraction
from math import ceil, floor, prod

ROOT = pathlib.Path(__file__).resolve().parents[2]
CARDS = {card["id"]: card for card in (json.loads(path.read_text()) for path in (ROOT / "src/card/builtin").glob("*.json"))}
GOODS = {good["id"]: good for good in json.loads((ROOT / "src/supply/catalogue.json").read_text())}


class Unknown(Exception):
    """A number that follows from the kitchen's trays and boxes."""


class Numbers:
    """The named numbers of one batch, each worked out when it is asked for."""

    def __init__(self, card, pieces, ordered, spares, chosen):
        self.card = card
        self.known = {"pieces": pieces, "ordered": ordered, "spares": spares}
        for option in card.get("options", []):
            self.known[option["id"]] = chosen.get(option["id"], option.get("default", 0))
        self.rules = {count["id"]: count for count in card.get("counts", [])}

    def __getitem__(self, name):
        if name not in self.known:
            if name not in self.rules:
                raise Unknown(name)
            self.known[name] = self.follow(self.rules[name])
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
    """Adds what a batch uses of each good, in thousandths of a gram, what is bought on top included."""
    happens = {step["id"]: numbers.holds(step.get("when")) for step in card["steps"]}
    for supply in card.get("ingredients", []):
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
    """A package of each good: its grams and its price, invented."""
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
    out, left_out = [], set()
    for name in sorted(name for name, card in CARDS.items() if not card.get("component")):
        card = CARDS[name]
        for _ in range(6):
            options, ordered, spares = order(draw, card)
            used = {}
            try:
                use_up(card, Numbers(card, ordered + spares, ordered, spares, options), used)
            except Unknown as unknown:
                left_out.add(f"{name}: {unknown}")
                continue
            cost = 0
            for good, milli in used.items():
                if GOODS[good]["group"] != "tap":
                    size, price = price_of(good)
                    cost += half_up(Fraction(price * milli, size * 1000))
            out.append({"card": name, "count": ordered, "spares": spares, "options": options, "milli": used, "cost": cost})
    return out, sorted(left_out)


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
    made, left_out = orders(draw)
    packs = {good: price_of(good) for good in sorted(GOODS)}
    print(json.dumps({"packs": packs, "orders": made, "left_out": left_out, "quotes": quotes(draw)}, indent=1))


main()
