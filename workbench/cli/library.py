"""The commands on the user's own library: what is in it, prices, copies, other libraries, undo."""

import argparse
import datetime
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from workbench.base.errors import WorkbenchError
from workbench.base.nearest import nearest
from workbench.base.text import _, number, plural
from workbench.cli.common import OK, Commands, library_named, print_json, say

if TYPE_CHECKING:
    from workbench.composition.food import Food
    from workbench.composition.library.records import Entry
    from workbench.composition.library.store import Library

_CHOICES = ("mine", "theirs", "newer")


def add(commands: Commands) -> None:
    """Add ``library`` with all it can do."""
    library = commands.add("library", _status, _("list, search and change your own library of ingredients"))
    another = _("another library file than your own")
    library.add_argument("--library", type=Path, help=another)
    inside = library.add_subparsers(metavar=_("what"))

    def what(name: str, run: Callable[["Library", argparse.Namespace], int], text: str) -> argparse.ArgumentParser:
        made = inside.add_parser(name, help=text, description=text)
        made.add_argument("--library", type=Path, default=argparse.SUPPRESS, help=another)  # on either side of it
        made.set_defaults(run=lambda arguments: _with_library(run, arguments))
        return made

    listing = what("list", _list, _("list foods"))
    listing.add_argument("--table", help=_("only those imported with the table of this key"))
    listing.add_argument("--tag", default="", help=_("only those with this tag"))
    listing.add_argument("--inactive", action="store_true", help=_("deactivated ones too"))
    search = what("search", _search, _("find foods, the bundled ones too, as the window does"))
    search.add_argument("text", nargs="+", help=_("words of the name, in any order"))
    show = what("show", _show, _("print one food with its sources and revisions"))
    for parser in (listing, search, show):
        parser.add_argument("--json", action="store_true", help=_("for other programs"))
    price = what("put-price", _put_price, _("keep what a pack of a food costs"))
    for parser in (show, price):
        parser.add_argument("id", help=_("id of a food, as “list” prints it"))
    price.add_argument("size_g", type=float, help=_("weight of the pack in grams"))
    price.add_argument("price", type=float, help=_("price of the pack"))
    price.add_argument("currency", help=_("such as EUR"))
    price.add_argument("--date", default="", help=_("day of the price, such as 2026-03-31; today if left out"))
    what("undo", _undo, _("take the last change of the library back"))
    what("redo", _redo, _("do again what was taken back last"))
    backup = what("backup", _back_up, _("copy the whole library into one file"))
    backup.add_argument("file", type=Path, help=_("the file to write"))
    restore = what("restore", _restore, _("say what taking a back-up would change; with --yes, take it"))
    restore.add_argument("file", type=Path, nargs="?", help=_("the back-up; the last automatic one if left out"))
    merge = what("merge", _merge, _("say what another library would add or change; with --yes, take it over"))
    merge.add_argument("file", type=Path, help=_("the other library"))
    merge.add_argument("--differing", choices=_CHOICES, default="mine", help=_("whose foods count where they differ"))
    for parser in (restore, merge):
        parser.add_argument("--yes", action="store_true", help=_("do it"))


def _with_library(run: Callable[["Library", argparse.Namespace], int], arguments: argparse.Namespace) -> int:
    with library_named(arguments) as library:
        return run(library, arguments)


def _status(arguments: argparse.Namespace) -> int:
    def run(library: "Library", _arguments: argparse.Namespace) -> int:
        print(library.path)
        print(plural("{n} food", "{n} foods", library.count()))
        for info in library.tables().values():
            print(f"  {info.key}: {info.title} {info.version}".rstrip())
        if (step := library.next_undo()) is not None:
            print(_("last change: {words}, {when}", words=step.words, when=step.when[:16].replace("T", " ")))
        return OK

    return _with_library(run, arguments)


def _list(library: "Library", arguments: argparse.Namespace) -> int:
    entries = list(library.entries(table=arguments.table, tag=arguments.tag, inactive=arguments.inactive))
    if arguments.json:
        print_json([library.stamped(entry) for entry in entries])
        return OK
    for entry in entries:
        beside = [*(f"#{tag}" for tag in entry.tags), *([] if entry.active else [_("(deactivated)")])]
        print(f"{entry.food.id}  {' '.join((entry.food.name, *beside))}")
    if not entries:
        say(_("nothing found"))
    return OK


def _search(library: "Library", arguments: argparse.Namespace) -> int:
    from workbench.composition.bundled import bundled_foods
    from workbench.composition.search_all import FoodSearch

    search = FoodSearch(bundled_foods().values(), library=library.path)
    found = search.find(" ".join(arguments.text))
    search.close()
    if search.without_library is not None:
        raise search.without_library
    if arguments.json:
        print_json([{"id": one.id, "name": one.name, "source": one.source} for one in found])
        return OK
    for one in found:
        print(f"{one.id}  {one.name}  [{one.source or _('own')}]")
    if not found:
        say(_("nothing found"))
    return OK


def _entry(library: "Library", food_id: str) -> "Entry":
    entry = library.entry(food_id)
    if entry is None:
        known = nearest(food_id, (one.food.id for one in library.entries(table="")))
        hint = _("Did you mean “{id}”?", id=known) if known else _("“library search” finds foods by name.")
        raise WorkbenchError(_("The library has no food “{id}”.", id=food_id), hint=hint)
    return entry


def _show(library: "Library", arguments: argparse.Namespace) -> int:
    entry = _entry(library, arguments.id)
    if arguments.json:
        print_json(library.stamped(entry))
        return OK
    _print_food(entry.food)
    for lot in entry.lots:
        print(_("  delivery {code}, {supplier}, best before {date}",
                code=lot.code, supplier=lot.supplier or "–", date=lot.best_before or "–"))  # fmt: skip
    if entry.note:
        print(f"  {entry.note}")
    for revision in library.revisions(entry.food.id):
        print(f"  {revision.when[:16].replace('T', ' ')}  {revision.words}  {revision.note}".rstrip())
    return OK


def _print_food(food: "Food") -> None:
    from workbench.composition.components import COMPONENTS

    print(food.name)
    for tag, value in food.values.items():
        component = COMPONENTS.get(tag)
        title, unit, decimals = (_(component.title), component.unit, component.decimals) if component else (tag, "", 2)
        print(f"  {title:32}{number(value.value, decimals):>10} {unit:5}{value.source} {value.code}".rstrip())
    unknown = [_(component.title) for tag, component in COMPONENTS.items() if tag not in food.values]
    if unknown:
        print(_("  not known: {names}", names=", ".join(unknown)))
    for pack in food.packs:
        cost = "–" if pack.price is None else f"{number(pack.price, 2)} {pack.currency}"
        print(f"  {number(pack.size_g, 0)} g  {cost}  {pack.date}".rstrip())


def _put_price(library: "Library", arguments: argparse.Namespace) -> int:
    from msgspec.structs import replace

    from workbench.composition.food import POSSIBLE, Pack

    figures = (("size_g", arguments.size_g), ("price", arguments.price))
    if not all(POSSIBLE[field][0] <= figure <= POSSIBLE[field][1] for field, figure in figures):
        raise WorkbenchError(
            _("A pack weighs more than nothing and up to 1000 kg, and its price is from 0 to 1000000."),
            hint=_("Try 500 4.50 EUR."),
        )
    try:
        day = datetime.date.fromisoformat(arguments.date) if arguments.date else datetime.datetime.now().astimezone()
    except ValueError:
        raise WorkbenchError(
            _("“{text}” is not a day.", text=arguments.date), hint=_("Write it as 2026-03-31.")
        ) from None
    from workbench.composition.bundled import bundled_foods

    ours = bundled_foods().get(arguments.id) if library.entry(arguments.id) is None else None
    food = ours or _entry(library, arguments.id).food  # what the library has not yet is kept with its price
    pack = Pack(arguments.size_g, arguments.price, arguments.currency.upper(), f"{day:%Y-%m-%d}")
    library.put(replace(food, packs=(pack, *food.packs)))
    print(_("kept the price of {name}", name=food.name))
    return OK


def _undo(library: "Library", _arguments: argparse.Namespace) -> int:
    step = library.undo()
    print(_("nothing to undo") if step is None else _("taken back: {words}", words=step.words))
    return OK


def _redo(library: "Library", _arguments: argparse.Namespace) -> int:
    step = library.redo()
    print(_("nothing to redo") if step is None else _("done again: {words}", words=step.words))
    return OK


def _back_up(library: "Library", arguments: argparse.Namespace) -> int:
    library.back_up(arguments.file)
    print(_("wrote {file}", file=arguments.file))
    return OK


def _restore(library: "Library", arguments: argparse.Namespace) -> int:
    print(library.what_restoring_changes(arguments.file).words())
    if not arguments.yes:
        say(_("Nothing was changed; add --yes to restore."))
        return OK
    before = library.restore(arguments.file)
    print(_("restored; the state before is in {file}", file=before))
    return OK


def _merge(library: "Library", arguments: argparse.Namespace) -> int:
    change = library.what_merging_changes(arguments.file)
    print(_("new: {new}, the same: {same}, differing: {differing}",
            new=len(change.new), same=change.n_same, differing=len(change.differing)))  # fmt: skip
    for one in change.differing:
        newer = _("theirs is newer") if one.newer == "theirs" else _("mine is newer")
        print(f"  {one.id}  {one.mine} / {one.theirs}  ({newer})")
    if not arguments.yes:
        say(_("Nothing was changed; add --yes to take them over."))
        return OK
    n = library.merge(arguments.file, otherwise=arguments.differing)
    print(plural("{n} food taken over", "{n} foods taken over", n))
    return OK
