"""What a pack has to say, on the spec sheet: live where it can be, and marked as written where it cannot."""

from collections.abc import Sequence

from workbench.base.text import N_, _
from workbench.recipe.nutrition_lines import NutritionLine
from workbench.recipe.pack_statement import PackStatement
from workbench.report.spreadsheet import declared
from workbench.report.spreadsheet.calculation import Sheet
from workbench.report.spreadsheet.figures import FEW_GRAMS, SHARE
from workbench.report.spreadsheet.formula import Live, cell, down, literal
from workbench.report.spreadsheet.inputs import FIRST, SECOND, THIRD, WORDS, figures_head
from workbench.report.spreadsheet.page import Cell, Page, Rich, Row, Section
from workbench.report.spreadsheet.safe_text import short_name

_STALE = N_(
    "Written for other inputs: order, percentages and allergens of the shaded words below may no longer hold. "
    "The tables above follow the inputs."
)
_FINISHED_NOTE = N_("% of finished: of added water what is left of it; the percentages of the list in words are these.")


def add_declaration(
    page: Page,
    sheet: Sheet,
    parts: Sequence[declared.Part],
    groups: Sequence[declared.Group],
    lines: Sequence[tuple[NutritionLine, NutritionLine]],
    statement: PackStatement,
) -> None:
    """Ingredients by weight, who brings which allergen, the words of the law, and rounded nutrition lines."""
    _add_by_weight(page, sheet, parts)
    _add_brought(page, sheet, parts, groups)
    _add_pack_words(page, sheet, statement)
    _add_nutrition(page, sheet, lines, statement)


def _add_by_weight(page: Page, sheet: Sheet, parts: Sequence[declared.Part]) -> None:
    """Ingredients in the order of their weights of now."""
    to, last = sheet.places, page.last_column
    n = len(parts)
    grams, ranks, names = (down(c, to.foods, to.foods + n - 1) for c in (declared.GRAMS, declared.RANK, 0))
    shares, named = (down(c, to.foods, to.foods + n - 1) for c in (declared.SHARE_OF, declared.OF_FINISHED))
    percents = declared.finished_percents(sheet.evaluation, parts)
    order = sorted(range(n), key=lambda k: (-parts[k].grams, k))
    total = sum(part.grams for part in parts)
    rows: list[Row] = [
        figures_head((_("g edible"), _("% of all"), _("% of finished"), ""), "", _("ingredient, in descending weight"))
    ]
    for k, which in enumerate(order):
        place = f"MATCH({k + 1},{to.there(ranks)},0)"
        mass = f"INDEX({to.there(grams)},{place})"
        part = parts[which]
        name = f'IF({mass}>0,INDEX({to.there(names)},{place}),"–")'
        rows.append(
            (
                Cell(0, Live(name, short_name(part.food.name) if part.grams > 0 else "–"), "name", 1),
                Cell(2, None, "figure"),
                Cell(FIRST, Live(mass, part.grams), "figure", -1, FEW_GRAMS),
                Cell(4, None, "figure"),
                Cell(SECOND, Live(f"INDEX({to.there(shares)},{place})", 100 * part.grams / total), "figure", -1, SHARE),
                Cell(6, None, "figure"),
                Cell(THIRD, Live(f"INDEX({to.there(named)},{place})", percents[which]), "figure", -1, SHARE),
            )
        )
    rows.append((Cell(0, _(_FINISHED_NOTE), "muted", last),))
    page.add(Section(_("Ingredients by weight at mixing"), rows))


def _add_brought(page: Page, sheet: Sheet, parts: Sequence[declared.Part], groups: Sequence[declared.Group]) -> None:
    """Who brings which allergen, and what is of animal origin, at the amounts of now."""
    to, last = sheet.places, page.last_column
    nobody = _("nothing at these amounts")
    told: list[Row] = []
    for k, group in enumerate(groups):
        address = to.there(cell(to.groups + k, declared.NAMES))
        text = declared.brought_by(parts, group)
        told.append(
            (
                Cell(0, group.label, "strong", 3),
                Cell(4, Live(f'IF({address}="",{literal(nobody)},{address})', text or nobody), "words", last),
            )
        )
    page.add(
        Section(
            _("Allergens and animal origin"),
            told or [(Cell(0, _("none of the watched allergens was entered"), "name", last),)],
        )
    )


def _add_nutrition(
    page: Page, sheet: Sheet, lines: Sequence[tuple[NutritionLine, NutritionLine]], statement: PackStatement
) -> None:
    """Nutrition lines as rounded for a label, of 100 g and of a piece."""
    to, last = sheet.places, page.last_column
    table: list[Row] = [
        (
            Cell(0, _("rounded for a label"), "head", 1),
            Cell(2, _("100 g"), "head_figure", 5),
            Cell(6, _("one piece"), "head_figure", 9),
            Cell(WORDS, _("an analysis of 100 g may find, as written"), "head_words"),
        )
    ]
    for k, (line, piece) in enumerate(lines):
        cells = [Cell(0, _(line.title), "part" if line.part else "name", 1)]
        for each, column, at_column in ((line, 2, 4), (piece, 6, 9)):
            text = each.text() if each.printed else _(declared.NOT_DECLARABLE)
            address = to.there(cell(to.labels + k, at_column))
            cells.append(Cell(column, Live(address, text), "figure", column + 3))
        table.append((*cells, Cell(WORDS, line.tolerance_text(), "muted_words")))
    notes: list[Row] = [(Cell(0, text, "muted", last),) for text in statement.notes]
    page.add(Section(_("Nutrition lines"), [*table, *notes]))


def _add_pack_words(page: Page, sheet: Sheet, statement: PackStatement) -> None:
    """The list of ingredients in the words of the law, as it was when this was written."""
    to, last = sheet.places, page.last_column
    changed = to.there(to.portion("changed"))
    runs = ((_("Ingredients: "), False), *((run.text, run.strong) for run in statement.ingredients))
    stale = Live(f'IF({changed}=0,"",{literal(_(_STALE))})', "")
    rows: list[Row] = [
        (Cell(0, stale, "warning", last, may_become=_(_STALE)),),
        (Cell(0, Rich(runs), "text", last),),
    ]
    if statement.contains:
        rows.append((Cell(0, _("Contains: {names}.", names=", ".join(statement.contains)), "text", last),))
    if statement.may_contain:
        rows.append((Cell(0, _("May contain: {names}.", names=", ".join(statement.may_contain)), "text", last),))
    if statement.closed:
        names = "; ".join(statement.closed)
        words = _("Compound and not opened: enter from the pack, with what is inside: {names}.", names=names)
        rows.append((Cell(0, words, "warning", last),))
    if statement.exempt:
        rows.append((Cell(0, _("Exempt: {names}.", names="; ".join(statement.exempt)), "muted", last),))
    rows.append((Cell(0, statement.origin, "text", last),))
    first = page.add(Section(_("Declaration, as written"), rows))
    struck = {"type": "formula", "criteria": f"LEN({cell(first, 0)})>0", "format": page.struck()}
    page.sheet.conditional_format(first + 1, 0, first + len(rows) - 1, last, struck)
