"""Rows beside each other: duplicates, and raw and cooked rows that should be the same food."""

from collections import Counter
from collections.abc import Iterable, Iterator

from workbench.base.errors import Problem
from workbench.base.text import _, number
from workbench.composition.bundled import sources
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food, Value
from workbench.composition.quality import words
from workbench.composition.quality.kitchen import COOKED_WORDS, name_words
from workbench.composition.quality.sums import amount

_FEWEST_FIGURES = 5  # equal figures above zero, below which two simple foods may just be alike
_STATE_WORDS = COOKED_WORDS | {"raw", "dry", "uncooked", "with", "without", "in", "water", "unsalted", "salt", "skin"}
# Share by which a raw and a cooked row may differ in the dry matter.  Tabulated cooking yields are good to 10 %.
_PAIR_SHARES = {"FIBTG": 0.15, "PROCNT": 0.10, "CHOCDF": 0.05}
_PAIR_LEAST_G = 0.5
_YIELD_SHARE = 0.10


def duplicates(foods: Iterable[Food]) -> Iterator[Problem]:
    """Rows that are another row again; the later one is named."""
    by_code: dict[tuple[str, str], Food] = {}
    by_figures: dict[tuple[tuple[str, float], ...], Food] = {}
    for food in foods:
        origin = _row_of_source(food)
        first = by_code.setdefault(origin, food) if origin else food
        if first is not food and origin:
            known = sources().get(origin[0])
            said = {"source": known.short if known else origin[0], "code": origin[1], "other": first.name}
            yield words.SAME_CODE.at(*words.at(food), **said)
        figures = tuple(sorted((tag, round(v.value, 3)) for tag, v in _own_figures(food) if v.value > 0.0))
        twin = by_figures.setdefault(figures, food)
        if twin is not food and twin is not first and len(figures) >= _FEWEST_FIGURES:
            yield words.SAME_FIGURES.at(*words.at(food), other=twin.name)


def _own_figures(food: Food) -> list[tuple[str, Value]]:
    """Figures that stand for this food itself; a borrowed one says that it is another food's."""
    return [(tag, v) for tag, v in food.values.items() if v.kind in ("measured", "calculated", "label")]


def _row_of_source(food: Food) -> tuple[str, str] | None:
    """The publication's row that most of the figures come from."""
    copied = Counter((v.source, v.code) for _tag, v in _own_figures(food) if v.code)
    return copied.most_common(1)[0][0] if copied else None


def pairs(foods: Iterable[Food]) -> Iterator[Problem]:
    """Cooked rows whose dry matter is not that of the raw row with the same name."""
    raw: dict[frozenset[str], Food] = {}
    cooked: list[tuple[frozenset[str], Food]] = []
    for food in foods:
        named = frozenset(name_words(food))
        if named & COOKED_WORDS:
            cooked.append((named - _STATE_WORDS, food))
        else:
            raw[named - _STATE_WORDS] = food
    for named, food in cooked:
        # "oats, cooked" is the only "oats, rolled, dry"; where several raw rows fit, none is taken.
        wider = [one for words_of_raw, one in raw.items() if named <= words_of_raw and _is_raw(one)]
        if named in raw:
            yield from _pair(raw[named], food)
        elif len(wider) == 1 and wider[0].digestibility == food.digestibility:
            yield from _pair(wider[0], food)


def _is_raw(food: Food) -> bool:
    return food.group == "dry grains" or not {"raw", "dry"}.isdisjoint(name_words(food))


def _pair(raw: Food, cooked: Food) -> Iterator[Problem]:
    before, after = amount(raw, "WATER"), amount(cooked, "WATER")
    if before is None or after is None or before >= 100.0 or after >= 100.0:
        return
    times = (100.0 - before) / (100.0 - after)
    apart: list[str] = []
    for tag, share in _PAIR_SHARES.items():
        a, b = amount(raw, tag), amount(cooked, tag)
        if a and b is not None and abs(times * b - a) > max(share * a, _PAIR_LEAST_G):
            change = f"{100.0 * (times * b / a - 1.0):+.0f}"
            apart.append(_("{part} {change} %", part=_(COMPONENTS[tag].title), change=change))
    if apart:
        yield words.PAIR_APART.at(*words.at(cooked), what=", ".join(apart), other=raw.name)
    if raw.typical_yield is not None and abs(raw.typical_yield / times - 1.0) > _YIELD_SHARE:
        said = {"given": number(raw.typical_yield, 2), "pair": number(times, 2), "other": cooked.name}
        yield words.YIELD_APART.at(*words.at(raw), **said)
