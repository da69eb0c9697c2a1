"""Words of an import: what a column is read as, and what was found."""

from collections.abc import Iterator

from workbench.base.text import N_, _, number, plural
from workbench.composition.components import COMPONENTS
from workbench.composition.food import Food
from workbench.composition.imports.detection import ImportPlan, left_out
from workbench.composition.imports.header_words import CARBOHYDRATE, DRY_MATTER, ENERGY, ENERGY_KJ, SALT
from workbench.composition.imports.layout import LAYOUTS, Column
from workbench.composition.imports.running import QualityCount, Report
from workbench.composition.library.records import ImportSummary
from workbench.ui.messages import severity_words

FACT_WORDS = {
    "name": N_("name of the food"),
    "code": N_("code of the food"),
    "group": N_("group"),
    "also": N_("other names"),
    "density": N_("density, g/ml"),
    "edible_percent": N_("edible part, %"),
    "refuse_percent": N_("waste, %"),
    "refuse_words": N_("what the waste is"),
    "nitrogen_factor": N_("nitrogen factor"),
    "fatty_acid_factor": N_("fatty-acid factor"),
    "n": N_("number of samples"),
    "sd": N_("standard deviation"),
    "se": N_("standard error"),
    "component": N_("component"),
    "value": N_("value"),
    "unit": N_("unit"),
    "id": N_("id"),
}
_OTHERS = {
    ENERGY: N_("energy, unit not said"),
    ENERGY_KJ: N_("energy in kJ"),
    CARBOHYDRATE: N_("carbohydrate, fibre not said"),
    SALT: N_("salt"),
    DRY_MATTER: N_("dry matter"),
}
_SPREADS = {"sd": N_("spread of {what}"), "se": N_("standard error of {what}"), "n": N_("samples of {what}")}


def target_words(target: str) -> str:
    """What a column is read as."""
    about, sign, tag = target.partition(":")
    if sign:
        return _(_SPREADS[about], what=target_words(tag)) if about in _SPREADS else target
    if target in COMPONENTS:
        return _("{title}  {tag}", title=_(COMPONENTS[target].title), tag=target)
    known = _OTHERS.get(target) or FACT_WORDS.get(target)
    return _(known) if known else target or _("left out")


def column_words(column: Column) -> str:
    """What a column is read as, or why it is not."""
    if column.why_not:
        return _("left out: {why}", why=_(column.why_not))
    return target_words(column.target)


def found_words(plan: ImportPlan) -> str:
    """What was found in a table."""
    n_left = len(left_out(plan))
    taken = plural("{n} column is read", "{n} columns are read", len(plan.layout.columns) - n_left)
    left = _(", {left}", left=plural("{n} is left out", "{n} are left out", n_left)) if n_left else ""
    said = "".join(f"\n• {words}" for words in plan.said)
    return f"{_(LAYOUTS[plan.layout.name])}: {taken}{left}{said}"


def figure_words(food: Food, tag: str) -> str:
    """A figure of a food as it would come in; a dash where it is not known."""
    if tag in food.values:
        return number(food.values[tag].value, COMPONENTS[tag].decimals)
    if tag in food.limits:
        return _("< {limit}", limit=number(food.limits[tag], COMPONENTS[tag].decimals))
    return number(None)


def counts_words(report: Report) -> str:
    """How much there is."""
    return _(
        "{foods} of {rows}; {values}, {limits}, {blanks}",
        foods=plural("{n} food", "{n} foods", report.foods),
        rows=plural("{n} row", "{n} rows", report.rows),
        values=plural("{n} value", "{n} values", report.values),
        limits=plural("{n} “less than”", "{n} “less than”", report.limits),
        blanks=plural("{n} blank stays unknown", "{n} blanks stay unknown", report.blanks),
    )


def findings_text(report: Report) -> str:
    """Everything that was met, the worst first, with the first few of each kind."""
    lines = [f"{severity_words(problem)}: {problem.sentence()}" for problem in report.problems]
    if report.quality:
        lines += ["", _("the checks of the figures:")]
        for count in report.quality:
            lines += _quality_lines(count)
    if not lines:
        lines = [_("✓ nothing to remark")]
    lines += ["", _("what comes in:")]
    for taken in report.taken:
        component = COMPONENTS[taken.tag]
        values = plural("{n} value", "{n} values", taken.values)
        less = _(", {n} “less than”", n=taken.limits) if taken.limits else ""
        title = _("{title} ({unit})", title=_(component.title), unit=component.unit)
        lines.append(f"{title}: {values}{less}  ←  {', '.join(taken.columns)}")
    return "\n".join(lines).strip()


def _quality_lines(count: QualityCount) -> Iterator[str]:
    first, *others = count.first
    yield f"{severity_words(first)} × {count.n}: {first.sentence()}"
    for problem in others:
        yield f"      {problem.place}: {problem.message}"
    if count.n > len(count.first):
        yield "      " + plural("and {n} more", "and {n} more", count.n - len(count.first))


def summary_words(summary: ImportSummary) -> str:
    """What an import has changed in the library."""
    parts = [plural("{n} food is new", "{n} foods are new", summary.added)]
    if summary.replaced:
        parts.append(plural("{n} reads otherwise now", "{n} read otherwise now", summary.replaced))
    if summary.same:
        parts.append(plural("{n} is as it was", "{n} are as they were", summary.same))
    if summary.missing:
        parts.append(
            plural(
                "{n} is no longer in the table and was deactivated",
                "{n} are no longer in the table and were deactivated",
                summary.missing,
            )
        )
    text = "; ".join(parts)
    if summary.overwritten:
        names = ", ".join(summary.overwritten[:12])
        text += "\n" + _("Figures changed by hand were replaced, as the table says otherwise: {names}.", names=names)
    return text
