"""The commands that take a foreign table into the library, and write a table to hand on."""

import argparse
import sys
import time
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from workbench.base.errors import WorkbenchError
from workbench.base.progress import Cancelled, Progress
from workbench.base.text import _, plural
from workbench.cli.common import OK, Commands, library_named, print_json, say

if TYPE_CHECKING:
    from workbench.base.settings import SettingsFile
    from workbench.composition.food import Food
    from workbench.composition.imports.detection import ImportPlan
    from workbench.composition.imports.layout import Column, Layout
    from workbench.composition.imports.running import Report
    from workbench.composition.library.store import Library

_SHOWN_LEFT_OUT = 12
_EVERY_S = 0.2


def add(commands: Commands) -> None:
    """Add the commands of this module."""
    take = commands.add("import", _import, _("take a composition table into the library, or look what it would bring"))
    take.add_argument("file", type=Path, help=_("file, folder or zip of the table"))
    take.add_argument("--dry-run", action="store_true", help=_("write nothing; say what would come in and check it"))
    take.add_argument("--layout", default="", help=_("how the table is laid out, where that is not found by itself"))
    take.add_argument("--sheet", default="", help=_("the worksheet of a workbook"))
    take.add_argument(
        "--map", action="append", default=[], metavar=_("COLUMN=COMPONENT[:UNIT]"),
        help=_("what a column is, such as “Sodium=NA:g”; nothing after = leaves it out; may be repeated"),
    )  # fmt: skip
    take.add_argument("--key", default="", help=_("short name of the table; the same one again replaces its rows"))
    for name in ("title", "citation", "version", "licence"):
        take.add_argument(f"--{name}", default="", help=_("{what} of the table, for the record", what=name))
    take.add_argument("--json", action="store_true", help=_("the report for other programs"))
    take.add_argument("--library", type=Path, help=_("another library than the usual one"))
    choices = take.add_argument_group(_("conventions, where the table leaves them open"))
    choices.add_argument("--per", choices=("100g", "100ml"), default="")
    choices.add_argument("--density", type=_positive, metavar="G/ML", help=_("of foods without one, for 100 ml"))
    choices.add_argument("--carbohydrate", choices=("with-fibre", "without-fibre"), default="")
    choices.add_argument("--protein-factor", type=_positive, help=_("restate protein as nitrogen times this, as 6.25"))
    choices.add_argument("--nitrogen-factor", type=_positive, help=_("of foods without one"))
    choices.add_argument(
        "--fatty-acids", choices=("per-100g", "of-fatty-acids", "of-fat", "of-fatty-acids-in-oils"), default=""
    )  # fmt: skip
    choices.add_argument("--fatty-acid-factor", type=_positive, help=_("g of fatty acids in 1 g of fat"))
    choices.add_argument("--energy", choices=("kJ", "kcal"), default="")
    choices.add_argument("--decimal", choices=("point", "comma"), default="")
    choices.add_argument("--zeros", choices=("stated", "blank"), default="", help=_("what a zero stands for"))

    export = commands.add("export-table", _export, _("write foods as a table that imports again without loss"))
    export.add_argument("output", type=Path, help=_("the .xlsx to write, or a .zip of CSV files"))
    which = export.add_mutually_exclusive_group()
    which.add_argument("--bundled", action="store_true", help=_("the bundled table"))
    which.add_argument("--table", help=_("an imported table, by its key; “own” for your own ingredients"))
    export.add_argument("--library", type=Path, help=_("another library than the usual one"))


def _positive(text: str) -> float:
    try:
        found = float(text.replace(",", "."))
    except ValueError:
        found = 0.0
    if not 0.0 < found < 1000.0:
        raise argparse.ArgumentTypeError(_("“{text}” is no figure above zero.", text=text))
    return found


class _Percent(Progress):
    """Shows the share that is done, where a person looks on."""

    def __init__(self) -> None:
        super().__init__()
        self._last = time.monotonic()
        self._watched = sys.stderr.isatty()

    def shown(self, done: int, total: int | None) -> None:
        """Write over the line before, a few times a second."""
        if self._watched and total and time.monotonic() - self._last > _EVERY_S:
            self._last = time.monotonic()
            print(f"\r{min(100 * done // total, 99):3d} %", end="\r", file=sys.stderr, flush=True)


def _import(arguments: argparse.Namespace) -> int:
    from workbench.base.settings import SettingsFile
    from workbench.composition.imports.remembering import remember, remember_way
    from workbench.composition.imports.running import dry_run, run

    settings = SettingsFile()
    found, layout = _way(arguments, settings)
    mapping, plan = _plan(arguments, layout, settings)
    if not arguments.json:
        for line in _plan_lines(plan):
            print(line)
    try:
        if arguments.dry_run:
            report = dry_run(plan, _Percent())
        else:
            today = datetime.now().astimezone().date().isoformat()
            about = {name: getattr(arguments, name) for name in ("citation", "version", "licence")}
            with library_named(arguments) as library:
                report = run(plan, library, _Percent(), imported=today, **about)
    except KeyboardInterrupt:
        raise Cancelled from None
    if not arguments.dry_run:
        remember_way(found, layout, settings)
        if mapping:
            remember(layout, mapping, settings)
    if arguments.json:
        _print_json(plan, report)
    else:
        for line in _report_lines(report, arguments.dry_run):
            print(line)
    return OK


def _way(arguments: argparse.Namespace, settings: "SettingsFile") -> "tuple[tuple[Layout, ...], Layout]":
    """Every way in which the table can be read, and the one that is meant."""
    from workbench.composition.imports.detection import ways
    from workbench.composition.imports.layout import LAYOUTS
    from workbench.composition.imports.remembering import recall_way

    if arguments.layout and arguments.layout not in LAYOUTS:
        raise WorkbenchError(
            _("There is no layout “{name}”.", name=arguments.layout),
            hint=_("There are: {names}.", names=", ".join(LAYOUTS)),
        )
    found = ways(arguments.file)
    if arguments.layout or arguments.sheet:
        return found, ways(arguments.file, arguments.layout, arguments.sheet)[0]
    layout = recall_way(found, settings)
    if layout is not found[0]:
        say(_("The table is read as you chose last time; --sheet and --layout change that."))
    return found, layout


def _plan(
    arguments: argparse.Namespace, layout: "Layout", settings: "SettingsFile"
) -> "tuple[Mapping[str, str], ImportPlan]":
    from workbench.composition.imports.detection import make_plan
    from workbench.composition.imports.layout import Conventions
    from workbench.composition.imports.remembering import recall

    mapping: Mapping[str, str] = _mapping(arguments.map)
    if not mapping and (mapping := recall(layout, settings)):
        say(_("The columns are taken as you chose last time; --map changes that."))
    chosen = Conventions(
        per=arguments.per,
        density_g_per_ml=arguments.density,
        carbohydrate=arguments.carbohydrate.replace("-", "_"),
        protein_factor=arguments.protein_factor,
        nitrogen_factor=arguments.nitrogen_factor,
        fatty_acids=arguments.fatty_acids.replace("-", "_"),
        fatty_acid_factor=arguments.fatty_acid_factor,
        energy=arguments.energy,
        decimal=arguments.decimal,
        zeros=arguments.zeros,
    )
    plan = make_plan(arguments.file, layout, chosen, mapping, arguments.key, arguments.title)
    return mapping, plan


def _mapping(texts: list[str]) -> dict[str, str]:
    mapping = {}
    for text in texts:
        column, sign, target = text.rpartition("=")
        if not sign or not column:
            raise WorkbenchError(
                _("“{text}” does not say what a column is.", text=text), hint=_("Write it as “Sodium=NA:g”.")
            )  # fmt: skip
        mapping[" ".join(column.split())] = target.strip()
    return mapping


def _plan_lines(plan: "ImportPlan") -> Iterator[str]:
    from workbench.composition.imports.detection import left_out
    from workbench.composition.imports.running import in_words, layout_words

    yield _("{file}: {layout}", file=plan.path.name, layout=layout_words(plan))
    yield _("  table “{title}”, key {key}", title=plan.title, key=plan.key)
    for words in (*plan.said, *in_words(plan.chosen)):
        yield f"  {words}"
    left = left_out(plan)
    if left:
        names = ", ".join(_left_out_words(column) for column in left[:_SHOWN_LEFT_OUT])
        more = _(" and {n} more", n=len(left) - _SHOWN_LEFT_OUT) if len(left) > _SHOWN_LEFT_OUT else ""
        yield _("  left out: {names}{more}", names=names, more=more)


def _left_out_words(column: "Column") -> str:
    return f"{column.key} ({_(column.why_not)})" if column.why_not else column.key


def _report_lines(report: "Report", dry: bool) -> Iterator[str]:
    from workbench.composition.components import COMPONENTS

    yield _(
        "  foods: {foods} of {rows}; values: {values}; “less than”: {limits}; blank: {blanks}",
        foods=report.foods, rows=report.rows, values=report.values, limits=report.limits, blanks=report.blanks,
    )  # fmt: skip
    for taken in report.taken:
        component = COMPONENTS[taken.tag]
        less = _(" and {n} “less than”", n=taken.limits) if taken.limits else ""
        name = _("{title} ({unit})", title=_(component.title), unit=component.unit)
        yield f"    {name:40}{taken.values:>8}{less}   {', '.join(taken.columns)}"
    for problem in report.problems:
        yield f"{problem.severity}: {problem.sentence()}"
    for count in report.quality:
        found = plural("{n} finding", "{n} findings", count.n)
        yield f"{count.severity}: {found}, {count.code}"
        for problem in count.first:
            yield f"    {problem.sentence()}"
    if dry:
        yield _("Nothing was written: this was a dry run.")
    if report.summary is not None:
        summary = report.summary
        yield _(
            "In the library now: {total}, of which new: {added}, changed: {replaced}, as before: {same}. "
            "No longer in the table: {missing}.",
            total=summary.total, added=summary.added, replaced=summary.replaced, same=summary.same,
            missing=summary.missing,
        )  # fmt: skip
        for name in summary.overwritten[:5]:
            yield _("  “{name}”: your own figures were replaced; they are in its revisions", name=name)


def _print_json(plan: "ImportPlan", report: "Report") -> None:
    data: dict[str, Any] = {
        "layout": plan.layout.name,
        "key": plan.key,
        "title": plan.title,
        "said": plan.said,
        "columns": [column._asdict() for column in plan.layout.columns],
        "conventions": plan.chosen,
        "rows": report.rows,
        "foods": report.foods,
        "values": report.values,
        "limits": report.limits,
        "blanks": report.blanks,
        "taken": [taken._asdict() for taken in report.taken],
        "problems": [
            {"code": p.code, "severity": p.severity, "n": p.parts.get("n", 1), "words": p.sentence()}
            for p in report.problems
        ],
        "quality": [
            {"code": q.code, "severity": q.severity, "n": q.n, "first": [p.sentence() for p in q.first]}
            for q in report.quality
        ],
        "summary": report.summary,
    }
    print_json(data)


def _export(arguments: argparse.Namespace) -> int:
    from workbench.composition.bundled import bundled_foods
    from workbench.composition.exports.files import export_foods

    if arguments.bundled:
        n = export_foods(bundled_foods().values(), arguments.output, _Percent())
    else:
        with library_named(arguments) as library:
            n = export_foods(_of_table(library, arguments.table), arguments.output, _Percent())
    print(_("{n} foods written to {file}", n=n, file=arguments.output))
    return OK


def _of_table(library: "Library", key: str | None) -> "Iterator[Food]":
    if key not in (None, "own") and key not in library.tables():
        raise WorkbenchError(
            _("The library has no table “{key}”.", key=key),
            hint=_("It has: {keys}.", keys=", ".join((*library.tables(), "own"))),
        )  # fmt: skip
    return library.foods(table="" if key == "own" else key)
