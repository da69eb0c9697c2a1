"""Finding out how a foreign table is laid out, and making a plan of its import."""

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

import msgspec

from workbench.base.text import _
from workbench.composition.imports import exported, looking
from workbench.composition.imports.bundle import Bundle
from workbench.composition.imports.figures import settled
from workbench.composition.imports.grid import Grid, grids
from workbench.composition.imports.headers import overridden
from workbench.composition.imports.layout import Column, Conventions, ImportFailure, Layout
from workbench.composition.imports.looking import Question
from workbench.composition.imports.readers import OF_FILES, OF_SHEETS
from workbench.composition.imports.tally import Tally
from workbench.composition.imports.wide import key_of

# Layouts in which the user may say what a column is; those of the USDA and our own say so themselves.
MAPPED = ("wide", "long", "product")


class ImportPlan(NamedTuple):
    """Everything that is needed to read a table: what was found, and what was chosen.

    ``questions`` must be empty before it can run; ``said`` tells in words what was found by looking.
    """

    path: Path
    layout: Layout  # with the columns as they will be read
    chosen: Conventions
    key: str  # of the table in the library; its values cite it
    title: str
    questions: tuple[Question, ...] = ()
    said: tuple[str, ...] = ()


def detect(path: Path, wanted: str = "", sheet: str = "") -> Layout:
    """How the table at ``path`` is laid out.

    Parameters
    ----------
    path : Path
        A file, a folder or a zip.
    wanted : str
        Name of the layout, where the user knows better.
    sheet : str
        Name of the worksheet, where a workbook has several.

    Raises
    ------
    ImportFailure
        If it is none that can be read; the hint says what to do.
    """
    return ways(path, wanted, sheet)[0]


def ways(path: Path, wanted: str = "", sheet: str = "") -> tuple[Layout, ...]:
    """Every way in which the table at ``path`` can be read, the likeliest first; otherwise as ``detect``."""
    bundle = Bundle(path)
    try:
        return _ways(bundle, wanted, sheet, Tally())
    finally:
        bundle.close()


def _ways(bundle: Bundle, wanted: str, sheet: str, tally: Tally) -> tuple[Layout, ...]:
    for name, find in OF_FILES.items():
        if wanted in ("", name) and (found := find(bundle)) is not None:
            return (found,)
    if wanted in ("", "exported") and (found := exported.find(bundle)) is not None:
        return (found,)
    everywhere = grids(bundle, tally)
    found_of = [
        (layout, grid)
        for grid in everywhere
        for name, find_in in OF_SHEETS.items()
        if wanted in ("", name) and (layout := find_in(bundle, grid)) is not None
    ]
    found_of.sort(key=lambda found: _weight(found[0]), reverse=True)
    meant = [(layout, grid) for layout, grid in found_of if sheet in ("", grid.sheet)]
    if not meant:
        raise _nothing(bundle, [grid for grid in everywhere if sheet in ("", grid.sheet)], wanted)
    return tuple(_of_sheet(layout, grid, found_of[0][1], everywhere) for layout, grid in meant)


def _of_sheet(layout: Layout, grid: Grid, likeliest: Grid, everywhere: list[Grid]) -> Layout:
    """The layout, saying which sheets it leaves out; a table beside the likeliest one has a name of its own."""
    name = grid.sheet or grid.name
    others = [other.sheet or other.name for other in everywhere if other != grid]
    if grid != likeliest:
        title = f"{layout.title}, {name}"
        layout = layout._replace(title=title, key=key_of(title))
    if others:
        left = _("read: {one}; left out: {others}", one=name, others=", ".join(others[:5]))
        layout = layout._replace(said=(*layout.said, left))
    return layout


def _weight(layout: Layout) -> tuple[bool, int]:
    """A sheet for many foods is meant before one for a single product; then the one of which most is understood."""
    return layout.name != "product", sum(bool(column.target) for column in layout.columns)


def _nothing(bundle: Bundle, here: list[Grid], wanted: str) -> ImportFailure:
    first = next((row for grid in here for row in grid.first if any(row)), [])
    if here and not first:
        return ImportFailure(_("There is nothing in it."), where=bundle.path.name, hint=_("Choose another file."))
    seen = ", ".join(cell for cell in first[:8] if cell)[:120]
    return ImportFailure(
        _("The layout of this table is not known.") if not wanted else _("The table is not laid out so."),
        where=bundle.path.name,
        hint=_(
            "It needs a row of titles with a column for the food and columns such as protein, fat or NA; it begins "
            "with: {seen}.", seen=seen or "–",
        ),
    )  # fmt: skip


def signature(layout: Layout) -> str:
    """What a mapping is remembered by: the titles of the columns in any order."""
    content = "\n".join(sorted(column.key for column in layout.columns))
    return hashlib.blake2b(content.encode("utf-8", "replace"), digest_size=8).hexdigest()


def make_plan(
    path: Path,
    layout: Layout,
    chosen: Conventions | None = None,
    mapping: Mapping[str, str] | None = None,
    key: str = "",
    title: str = "",
) -> ImportPlan:
    """The plan of an import.

    Parameters
    ----------
    layout : Layout
        What ``detect`` gave.
    chosen : Conventions, optional
        Choices of the user; what is left open comes from the layout, or from looking at the figures.
    mapping : mapping of str to str, optional
        ``"TARGET"`` or ``"TARGET:unit"`` by title of a column, "" to leave one out.

    Raises
    ------
    WorkbenchError
        If a mapping names no column or component.
    """
    mapping = mapping or {}
    if mapping and layout.name not in MAPPED:
        raise ImportFailure(
            _("The columns of this layout are known; they cannot be chosen."), where=path.name,
            hint=_("Leave the mapping away."),
        )  # fmt: skip
    layout = layout._replace(columns=overridden(layout.columns, mapping))
    settled_by = _filled(chosen or Conventions(), layout.settled)
    bundle = Bundle(path)
    try:
        settled_by, said, questions = looking.look(bundle, layout, settled_by)
    finally:
        bundle.close()
    columns = settled(layout.columns, settled_by.carbohydrate, settled_by.energy)
    return ImportPlan(
        path, layout._replace(columns=columns), settled_by, _clean_key(key) or layout.key, title or layout.title,
        tuple(questions), (*map(_, layout.said), *said),
    )  # fmt: skip


def _filled(chosen: Conventions, by_layout: Conventions) -> Conventions:
    """``chosen``, and the layout's own choices where it leaves one open."""
    fields = Conventions.__struct_fields__
    return msgspec.structs.replace(
        by_layout, **{field: value for field in fields if (value := getattr(chosen, field)) not in ("", None)}
    )


def _clean_key(key: str) -> str:
    """A key without the sign that stands between it and the code of a food."""
    return "_".join(key.replace(":", " ").replace(";", " ").split())


def left_out(plan: ImportPlan) -> tuple[Column, ...]:
    """Columns that are not taken, whether unknown or for a reason of their own."""
    return tuple(column for column in plan.layout.columns if not column.target or column.why_not)
