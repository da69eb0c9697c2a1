"""The sheet of one variant: what it is made of, what it delivers, how it is made, and what to beware of."""

from datetime import date
from typing import Any

from workbench.base.text import N_, _, number
from workbench.composition.food import WATCHED, Origin
from workbench.document.project import Project
from workbench.recipe.declaration import Declaration, Ingredient, declare
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.words import (
    ALLERGEN_WORDS,
    CAUTIONS,
    ORIGINS,
    PURPOSES,
    STAGE_KINDS,
    losses_text,
    portions_text,
    quantity_text,
    weight_text,
)
from workbench.report.spreadsheet.figures import FEW_GRAMS, GRAMS, PERCENT, SHARE
from workbench.report.spreadsheet.look import Look
from workbench.report.spreadsheet.nutrition import nutrition_section, targets_section
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.sources import References, short_references, sources_section

_WIDTHS = (34.0, 5.0, 10.0, 10.0, 13.0, 12.5, 34.0)
_LAST = len(_WIDTHS) - 1
_HEADLINE = ("CHOAVLDF", "FAT", "FIBTG", "energy_kcal")


def fill_variant_sheet(sheet: Any, look: Look, project: Project, evaluation: Evaluation, written: date | None) -> None:
    """Write one variant; a variant without valid figures gets its problems and no figure at all."""
    page = Page(sheet, look, _WIDTHS)
    variant = evaluation.variant
    page.head(title_rows(variant.name, _subtitle(project, evaluation, written), _LAST))
    for section in _sections(project, evaluation):
        page.add(section)
    page.finish(" – ".join((project.title, variant.name)), _("page {page} of {pages}", page="&P", pages="&N"))


def title_rows(title: str, subtitle: str, last: int) -> list[Row]:
    """The rows on top of every sheet and every printed page."""
    return [(Cell(0, title or _("without a name"), "title", last),), (Cell(0, subtitle, "subtitle", last),)]


def _subtitle(project: Project, evaluation: Evaluation, written: date | None) -> str:
    purpose = evaluation.variant.purpose
    parts = (
        project.title,
        _("purpose: {purpose}", purpose=_(PURPOSES[purpose])) if purpose else "",
        _("written on {date}", date=written.isoformat()) if written else "",
    )
    return "  ·  ".join(part for part in parts if part)


def _sections(project: Project, evaluation: Evaluation) -> list[Section]:
    findings: list[Row] = [
        (Cell(0, problem.sentence(), "error" if problem.severity == "error" else "warning", _LAST),)
        for problem in evaluation.problems
    ]
    cautions: list[Row] = [(Cell(0, f"– {_(caution)}", "text", _LAST),) for caution in CAUTIONS]
    if not evaluation.valid:
        broken: Row = (Cell(0, _("There is no valid result, so no figure is shown."), "error", _LAST),)
        return [Section("", [broken, *findings]), Section(_("Cautions"), cautions)]
    declaration = declare(project, evaluation)
    references = References()
    targets = next((t for t in project.target_sets if t.id == evaluation.variant.target_set_id), None)
    notes = [note for note in (evaluation.variant.notes, project.notes) if note.strip()]
    foods = [ingredient.food for ingredient in declaration.ingredients]
    return [
        Section("", [_headline(evaluation)]),
        Section(_("To know about these figures"), findings),
        _batch_section(evaluation),
        _ingredients_section(declaration, references),
        _allergens_section(declaration),
        _process_section(evaluation),
        Section(_("Notes"), [row for note in notes for row in _paragraphs(note)], together=False),
        nutrition_section(evaluation),
        targets_section(evaluation, targets),
        Section(_("Cautions"), cautions),
        sources_section(foods, project.assumptions, references),
    ]


def _headline(evaluation: Evaluation) -> Row:
    """What one piece delivers, in one line."""
    figures = ", ".join(
        _("{figure} {title}", figure=quantity_text(evaluation.bound(key), key), title=_(QUANTITIES[key].title))
        for key in _HEADLINE
    )
    pieces = portions_text(evaluation.portions)
    return (Cell(0, _("{pieces}. One piece: {figures}", pieces=pieces, figures=figures), "headline", _LAST),)


def _batch_section(evaluation: Evaluation) -> Section:
    portions, pace = evaluation.portions, evaluation.variant.pace_per_hour
    facts = (  # read down the left column, then down the right one
        (_("whole pieces"), portions.whole_pieces, "0"),
        (_("weight of a piece, g"), portions.piece_g, GRAMS),
        (_("left over beside whole pieces, g"), portions.left_over_g, GRAMS),
        (_("trimmings, g"), portions.trimmings_g, GRAMS),
        (_("raw batch, edible parts, g"), evaluation.raw_g, GRAMS),
        (_("finished batch, g"), evaluation.finished_g, GRAMS),
        (_("finished, % of raw"), evaluation.finished_percent, PERCENT),
        (_("pace, pieces an hour"), pace, PERCENT),
    )
    half = len(facts) // 2
    rows: list[Row] = [
        (
            Cell(0, left[0], "name", 1),
            Cell(2, left[1], "figure", number_format=left[2]),
            Cell(3, right[0], "words", 4),
            Cell(5, right[1], "figure", number_format=right[2]),
        )
        for left, right in zip(facts[:half], facts[half:], strict=True)
    ]
    return Section(_("Batch and pieces"), rows)


def _ingredients_section(declaration: Declaration, references: References) -> Section:
    head: Row = (
        Cell(0, _("ingredient, in descending weight at mixing"), "head", 1),
        Cell(2, _("g, edible part"), "head_figure"),
        Cell(3, _("share of raw batch"), "head_figure"),
        Cell(4, _("g as bought, where more"), "head_figure"),
        Cell(5, _("origin"), "head_words"),
        Cell(6, _("composition from"), "head_words"),
    )
    rows = [_ingredient_row(ingredient, references) for ingredient in declaration.ingredients]
    words = "; ".join(ingredient.food.name for ingredient in declaration.ingredients)
    declared: Row = (Cell(0, _("Ingredients: {names}.", names=words), "muted", _LAST),)
    return Section(_("Ingredients"), [head, *rows, declared])


def _ingredient_row(ingredient: Ingredient, references: References) -> Row:
    food = ingredient.food
    bought = ingredient.as_bought_g if food.edible_fraction < 1 else None
    name = f"{food.name} ({food.bought_as})" if bought and food.bought_as else food.name
    return (
        Cell(0, name, "name", 1),
        Cell(2, ingredient.mass_g, "strong_figure", number_format=FEW_GRAMS),
        Cell(3, 100 * ingredient.share, "figure", number_format=SHARE),
        Cell(4, bought, "figure", number_format=FEW_GRAMS),
        Cell(5, _(ORIGINS[food.origin]), "muted_words"),
        Cell(6, short_references(food, references), "muted_words"),
    )


_NOT_LISTED = N_("{name} (not on the EU list)")


def _allergens_section(declaration: Declaration) -> Section:
    def words(key: str) -> str:
        name = _(ALLERGEN_WORDS[key]) if key in ALLERGEN_WORDS else key
        return _(_NOT_LISTED, name=name) if key in WATCHED else name

    def rows(label: str, found: dict[str, tuple[str, ...]]) -> list[Row]:
        return [
            (
                Cell(0, f"{label} {words(key)}", "strong", 2),
                Cell(3, _("from {names}", names="; ".join(names)), "words", _LAST),
            )
            for key, names in found.items()
        ]

    body = [*rows(_("contains"), declaration.contains), *rows(_("may contain"), declaration.may_contain)]
    if not body and not declaration.not_stated:
        body = [(Cell(0, _("none of the watched allergens was entered"), "name", _LAST),)]
    if declaration.not_stated:
        text = _("allergens not stated for: {names}", names="; ".join(declaration.not_stated))
        body.append((Cell(0, text, "warning", _LAST),))
    return Section(_("Allergens and animal origin"), [*body, *_origin_rows(declaration)])


def _origin_rows(declaration: Declaration) -> list[Row]:
    def kind(origin: Origin, names: tuple[str, ...]) -> str:
        return _("{origin}: {names}", origin=_(ORIGINS[origin]), names="; ".join(names))

    rows: list[Row] = []
    if declaration.plant_based:
        rows.append((Cell(0, _("no animal ingredient entered"), "strong", _LAST),))
    if declaration.animal:
        groups = " – ".join(kind(origin, names) for origin, names in declaration.animal.items())
        rows.append((Cell(0, _("animal ingredients: {groups}", groups=groups), "strong", _LAST),))
    if declaration.origin_not_stated:
        text = _("origin not stated for: {names}", names="; ".join(declaration.origin_not_stated))
        rows.append((Cell(0, text, "warning", _LAST),))
    return rows


def _process_section(evaluation: Evaluation) -> Section:
    head: Row = (
        Cell(0, _("stage"), "head", 1),
        Cell(2, _("g in"), "head_figure"),
        Cell(3, _("g out"), "head_figure"),
        Cell(4, _("minutes"), "head_figure"),
        Cell(5, _("°C"), "head_figure"),
        Cell(6, _("weight after the stage"), "head_words"),
    )
    rows = [head]
    for k, stage in enumerate(evaluation.prepared.stages):
        kind = _(STAGE_KINDS[stage.kind])
        name = f"{k + 1}. {stage.name} ({kind})" if stage.name and stage.name != kind else f"{k + 1}. {kind}"
        weight = "; ".join(text for text in (weight_text(stage), losses_text(stage)) if text)
        rows.append(
            (
                Cell(0, name, "strong", 1),
                Cell(2, float(evaluation.stage_in_g[k]), "figure", number_format=GRAMS),
                Cell(3, float(evaluation.stage_out_g[k]), "figure", number_format=GRAMS),
                Cell(4, stage.minutes, "figure"),
                Cell(5, stage.temperature_degC, "figure", number_format="0"),
                Cell(6, weight, "muted_words"),
            )
        )
        entering = _entering(evaluation, k)
        if entering:
            rows.append((Cell(0, _("goes in: {lines}", lines=entering), "part", _LAST),))
        if stage.text.strip():
            rows += _paragraphs(stage.text, "part")
    return Section(_("Process"), rows)


def _entering(evaluation: Evaluation, stage: int) -> str:
    """The lines that enter at a stage, with their amounts as entered."""
    prepared = evaluation.prepared
    parts = []
    for k, line in enumerate(prepared.variant.lines):
        grams = float(evaluation.amount_g[k])
        if prepared.line_stage[k] == stage and grams > 0:
            text = _("{grams} g {name}", grams=number(grams, _decimals(grams)), name=prepared.names[k])
            parts.append(_("{line}, as bought", line=text) if line.as_bought else text)
    return "; ".join(parts)


def _decimals(grams: float) -> int:
    """As many decimals as a kitchen scale shows, and none where they would be zero."""
    most = 0 if grams >= 100 else 1 if grams >= 1 else 2
    return next((n for n in range(most) if abs(grams - round(grams, n)) < 1e-6), most)


def _paragraphs(text: str, style: str = "text") -> list[Row]:
    return [(Cell(0, part, style, _LAST),) for part in text.strip().split("\n") if part.strip()]
