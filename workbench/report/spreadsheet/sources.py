"""Where the figures come from: values of every ingredient, rules that filled gaps, methods and switches."""

from workbench.base.text import N_, _, plural
from workbench.composition.bundled import digestibility_groups, sources
from workbench.composition.components import COMPONENTS
from workbench.composition.derive import RULES
from workbench.composition.food import Food
from workbench.document.project import Assumptions
from workbench.recipe.provenance import Cited, Filled, provenance
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.words import VALUE_KINDS
from workbench.report.spreadsheet.page import Cell, Row, Section
from workbench.report.spreadsheet.shown import TABLE

_COUNTED = ("measured", "calculated")  # kinds that need no list of components


class References:
    """Numbers for publications, in the order in which they are first cited."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def cite(self, source: str, code: str) -> str:
        """A short reference: ``[1] 20422``."""
        if not source:
            return _("source not stated")
        mark = f"[{self._numbers.setdefault(source, len(self._numbers) + 1)}]"
        return f"{mark} {code}" if code else mark

    def rows(self, last: int) -> list[Row]:
        """The publications behind the numbers."""
        known = sources()
        return [
            (Cell(0, f"[{n}] {known[key].citation if key in known else key}", "text", last),)
            for key, n in self._numbers.items()
        ]


def short_references(food: Food, references: References) -> str:
    """Publications and codes of a food's values, each once."""
    return "; ".join(dict.fromkeys(references.cite(value.source, value.code) for value in food.values.values()))


def sources_sections(
    foods: list[Food], assumptions: Assumptions, references: References, last: int
) -> tuple[Section, ...]:
    """Sources of every ingredient, then of the methods, then the switches, then the publications."""
    parts = (
        (_("Sources of the values"), [(food.name, _food_text(food, assumptions, references)) for food in foods]),
        (_("Where the ingredients were taken from"), _table_pairs(foods)),
        (_("Methods"), _method_pairs(foods, references)),
        (_("Gap-filling rules and switches"), _switch_pairs(assumptions)),
    )
    rows = [Section(title, [_row(*pair, last) for pair in pairs], together=False) for title, pairs in parts]
    return *rows, Section(_("Publications"), references.rows(last), together=False)


Pair = tuple[str, str]


def _row(label: str, text: str, last: int) -> Row:
    return Cell(0, label, "name"), Cell(1, text, "words", last)


def _titles(tags: tuple[str, ...]) -> str:
    return ", ".join(_(COMPONENTS[tag].title) if tag in COMPONENTS else tag for tag in tags)


def _food_text(food: Food, assumptions: Assumptions, references: References) -> str:
    found = provenance(food, assumptions)
    by_place: dict[str, list[Cited]] = {}
    for cited in found.cited:
        by_place.setdefault(references.cite(cited.source, cited.code), []).append(cited)
    lines = [f"{place}: {'; '.join(map(_cited_text, group))}" for place, group in by_place.items()]
    lines += [_filled_text(filled, references) for filled in found.filled]
    return "\n".join(lines) or _("no values are known")


def _filled_text(filled: Filled, references: References) -> str:
    text = _("{rule}: {components}", rule=_(RULES[filled.rule].title), components=_titles(filled.tags))
    return f"{text} {references.cite(filled.source, filled.code)}" if filled.source else text


def _cited_text(cited: Cited) -> str:
    kind = _(VALUE_KINDS[cited.kind])
    if cited.kind in _COUNTED:
        return plural("{n} value {kind}", "{n} values {kind}", len(cited.tags), kind=kind)
    text = _("{kind}: {components}", kind=kind, components=_titles(cited.tags))
    return f"{text} ({'; '.join(cited.notes)})" if cited.notes else text


def _table_pairs(foods: list[Food]) -> list[Pair]:
    """Which version of the bundled table the project took its ingredients from."""
    versions: dict[str, list[str]] = {}
    own: list[str] = []
    for food in foods:
        taken = food.taken_from
        if taken is not None and taken.kind == "bundled":
            versions.setdefault(taken.table_version, []).append(food.name)
        else:
            own.append(food.name)
    pairs = [(_("bundled table {version}", version=version), "; ".join(names)) for version, names in versions.items()]
    return [*pairs, (_("entered by the project or taken from a library"), "; ".join(own))] if own else pairs


def _method_pairs(foods: list[Food], references: References) -> list[Pair]:
    made = [QUANTITIES[key] for key, _style in TABLE]
    pairs = [(_(q.title), f"{_(q.formula)} ({_(q.source)})") for q in made if q.inputs not in ((), (q.key,))]
    groups = digestibility_groups()
    named: dict[str, list[str]] = {}
    for food in foods:
        group = groups.get(food.digestibility)
        if group is not None:
            cited = references.cite(group.source, group.code)
            named.setdefault(f"{group.name} {cited}", []).append(food.name)
    text = "\n".join(f"{group}: {'; '.join(names)}" for group, names in named.items())
    return [*pairs, (_("digestibility in the undigested estimates"), text)] if text else pairs


_LAURIC = N_("Lauric acid counts as medium-chain fat")
_LAURIC_WORDS = N_("This sheet shows medium-chain fat C6–C10 and lauric acid C12 apart, whatever the switch says.")


def _switch_pairs(assumptions: Assumptions) -> list[Pair]:
    switches = [(rule.title, getattr(assumptions, rule.key), rule.explanation) for rule in RULES.values()]
    switches.append((_LAURIC, assumptions.lauric_counts, _LAURIC_WORDS))
    return [
        (_(title), _("{state}: {words}", state=_("on") if on else _("off"), words=_(words)))
        for title, on, words in switches
    ]
