"""Reading an amount as a cook types it, for one ingredient: "300", "1,5 kg", "½ cup", "2 figs", "3 ml".

Which weight a measure has
    A unit of mass is itself.  For anything else the ingredient's own measures come first ("1 fig = 8.4 g"), then its
    density, then its density as another of its own volume measures tells it (its cup, for "3 ml"); the note says which
    was used.  A plain "cup", "tablespoon" or "teaspoon" among an ingredient's own measures is a US one if the row cites
    a source, because the published tables that weigh cups are North American; without a source it is the project's.
    It is converted by volume: with 200 g in the US cup, the metric cup holds 200 x 250 / 236.588 g.

Which sign is the decimal one
    The locale's own decimal sign always is.  The other sign is taken for it too ("1,5 kg"), except before exactly three
    digits ("1,500 g"), where it may separate thousands: then ``AmbiguousAmount`` carries both readings, so that a view
    can ask.  Spaces and apostrophes may separate thousands.
"""

import re
import unicodedata
from collections.abc import Iterable
from typing import NamedTuple

from workbench.base.errors import AmountError
from workbench.base.nearest import nearest
from workbench.base.text import _, decimal_sign, number
from workbench.base.units import SPELLINGS, System, Unit, find_unit
from workbench.composition.food import Food, Measure
from workbench.composition.plurals import singulars

LIMIT_G = 1_000_000  # of a line; the project's schema has the same


class ParsedAmount(NamedTuple):
    """What was meant: the weight, the text that says so, and how the weight was found where that is not plain."""

    grams: float
    entered: str
    note: str = ""


class AmbiguousAmount(AmountError):
    """The text has two readings; a view asks which one is meant."""

    def __init__(self, summary: str, readings: tuple[ParsedAmount, ...]) -> None:
        super().__init__(summary, hint=_("Write it without a sign between thousands, such as 1500 g."))
        self.readings = readings


def parse_amount(text: str, food: Food | None, system: System, *, decimal_comma: bool | None = None) -> ParsedAmount:
    """Read ``text`` as an amount of ``food``.

    Parameters
    ----------
    text : str
        What was typed; without a unit it means grams.
    food : Food or None
        The ingredient, for its own measures and its density; None where there is none, as for another variant.
    system : {"metric", "us"}
        What "cup", "tbsp" and "tsp" mean.
    decimal_comma : bool, optional
        Whether the decimal sign is a comma; by default as in the language in use.

    Returns
    -------
    ParsedAmount
        The weight. [g]

    Raises
    ------
    AmbiguousAmount
        If it can be read in two ways.
    AmountError
        If it cannot be read; the message says why and how to mend it.
    """
    comma = decimal_sign() == "," if decimal_comma is None else decimal_comma
    typed = " ".join(text.split())
    match = _AMOUNT.fullmatch(_plain(typed))
    if match is None or len(typed) > _LONGEST:
        raise _unreadable(typed)
    if match["minus"]:
        raise AmountError(_("An amount cannot be negative."), hint=_("Type 0 g to leave the ingredient out."))
    figure, below = match["number"].strip(), match["below"]
    counts = _read_fraction(figure, below) if below else _read_decimal(figure, match["exponent"] or "0", comma)
    if not counts:
        raise _unreadable(typed)
    unit = match["unit"]
    grams_each, note = _weigh_one(unit, food, system)
    readings = tuple(ParsedAmount(count * grams_each, typed, note) for count in counts)
    possible = tuple(reading for reading in readings if reading.grams <= LIMIT_G)
    if not possible:
        raise AmountError(
            _("“{text}” is more than a line can hold.", text=typed),
            hint=_("The limit is {limit} kg.", limit=LIMIT_G // 1000),
        )
    if len(possible) == 1:
        return possible[0]
    sign = "," if comma else "."
    meant = tuple(
        reading._replace(entered=f"{f'{count:.10g}'.replace('.', sign)} {unit or 'g'}")
        for reading, count in zip(readings, counts, strict=True)
    )
    raise AmbiguousAmount(
        _("“{text}” can mean {first} or {second}.", text=typed, first=meant[0].entered, second=meant[1].entered), meant
    )


def _unreadable(typed: str) -> AmountError:
    shown = typed if len(typed) <= _LONGEST else typed[:_LONGEST] + "…"
    summary = _("“{text}” is not an amount.", text=shown) if typed else _("The amount is empty.")
    return AmountError(summary, hint=_("Type a number and a unit, such as 120 g, 1.5 kg or ½ cup."))


# --- numbers ----------------------------------------------------------------------------------------------------------

_LONGEST = 60  # characters
_AMOUNT = re.compile(
    r"(?P<minus>-)? ?"
    r"(?P<number>(?:\d|[.,](?=\d))[\d.,' ]*)"
    r"(?:(?<=\d)e(?P<exponent>[+-]?\d+)|/ ?(?P<below>\d+))? ?"
    r"(?P<unit>(?:[^\W\d_].*)?)",
    re.IGNORECASE,
)
_SPACED = re.compile(r"\d{1,3}([ '])\d{3}(?:\1\d{3})*(?:[.,]\d+)?")  # 1 500 or 1'500, perhaps with decimals
_GROUPED = re.compile(r"[1-9]\d{0,2}([.,])\d{3}(?:\1\d{3})*(?:(?!\1)[.,]\d+)?")  # 1,500 or 1.500,5
_MIXED = re.compile(r"(?:(\d+) )?(\d+)")


def _plain(text: str) -> str:
    """One plain sign for each of the many that mean the same: spaces, minus, fractions, full-width digits."""
    signs = []
    for sign in unicodedata.normalize("NFC", text):
        style = unicodedata.decomposition(sign).split(" ")[0]
        if style == "<fraction>":
            signs.append(f" {unicodedata.normalize('NFKC', sign)} ")
        elif style in ("<super>", "<sub>", "<circle>"):
            signs.append("\N{REPLACEMENT CHARACTER}")  # 10² is not 102
        else:
            signs.append(unicodedata.normalize("NFKC", sign))
    plain = "".join(signs).translate(str.maketrans("\u2212\u2044\u2019", "-/'"))
    return " ".join(plain.split())


def _read_fraction(above: str, below: str) -> tuple[float, ...]:
    mixed = _MIXED.fullmatch(above)
    if mixed is None or int(below) == 0 or (mixed[1] and int(mixed[2]) >= int(below)):
        return ()
    return (int(mixed[1] or 0) + int(mixed[2]) / int(below),)


def _read_decimal(text: str, exponent: str, comma: bool) -> tuple[float, ...]:
    """Every reading of a number: none if it is no number, two if it is ambiguous."""
    if _SPACED.fullmatch(text):
        text = re.sub("[ ']", "", text)
        return (float(text.replace(",", ".")),)
    signs = re.sub(r"\d", "", text)
    if signs in ("", ".", ","):
        readings = [text.replace(",", ".")]
        if signs == ("." if comma else ",") and _GROUPED.fullmatch(text):
            readings.append(text.replace(signs, ""))
    elif _GROUPED.fullmatch(text):
        readings = [text.replace(signs[0], "").replace(",", ".")]
    else:
        return ()
    return tuple(float(f"{reading}e{exponent}") for reading in readings)  # infinite if too large, so over the limit


# --- measures ---------------------------------------------------------------------------------------------------------


class _Measured(NamedTuple):
    """The words after the number: a unit, if they begin with one, and what is said of it ("cup", "sliced")."""

    unit: Unit | None
    words: tuple[str, ...]


def _split_measure(text: str, system: System) -> _Measured:
    words = tuple(word for word in re.split(r"[\s,.()]+", text) if word)
    for length in range(min(3, len(words)), 0, -1):
        if unit := find_unit(" ".join(words[:length]), system):
            return _Measured(unit, words[length:])
    return _Measured(None, words)


def _same(left: Iterable[str], right: Iterable[str]) -> bool:
    left, right = tuple(left), tuple(right)
    return len(left) == len(right) and all(singulars(a) & singulars(b) for a, b in zip(left, right, strict=True))


def _of_the_food(word: str, food: Food) -> bool:
    """Whether a word only repeats what the ingredient is ("2 tbsp of honey")."""
    named = re.split(r"[\s,.()]+", f"of {food.name} {' '.join(food.also)} {' '.join(food.names.values())}")
    return any(singulars(word) & singulars(other) for other in named if other)


def _rows(food: Food, system: System) -> list[tuple[Measure, _Measured]]:
    return [(row, _split_measure(row.name, "us" if row.source else system)) for row in food.measures]


def _weigh_one(text: str, food: Food | None, system: System) -> tuple[float, str]:
    """Grams in one of the measures that ``text`` names, and how that was found."""
    if not text:
        return 1.0, ""
    asked = _split_measure(text, system)
    if food is not None and asked.words:
        own = _own_measure(food, asked, system)
        if own is not None:
            return own
        asked = asked._replace(words=tuple(word for word in asked.words if not _of_the_food(word, food)))
    if asked.unit is None or asked.words:
        raise _unknown_measure(text, food)
    if asked.unit.kind == "mass":
        return asked.unit.factor, ""
    return _weigh_volume(asked.unit, food, system)


def _own_measure(food: Food, asked: _Measured, system: System) -> tuple[float, str] | None:
    """The ingredient's own measure of that name, converted where it is a cup of the other system."""
    rows = [
        (row, of)
        for row, of in _rows(food, system)
        if of.words and (of.unit and of.unit.word) == (asked.unit and asked.unit.word)
    ]
    found = [(row, of) for row, of in rows if _same(of.words, asked.words)]
    found += [(row, of) for row, of in rows if _same(of.words, _without_name(asked.words, of.words, food))]
    for row, of in found:
        if of.unit is None or asked.unit is None:
            return row.grams, _("{food}: 1 {measure} weighs {grams} g", **_said(row, food))
        return row.grams * asked.unit.factor / of.unit.factor, _converted(row, of.unit, food)
    return None


def _without_name(asked: tuple[str, ...], measure: tuple[str, ...], food: Food) -> list[str]:
    """The words asked for, less those that only repeat the ingredient's name ("2 dried figs")."""
    return [word for word in asked if not _of_the_food(word, food) or any(_same([word], [own]) for own in measure)]


def _said(row: Measure, food: Food) -> dict[str, object]:
    return {"measure": row.name, "food": food.name, "grams": number(row.grams, 1)}


def _converted(row: Measure, unit: Unit, food: Food) -> str:
    said = _said(row, food)
    said["ml"] = number(unit.factor, 1)
    return _("{food}: 1 {measure} ({ml} ml) weighs {grams} g", **said)


def _weigh_volume(unit: Unit, food: Food | None, system: System) -> tuple[float, str]:
    """Grams in one unit of volume: by the same measure of the ingredient, its density, or another of its measures."""
    if food is None:
        raise _no_density(_("This ingredient"), unit)
    volumes = [(row, of.unit, of.words) for row, of in _rows(food, system) if of.unit and of.unit.kind == "volume"]
    same = [found for found in volumes if found[1].word == unit.word]
    same = [found for found in same if not found[2]] or same
    if len(same) > 1:
        choices = ", ".join(f"“{row.name}”" for row, _unit, _words in same)
        raise AmountError(
            _("A {unit} of {food} can mean several weights.", unit=unit.word, food=food.name),
            hint=_("Say which: {choices}.", choices=choices),
        )
    if not same and food.density_g_per_ml is not None:
        note = _("{food}: 1 ml weighs {grams} g", food=food.name, grams=number(food.density_g_per_ml, 3))
        return unit.factor * food.density_g_per_ml, note
    for row, row_unit, _words in same or [found for found in volumes if not found[2]]:
        return row.grams * unit.factor / row_unit.factor, _converted(row, row_unit, food)
    raise _no_density(food.name, unit)


def _no_density(name: str, unit: Unit) -> AmountError:
    return AmountError(
        _("{food} has no density, so an amount in {unit} cannot become grams.", food=name, unit=unit.name),
        hint=_("Type the amount in grams, or give the ingredient a density or a measure of its own."),
    )


def _unknown_measure(text: str, food: Food | None) -> AmountError:
    own = [row.name for row in food.measures] if food else []
    near = nearest(text, [*own, *SPELLINGS])
    known = ", ".join(dict.fromkeys(["g", "kg", "oz", "lb", "ml", "l", "cup", "tbsp", "tsp", "fl oz", *own]))
    hint = _("Did you mean “{near}”?", near=near) if near else _("Known here: {known}.", known=known)
    return AmountError(_("“{unit}” is not a known unit.", unit=text), hint=hint)
