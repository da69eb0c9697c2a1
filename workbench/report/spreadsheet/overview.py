"""The first sheet where there are several variants: them beside each other, figure by figure."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from workbench.base.text import _
from workbench.document.project import Basis, Project
from workbench.recipe.declaration import Declaration, declare
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.verdict import verdicts
from workbench.recipe.words import ALLERGEN_WORDS, PURPOSES, verdict_text
from workbench.report.spreadsheet.figures import GRAMS, PERCENT, SIGNS, figure
from workbench.report.spreadsheet.look import Look
from workbench.report.spreadsheet.nutrition import quantity_title
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.variant import title_rows

_KEYS = (
    "CHOAVLDF",
    "glucose_type",
    "fructose_type",
    "fructose_to_glucose",
    "SUGAR",
    "FAT",
    "mct_c6_c10",
    "FIBTG",
    "residue_organic",
    "residue_fibre_based",
    "PROCNT",
    "salt",
    "WATER",
    "energy_kj",
    "energy_kcal",
)
_UPRIGHT = 5  # so many variants fit on an upright page

Column = tuple[Evaluation, Declaration | None]


def fill_overview_sheet(
    sheet: Any, look: Look, project: Project, evaluations: Sequence[Evaluation], written: date | None
) -> None:
    """Write the variants beside each other; one without a valid result has no figures."""
    wide = len(evaluations) > _UPRIGHT
    widths = (34.0, 5.0, *(max(13.5, 66.0 / len(evaluations)) for _each in evaluations))
    page = Page(sheet, look, widths, landscape=wide)
    subtitle = _("variants of one recipe")
    if written:
        subtitle += "  ·  " + _("written on {date}", date=written.isoformat())
    names: Row = (
        Cell(0, None, "head", 1),
        *(Cell(2 + k, each.variant.name, "head_name") for k, each in enumerate(evaluations)),
    )
    page.head([*title_rows(project.title, subtitle, page.last_column), names], frozen_columns=1)
    columns: list[Column] = [(each, declare(project, each) if each.valid else None) for each in evaluations]
    page.add(Section("", _batch_rows(columns)))
    page.add(Section(_("Per piece"), [_quantity_row(columns, key, "portion") for key in _KEYS]))
    page.add(Section(_("Allergens, animal origin, targets"), _words_rows(project, columns)))
    page.add(Section(_("Per 100 g"), [_quantity_row(columns, key, "per_100g") for key in _KEYS]))
    page.add(Section("", [(Cell(0, _(SIGNS), "muted", page.last_column),)]))
    page.finish(project.title, _("page {page} of {pages}", page="&P", pages="&N"))


def _batch_rows(columns: list[Column]) -> list[Row]:
    def row(label: str, unit: str, written: str, value: Callable[[Evaluation], float]) -> Row:
        cells = (
            Cell(2 + k, value(each) if each.valid else None, "figure", number_format=written)
            for k, (each, _declaration) in enumerate(columns)
        )
        return Cell(0, label, "name"), Cell(1, unit, "unit"), *cells

    purposes = (Cell(2 + k, _(PURPOSES[each.variant.purpose]), "figure") for k, (each, _d) in enumerate(columns))
    return [
        (Cell(0, _("purpose"), "name"), Cell(1, None, "unit"), *purposes),
        row(_("whole pieces"), "", "0", lambda each: each.portions.whole_pieces),
        row(_("weight of a piece"), "g", GRAMS, lambda each: each.portions.piece_g),
        row(_("raw batch, edible parts"), "g", GRAMS, lambda each: each.raw_g),
        row(_("finished batch"), "g", GRAMS, lambda each: each.finished_g),
        row(_("finished, of raw"), "%", PERCENT, lambda each: each.finished_percent),
    ]


def _quantity_row(columns: list[Column], key: str, basis: Basis) -> Row:
    quantity = QUANTITIES[key]

    def cell(column: int, evaluation: Evaluation) -> Cell:
        bound = evaluation.bound(key, "batch" if quantity.kind == "ratio" else basis)
        made = figure(column, bound, quantity.decimals)
        if made.content is not None:
            return made
        return made._replace(content=_("not known") if evaluation.valid else _("no valid result"))

    cells = (cell(2 + k, each) for k, (each, _declaration) in enumerate(columns))
    return Cell(0, quantity_title(key), "name"), Cell(1, quantity.unit, "unit"), *cells


def _words_rows(project: Project, columns: list[Column]) -> list[Row]:
    def row(label: str, words: Callable[[Evaluation, Declaration], str]) -> Row:
        cells = (
            Cell(2 + k, words(each, declaration) if declaration else _("no valid result"), "words")
            for k, (each, declaration) in enumerate(columns)
        )
        return Cell(0, label, "name", 1), *cells

    def listed(found: dict[str, tuple[str, ...]]) -> str:
        return ", ".join(_(ALLERGEN_WORDS[key]) if key in ALLERGEN_WORDS else key for key in found)

    def origin(_each: Evaluation, declaration: Declaration) -> str:
        animal = "; ".join(name for names in declaration.animal.values() for name in names)
        unstated = "; ".join(declaration.origin_not_stated)
        parts = [animal, _("not stated for: {names}", names=unstated) if unstated else ""]
        return "; ".join(filter(None, parts)) or _("no animal ingredient entered")

    return [
        row(_("contains"), lambda _each, declaration: listed(declaration.contains) or "–"),
        row(_("may contain"), lambda _each, declaration: listed(declaration.may_contain) or "–"),
        row(_("allergens not stated for"), lambda _each, declaration: "; ".join(declaration.not_stated) or "–"),
        row(_("animal ingredients"), origin),
        row(_("targets"), lambda each, _declaration: _target_words(project, each)),
    ]


def _target_words(project: Project, evaluation: Evaluation) -> str:
    targets = next((t for t in project.target_sets if t.id == evaluation.variant.target_set_id), None)
    found = verdicts(evaluation, targets) if targets else ()
    if not found:
        return _("none set")
    missed = [verdict_text(verdict) for verdict in found if verdict.state != "met"]
    return "\n".join(missed) or _("all met")
