"""The sheets of one variant: what is handed over and may be changed, what works it out, and what it rests on."""

from collections.abc import Sequence
from datetime import date
from typing import Any, NamedTuple

from workbench.base.text import N_, _
from workbench.document.project import Project
from workbench.recipe.allergens import Rules
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.nutrition_lines import NutritionLine
from workbench.recipe.pack_statement import PackStatement, pack_statement
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.verdict import Verdict, verdicts
from workbench.recipe.words import CAUTIONS, PURPOSES
from workbench.report.spreadsheet import composition, declared, inputs, places
from workbench.report.spreadsheet.amounts import fill_amounts
from workbench.report.spreadsheet.calculation import Sheet, fill_work
from workbench.report.spreadsheet.charts import fill_bars, piece_chart
from workbench.report.spreadsheet.figures import NOT_VALID, range_formula, range_words
from workbench.report.spreadsheet.formula import Live, fixed, fixed_text, literal, sentence
from workbench.report.spreadsheet.judging import fill_targets
from workbench.report.spreadsheet.look import Look
from workbench.report.spreadsheet.names import name_cells
from workbench.report.spreadsheet.nutrition import add_nutrition, add_targets
from workbench.report.spreadsheet.pack import add_declaration
from workbench.report.spreadsheet.page import Cell, Page, Row, Section
from workbench.report.spreadsheet.places import Inputs, Places
from workbench.report.spreadsheet.portioning import fill_portions
from workbench.report.spreadsheet.shown import BARS, HEADLINE, WEIGHT, needed
from workbench.report.spreadsheet.sources import References

ENDINGS = ("", N_(" calculation"), N_(" composition"))
WIDTHS = (30.0, 5.0, *(2.4, 10.0) * 4, 38.0)
_CALCULATION_WIDTHS = (36.0, 6.0, *(10.0,) * 14)
_CHART_PT = 234.0


class Group(NamedTuple):
    """The worksheets of one variant."""

    spec: Any
    calculation: Any | None  # none where there is no valid result
    composition: Any | None


class Written(NamedTuple):
    """What other sheets may refer to."""

    sheet: Sheet
    verdicts: tuple[Verdict, ...]
    statement: PackStatement


class Setting(NamedTuple):
    """What all sheets of a workbook share."""

    workbook: Any
    look: Look
    project: Project
    paper: str
    rules: Rules
    written: date | None


def can_be_live(evaluation: Evaluation) -> bool:
    """Whether there is something to work out; where not, the sheet says so in words."""
    return evaluation.valid and evaluation.raw_g > 0


def fill_variant(setting: Setting, group: Group, evaluation: Evaluation) -> Written | None:
    """Write one variant; one without a valid result gets its problems and no figure at all."""
    page = Page(group.spec, setting.look, WIDTHS, setting.paper)
    page.head(title_rows(evaluation.variant.name, _subtitle(setting, evaluation), page.last_column))
    footer = " – ".join((setting.project.title, evaluation.variant.name))
    if group.calculation is None or group.composition is None:
        _fill_without_result(page, evaluation)
        page.finish(footer, _("page {page} of {pages}", page="&P", pages="&N"))
        return None
    written = _fill(setting, page, group.calculation, group.composition, evaluation)
    page.finish(footer, _("page {page} of {pages}", page="&P", pages="&N"))
    return written


def title_rows(title: str, subtitle: str, last: int) -> list[Row]:
    """The rows on top of every sheet and every printed page."""
    return [(Cell(0, title or _("without a name"), "title", last),), (Cell(0, subtitle, "subtitle", last),)]


def _subtitle(setting: Setting, evaluation: Evaluation) -> str:
    purpose = evaluation.variant.purpose
    parts = (
        setting.project.title,
        _("purpose: {purpose}", purpose=_(PURPOSES[purpose])) if purpose else "",
        _("written on {date}", date=setting.written.isoformat()) if setting.written else "",
    )
    return "  ·  ".join(part for part in parts if part)


def _findings(evaluation: Evaluation, last: int) -> list[Row]:
    return [
        (Cell(0, problem.sentence(), "error" if problem.severity == "error" else "warning", last),)
        for problem in evaluation.problems
    ]


def _cautions(last: int) -> Section:
    return Section(_("Cautions"), [(Cell(0, f"– {_(caution)}", "text", last),) for caution in CAUTIONS])


def _fill_without_result(page: Page, evaluation: Evaluation) -> None:
    text = _("There is no valid result, so no figure is shown.")
    if evaluation.valid:  # water that was added in a stage, and nothing else
        text = _("No ingredient has an amount, so no figure is shown.")
    broken: Row = (Cell(0, text, "error", page.last_column),)
    page.add(Section("", [broken, *_findings(evaluation, page.last_column)]))
    page.add(_cautions(page.last_column))


# --- a variant with a result ------------------------------------------------------------------------------------------


def _fill(setting: Setting, page: Page, calculation: Any, foods_sheet: Any, evaluation: Evaluation) -> Written:
    project, variant = setting.project, evaluation.variant
    targets = project.targets_of(variant)
    found = verdicts(evaluation, targets) if targets else ()
    statement = pack_statement(project, evaluation, rules=setting.rules)
    parts = declared.parts_of(project, evaluation)
    groups = declared.groups_of(parts)
    lines = list(zip(statement.per_100g, statement.per_piece, strict=True))
    linear, ratios = needed((*BARS, *(v.target.quantity for v in found), *(line.key for line, _piece in lines)))
    summed = [key for key in linear if key != WEIGHT]
    composition_page = Page(foods_sheet, setting.look, composition.WIDTHS, setting.paper, landscape=True, printed=False)
    used = composition.fill_composition(composition_page, foods_sheet.name, project, evaluation, summed)
    to = Places(
        calculation.name,
        linear,
        ratios,
        n_lines=len(evaluation.amount_g),
        n_stages=len(evaluation.prepared.stages),
        n_targets=len(found),
        n_foods=len(parts),
        n_groups=len(groups),
        n_labels=len(lines),
    )
    nowhere = Inputs((), (), "", "", "", ())
    sheet = Sheet(project, evaluation, to, nowhere, page.sheet.name, used)
    last = page.last_column
    references = References()
    page.add(Section("", [_headline(sheet, last), _state(sheet, last), (Cell(0, _(inputs.KEY), "input_key", last),)]))
    page.add(Section(_("To know about these figures, as they were written"), _findings(evaluation, last)))
    entered, trimmings, pace = inputs.add_portions(page, sheet)
    amounts = inputs.add_ingredients(page, sheet, references)
    stages = inputs.add_process(page, sheet)
    limits = add_targets(page, sheet, targets.name if targets else "", found)
    notes = [part for note in (variant.notes, project.notes) for part in note.split("\n") if part.strip()]
    page.add(Section(_("Notes"), [(Cell(0, part.strip(), "text", last),) for part in notes], together=False))
    rows = add_nutrition(page, sheet)
    row, height_px = page.room(_("One piece"), _CHART_PT)
    chart = piece_chart(setting.workbook, to)
    chart.set_size({"width": page.width_px - 20, "height": height_px - 8})
    page.sheet.insert_chart(row, 0, chart, {"x_offset": 8, "y_offset": 2, "object_position": 2})
    sheet = sheet._replace(inputs=Inputs(amounts, stages, entered, trimmings, pace, limits))
    add_declaration(page, sheet, parts, groups, lines, statement)
    page.add(_cautions(last))
    page.add(Section(_("Publications"), references.rows(last), together=False))
    _fill_calculation(setting, calculation, sheet, found, parts, groups, lines)
    name_cells(setting.workbook, sheet, rows)
    return Written(sheet, found, statement)


def _fill_calculation(
    setting: Setting,
    calculation: Any,
    sheet: Sheet,
    found: Sequence[Verdict],
    parts: Sequence[declared.Part],
    groups: Sequence[declared.Group],
    lines: Sequence[tuple[NutritionLine, NutritionLine]],
) -> None:
    n_weighed = sum(1 for stage in sheet.evaluation.prepared.stages if places.stage_inputs(stage.weight)[1:])
    widths = (*_CALCULATION_WIDTHS, *(10.0,) * (places.SHARE_THEN + n_weighed - len(_CALCULATION_WIDTHS)))
    page = Page(calculation, setting.look, widths, setting.paper, landscape=True, printed=False)
    title = _("{name}: calculation", name=sheet.evaluation.variant.name or _("without a name"))
    page.head(title_rows(title, f"{_(_HOW_TO_READ)} {_(composition.NOT_PRINTED)}", page.last_column))
    fill_work(page, sheet)
    fill_portions(page, sheet)
    fill_amounts(page, sheet)
    fill_targets(page, sheet, found)
    declared.fill_declared(page, sheet, parts, groups, lines)
    fill_bars(page, sheet)
    page.finish(" – ".join((sheet.project.title, title)), _("page {page} of {pages}", page="&P", pages="&N"))


_HOW_TO_READ = N_(
    "Everything is worked out here, from top to bottom; nothing is entered here. “Known part” counts a value that is "
    "not known as nothing; “at least” and “at most” say how far the truth may be from it."
)
_PIECE = N_("One piece of {grams} g: {figures}")
_AS_WRITTEN = N_("Every input is as the program wrote it.")
_CHANGED = N_("{n} inputs are no longer as the program wrote them: the figures follow them.")
_BROKEN = N_("No result: an input is empty or impossible, or a stage loses more water than it has.")


def _headline(sheet: Sheet, last: int) -> Row:
    """What one piece delivers, in one line."""
    to, evaluation = sheet.places, sheet.evaluation
    formulas, texts = [], []
    for key in HEADLINE:
        quantity, bound, found = QUANTITIES[key], evaluation.bound(key), to.figure_there(key, "portion")
        after = f" {quantity.unit} {_(quantity.title)}"
        formulas.append(f"{range_formula(found, quantity.decimals)}&{literal(after)}")
        texts.append(range_words(bound, quantity.decimals) + after)
    grams = to.there(to.portion("piece_g"))
    decimals = 0 if evaluation.portions.piece_g >= 20 else 1
    said = sentence(_PIECE, grams=fixed(grams, decimals), figures='&", "&'.join(formulas))
    text = _(_PIECE, grams=fixed_text(evaluation.portions.piece_g, decimals), figures=", ".join(texts))
    formula = f"IF({to.there(to.portion('valid'))}=1,{said},{literal(_(NOT_VALID))})"
    return (Cell(0, Live(formula, text), "headline", last),)


def _state(sheet: Sheet, last: int) -> Row:
    to = sheet.places
    changed, valid = to.there(to.portion("changed")), to.there(to.portion("valid"))
    same = f"IF({changed}=0,{literal(_(_AS_WRITTEN))},{sentence(_CHANGED, n=changed)})"
    return (Cell(0, Live(f"IF({valid}=1,{same},{literal(_(_BROKEN))})", _(_AS_WRITTEN)), "state", last),)
