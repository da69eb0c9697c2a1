"""What the USDA's files have in common: nutrients by number, how a value was found, spread from a standard error."""

import math
from collections.abc import Iterable

from workbench.composition.food import Kind, Measure
from workbench.composition.imports import findings
from workbench.composition.imports.header_words import FDC_IDS, USDA_NUMBERS
from workbench.composition.imports.headers import UNKNOWN_UNIT, factor, spelled
from workbench.composition.imports.layout import Column
from workbench.composition.imports.tally import Tally


def nutrient_column(number: str, name: str, unit: str, fdc_id: str = "") -> Column:
    """The column that a nutrient stands for."""
    number = number.removesuffix(".0") or FDC_IDS.get(fdc_id, "")
    target, rank = USDA_NUMBERS.get(number, ("", 0))
    unit = spelled(unit)
    fits = not target or factor(target, unit) is not None
    return Column(f"{number or fdc_id} {name} ({unit})", target, unit, rank, "" if fits else UNKNOWN_UNIT)


def known_columns() -> list[Column]:
    """The nutrients known by number, for files that do not list theirs."""
    return [Column(f"{number}", target, "", rank) for number, (target, rank) in USDA_NUMBERS.items()]


def kind_of(derivation: str, usual: Kind) -> Kind:
    """How a value was found, by the derivation code of FoodData Central (food_nutrient_derivation.csv).

    A analytical, AS summed; B from another form or a like food; C and N calculated; L and M of a label; Z zero.
    """
    first = derivation[:1]
    if derivation.startswith("AS") or first in ("C", "N", "F", "P", "S"):
        return "calculated"
    kinds: dict[str, Kind] = {"A": "measured", "B": "borrowed", "L": "label", "M": "label", "Z": "assumed_zero"}
    return kinds.get(first, usual)


def spread(se: float | None, n: int | None, low: float | None = None, high: float | None = None) -> float | None:
    """Standard deviation from a standard error, never above what a range allows.

    SD <= (max - min) / 2 x sqrt(n / (n - 1)) holds for any sample; a tenth of the standard errors of SR26 break it.
    """
    if se is None or n is None or n < 2 or se < 0.0:
        return None
    sd = se * math.sqrt(n)
    if low is not None and high is not None and high > low:
        sd = min(sd, (high - low) / 2.0 * math.sqrt(n / (n - 1)))
    return sd


def measures(
    found: Iterable[tuple[str, float | None, float | None]], source: str, code: str, tally: Tally, name: str
) -> tuple[Measure, ...]:
    """Household measures from (words, how many of it, grams together); one without a weight is left out and counted."""
    kept: dict[str, Measure] = {}
    for words, count, grams in found:
        text = " ".join(words.split())
        text = text.removeprefix("1 ") if count in (None, 1.0) else text
        if not text or text.casefold() == "quantity not specified":
            continue
        if not grams or grams <= 0.0 or (count is not None and count <= 0.0):
            tally.note(findings.NO_GRAMS, f"{name[:40]}: {text[:30]}")
            continue
        kept.setdefault(text, Measure(text, grams / (count or 1.0), source, code))
    return tuple(kept.values())
