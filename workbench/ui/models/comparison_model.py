"""A comparison put into what its charts and lists show.  It words and picks figures, and computes none."""

import math
from collections.abc import Mapping, Sequence

from workbench.base.text import N_, _, number
from workbench.document.project import Basis, Variant
from workbench.recipe.bound import Bound
from workbench.recipe.change import Way
from workbench.recipe.columns import cell_text
from workbench.recipe.comparison import LineChange
from workbench.recipe.ingredient_rows import IngredientRow
from workbench.recipe.quantities import HEADLINE
from workbench.recipe.side_by_side import LETTERS, Row, SideBySide
from workbench.recipe.words import (
    CHANGE_SIGNS,
    WAY_SIGNS,
    band_text,
    line_change_text,
    portions_text,
    quantity_text,
    signed,
    span_text,
    verdict_text,
)
from workbench.ui import readings
from workbench.ui.comparing import Compared
from workbench.ui.plots.badges import Badge
from workbench.ui.plots.descent_lines import VariantLine
from workbench.ui.plots.multiples import SmallChart
from workbench.ui.plots.reading import Band
from workbench.ui.plots.share_grid import ShareCell, ShareRow
from workbench.ui.plots.spot import Spot

_FAMILIES = {
    "carbohydrate": ("CHOAVLDF", "CHOCDF", "glucose_type", "fructose_type", "fructose_to_glucose", "SUGAR", "STARCH"),
    "fat": ("FAT", "FASAT", "mct_c6_c10", "mct_c6_c12", "medium_chain", "mct_oil", "FAMS", "FAPU"),
    "fibre": ("FIBTG", "FIBSOL", "FIBINS"),
    "undigested": ("residue_organic", "residue_fibre_based"),
}
_FAMILY = {key: family for family, keys in _FAMILIES.items() for key in keys}
_LATER = ("energy_kj",)  # kilocalories stand among the first already
_WORDS = {
    "added": N_("added"),
    "removed": N_("removed"),
    "replaced": N_("another"),
    "more": N_("more"),
    "less": N_("less"),
}
_ABSENT = "·"


def badges(side: SideBySide, edited: int) -> tuple[Badge, ...]:
    """Letter and name of each variant; ``edited`` is the one on screen, or -1."""
    return tuple(
        Badge(LETTERS[k], column.full_title, k == side.reference, k == edited) for k, column in enumerate(side.columns)
    )


def first_rows(rows: Sequence[Row]) -> tuple[Row, ...]:
    """What is looked at first: quantities with a target, and the headline figures."""
    return tuple(row for row in rows if _comes_first(row))


def other_rows(rows: Sequence[Row]) -> tuple[Row, ...]:
    """All the others."""
    return tuple(row for row in rows if not _comes_first(row))


def _comes_first(row: Row) -> bool:
    key = row.quantity.key
    return (key in HEADLINE and key not in _LATER) or any(verdict is not None for verdict in row.verdicts)


# --- quantities -------------------------------------------------------------------------------------------------------


def chart(side: SideBySide, row: Row) -> SmallChart:
    """One quantity as a small chart."""
    quantity = row.quantity
    decimals = quantity.decimals
    spots = []
    for k, bound in enumerate(row.bounds):
        band, verdict = row.bands[k], row.verdicts[k]
        change = "" if k == side.reference else _change_cell(row.ways[k], row.changes[k], decimals)
        shown = Band(band.low, band.high, band.aim, "") if band is not None else None
        mark = readings.mark(verdict) if verdict is not None else None
        spots.append(
            Spot(bound.value, bound.low, bound.high, cell_text(bound, decimals), change, shown, mark, bound.known)
        )
    shared = row.bands[0] if row.bands and len(set(row.bands)) == 1 else None
    target = _("target {band}", band=band_text(shared.low, shared.high, decimals, shared.aim)) if shared else ""
    family = _FAMILY.get(quantity.key, "")
    return SmallChart(quantity.key, _(quantity.title), quantity.unit, family, target, tuple(spots))


def _change_cell(way: Way, change: Bound, decimals: int) -> str:
    """A change in a few signs; what is sure of its direction only is its sign."""
    if way in ("same", "cannot_tell") or math.isnan(change.value):
        return WAY_SIGNS[way]
    return f"{'' if change.certainty == 'exact' else '~'}{signed(change.value, decimals)}"


def chart_signs(side: SideBySide, rows: Sequence[Row]) -> str:
    """What the signs beside the figures mean, where there are any."""
    letter = LETTERS[side.reference]
    said = [_("Right: the difference to {letter} (= same, ◇ cannot tell, ~ about).", letter=letter)]
    if any(verdict is not None for row in rows for verdict in row.verdicts):
        said.append(_("Before it the target (✓ met, ▼ short, ▲ over, ◇ cannot tell), its band behind the bar."))
    said.append(_("A whisker spans what may be; the dotted line is {letter}.", letter=letter))
    return " ".join(said)


def share_signs(side: SideBySide) -> str:
    """What the signs beside the shares mean."""
    return _(
        "% of the batch as it goes in; + added, − removed, ⇄ another in its place, ▲ more, ▼ less than in {letter}",
        letter=LETTERS[side.reference],
    )


def chart_words(side: SideBySide, shown: Sequence[Badge], row: Row) -> str:
    """A small chart in sentences, one a variant."""
    quantity = row.quantity
    lines = [_(quantity.title)]
    for k, bound in enumerate(row.bounds):
        said = [f"{shown[k].letter} {shown[k].name}: {quantity_text(bound, quantity.key)}"]
        if k != side.reference:
            change = span_text(row.changes[k], quantity.decimals)
            same = row.ways[k] == "same"
            said.append(
                _("the same") if same else _("{change} to {letter}", change=change, letter=LETTERS[side.reference])
            )
        verdict = row.verdicts[k]
        if verdict is not None:
            said.append(verdict_text(verdict))
        if bound.unknown:
            said.append(_("not known of {foods}", foods=", ".join(bound.unknown)))
        lines.append("; ".join(said))
    return "\n".join(lines)


# --- ingredients ------------------------------------------------------------------------------------------------------


def share_rows(side: SideBySide) -> tuple[ShareRow, ...]:
    """The ingredients with their shares of the batch."""
    rows: list[ShareRow] = []
    seen: dict[str, int] = {}
    for found in side.ingredients:
        seen[found.name] = seen.get(found.name, 0) + 1  # two lines may be made of one ingredient
        most = max((share for share in found.shares if share is not None), default=0.0)
        cells = tuple(_cell(found, k, most) for k in range(len(side.columns)))
        rows.append(ShareRow(f"{found.name} {seen[found.name]}", found.name, cells, _instead(found)))
    return tuple(rows)


def held(rows: tuple[ShareRow, ...], before: Sequence[ShareRow]) -> tuple[ShareRow, ...]:
    """Rows in the order they had before; one that is at nothing for now keeps its place."""
    present = {row.key: row for row in rows}
    kept = [present.get(row.key) or _emptied(row) for row in before]
    known = {row.key for row in before}
    return (*kept, *(row for row in rows if row.key not in known))


def _emptied(row: ShareRow) -> ShareRow:
    return row._replace(cells=tuple(ShareCell(_ABSENT, 0.0) for _cell in row.cells))


def _cell(row: IngredientRow, k: int, most: float) -> ShareCell:
    share, change = row.shares[k], row.changes[k]
    sign, word = (CHANGE_SIGNS[change.what], _(_WORDS[change.what])) if change is not None else ("", "")
    if share is None:
        return ShareCell("" if sign else _ABSENT, 0.0, sign, word)
    return ShareCell(number(100.0 * share, 1), share / most if most > 0 else 0.0, sign, word)


def _instead(row: IngredientRow) -> str:
    """What stands in its place in which variants."""
    by_name: dict[str, str] = {}
    for k, name in enumerate(row.names):
        if name is not None and name != row.name:
            by_name[name] = by_name.get(name, "") + LETTERS[k]
    return " · ".join(f"{letters} {name}" for name, letters in by_name.items())


def share_words(side: SideBySide, shown: Sequence[Badge], key: str) -> str:
    """An ingredient in sentences, one a variant; "" where it is at nothing for now."""
    keys = [row.key for row in share_rows(side)]
    if key not in keys:
        return ""
    row = side.ingredients[keys.index(key)]
    lines = [row.name]
    for k, badge in enumerate(shown):
        lines.append(f"{badge.letter} {badge.name}: {_share_words(row.shares[k], row.changes[k])}")
    return "\n".join(lines)


def _share_words(share: float | None, change: LineChange | None) -> str:
    if change is not None:
        return line_change_text(change)
    return _("not in it") if share is None else _("{share} % of the batch", share=number(100.0 * share, 1))


# --- variants ---------------------------------------------------------------------------------------------------------


def variant_lines(compared: Sequence[Compared], shown: Sequence[Badge], basis: Basis) -> tuple[VariantLine, ...]:
    """The variants, each behind the one it was made from, with the notes of the steps between them."""
    places = {(one.chosen.path, one.variant.id): k for k, one in enumerate(compared)}
    ways = [_forebears(one, places) for one in compared]
    lines: list[VariantLine] = []

    def add(k: int, depth: int) -> None:
        lines.append(_line(compared[k], shown[k], ways[k][1], depth, basis))
        for child, (parent, _skipped) in enumerate(ways):
            if parent == k:
                add(child, depth + 1)

    for k, (parent, _skipped) in enumerate(ways):
        if parent is None:
            add(k, 0)
    return tuple(lines)


def _forebears(one: Compared, places: Mapping[tuple[str, str], int]) -> tuple[int | None, list[Variant]]:
    """The nearest forebear that is compared too, and those passed over on the way, the oldest first."""
    known = {variant.id: variant for variant in one.project.variants}
    passed: list[Variant] = []
    seen = {one.variant.id}
    parent_id = one.variant.parent_id
    while parent_id in known and parent_id not in seen:
        seen.add(parent_id)
        at = places.get((one.chosen.path, parent_id))
        if at is not None:
            return at, passed[::-1]
        passed.append(known[parent_id])
        parent_id = known[parent_id].parent_id
    return None, passed[::-1]


def _line(one: Compared, badge: Badge, passed: Sequence[Variant], depth: int, basis: Basis) -> VariantLine:
    variant, evaluation = one.variant, one.evaluation
    facts = [_("reference")] if badge.reference else []
    facts += [_("being edited")] if badge.edited else []
    if evaluation.valid:
        facts.append(portions_text(evaluation.portions))
    if basis == "per_hour":
        facts.append(_("{pace} an hour", pace=f"{variant.pace_per_hour:g}"))
    if passed:
        words = _("by way of {names}") if depth else _("from {names}")
        facts.append(words.format(names=", ".join(each.name for each in passed)))
    notes = [f"{each.name}: {each.notes}" for each in passed if each.notes]
    notes += [variant.notes] if variant.notes else []
    errors = [f"✕ {each.sentence()}" for each in evaluation.problems if each.severity == "error"]
    return VariantLine(badge, depth, " · ".join(facts), " ".join(" → ".join([*errors, *notes]).split()))
