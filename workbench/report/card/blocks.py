"""The parts of a kitchen card, each set at a scale: its marks from its own upper left corner, and its height."""

from collections.abc import Sequence

from workbench.base.text import _
from workbench.recipe.household import grams_text
from workbench.recipe.kitchen_card import CardLine, CardStage, Cutting, KitchenCard
from workbench.report.marks import purpose_mark, purpose_width_mm
from workbench.report.pdf.desk import Desk, Laid
from workbench.report.pdf.fonts import CAP_HEIGHT, MM_PER_PT, width_mm
from workbench.report.pdf.page import Line, Mark, Rect, Text, moved
from workbench.report.pdf.setting import Run

_PANEL = 0.9  # grey of a band
_SMALL = 9.0
_LEAST_NAME = 0.72  # of the size of a name, before it goes on two lines


def head(desk: Desk, card: KitchenCard) -> Laid:
    """What it is, which version, what the whole and the half batch make."""
    high = desk.mm(8.5)
    sign = purpose_width_mm(desk.setting, card.purpose, high)
    title, size = desk.setting.line(card.title, desk.width_mm - sign - 4, desk.pt(22), desk.pt(12), bold=True)
    top = desk.mm(9)
    marks: list[Mark] = [Text(0, top - desk.mm(1), title, size, bold=True)]
    marks += purpose_mark(desk.setting, card.purpose, desk.width_mm, 0.0, high)
    variant, size = desk.setting.line(card.variant, desk.width_mm * 0.4, desk.pt(13), desk.pt(8))
    makes = _("whole batch: {whole} · half: {half}", whole=card.whole, half=card.half)
    makes, makes_size = desk.setting.line(makes, desk.width_mm * 0.58, desk.pt(13), desk.pt(7), bold=True)
    marks.append(Text(0, top + desk.mm(6), variant, size))
    marks.append(Text(desk.width_mm, top + desk.mm(6), makes, makes_size, bold=True, align="right"))
    return Laid(top + desk.mm(9), marks)


def again(desk: Desk, card: KitchenCard, page: int, pages: int, stage: str) -> Laid:
    """Head of a page after the first, with the stage that goes on there."""
    words = [card.title, card.variant, _("{stage}, continued", stage=stage) if stage else ""]
    title, size = desk.setting.line(" · ".join(filter(None, words)), desk.width_mm * 0.8, 13, 8, bold=True)
    said = _("page {page} of {pages}", page=page, pages=pages)
    return Laid(8.0, [Text(0, 4.5, title, size, bold=True), Text(desk.width_mm, 4.5, said, 9, align="right")])


def allergens(desk: Desk, card: KitchenCard) -> Laid:
    """A frame with what the batch contains, may contain, and what nobody said."""
    said = card.statement
    rows: list[list[Run]] = []
    if said.contains_each:
        rows.append([Run(_("contains") + " "), Run(", ".join(said.contains_each).upper(), bold=True)])
    if said.may_contain:
        rows.append([Run(_("may contain") + " "), Run(", ".join(said.may_contain), bold=True)])
    if said.not_stated:
        names = "; ".join(said.not_stated)
        rows.append([Run(_("allergens not stated, a risk:") + " ", bold=True), Run(names)])
    if not rows:
        rows.append([Run(said.none_named)])
    if said.left_out:  # a cook has to know them all the same
        rows.append([Run(_("also inside, though US law does not ask for it:") + " "), Run(", ".join(said.left_out))])
    rows.append(
        [Run(said.origin + ". "), Run(_("Allergens are only as good as the labels read, and the kitchen is clean."))]
    )
    pad = desk.mm(2.2)
    label = _("allergens")
    left = pad + width_mm(label, desk.pt(11), bold=True) + pad
    marks: list[Mark] = []
    y = pad * 0.8
    for k, row in enumerate(rows):
        laid = desk.paragraph(row, desk.width_mm - left - pad, _SMALL if k == len(rows) - 1 else 11, left, y)
        marks += laid.marks
        y += laid.height_mm
    height = y + pad * 0.6
    frame = Rect(0, 0, desk.width_mm, height, None, 0.5)
    return Laid(
        height + desk.mm(3),
        [frame, Text(pad, pad * 0.8 + 0.8 * desk.leading(11), label, desk.pt(11), bold=True), *marks],
    )


# --- stages -----------------------------------------------------------------------------------------------------------


def _columns(desk: Desk) -> tuple[float, float, float]:
    """Right edges of the two weights, left edge of the name. [mm]"""
    whole = desk.mm(24)
    half = whole + desk.mm(22)
    return whole, half, half + desk.mm(6)


def column_titles(desk: Desk) -> Laid:
    """What the columns hold."""
    whole, half, name = _columns(desk)
    y = desk.mm(3)
    size = desk.pt(_SMALL)
    return Laid(
        desk.mm(4.5),
        [
            Text(whole, y, _("whole, g"), size, bold=True, align="right"),
            Text(half, y, _("half, g"), size, align="right"),
            Text(name, y, _("ingredient, edible part"), size),
        ],
        keeps_next=True,
    )


def stage_band(desk: Desk, stage: CardStage) -> Laid:
    """Title of a stage with its time and temperature."""
    high = desk.mm(7)
    facts, facts_size = desk.setting.line(stage.facts, desk.width_mm * 0.4, desk.pt(13), desk.pt(9), bold=True)
    title, size = desk.setting.line(stage.title, desk.width_mm * 0.56, desk.pt(13), desk.pt(8), bold=True)
    baseline = (high + CAP_HEIGHT * desk.pt(13) * MM_PER_PT) / 2
    marks: list[Mark] = [
        Rect(0, 0, desk.width_mm, high, _PANEL),
        Text(desk.mm(2), baseline, title, size, bold=True),
        Text(desk.width_mm - desk.mm(2), baseline, facts, facts_size, bold=True, align="right"),
    ]
    return Laid(high + desk.mm(0.6), marks, keeps_next=True, stage=stage.title)


def ingredient(desk: Desk, line: CardLine) -> Laid:
    """One ingredient: two weights to read from a step away, its name, and what helps to weigh it."""
    whole, half, left = _columns(desk)
    size = desk.pt(13)
    remarks = " · ".join(line.remarks)
    room = desk.width_mm - left
    beside = width_mm(desk.setting.clean(remarks), desk.pt(_SMALL)) + desk.mm(3) if remarks else 0.0
    name_room = room - beside if beside < 0.45 * room else room
    shown = desk.setting.clean(line.name)
    names = [shown]
    name_size = size
    wide = width_mm(shown, size)
    if wide > name_room:
        name_size = max(size * name_room / wide * 0.999, size * _LEAST_NAME)
        names = desk.setting.lines(line.name, name_room, name_size, most=2)
    baseline = desk.mm(5.4)
    step = name_size * MM_PER_PT * 1.2
    marks: list[Mark] = [
        Text(whole, baseline, grams_text(line.whole_g), desk.pt(16), bold=True, align="right"),
        Text(half, baseline, grams_text(line.half_g), desk.pt(13), align="right"),
        *(Text(left, baseline + k * step, name, name_size) for k, name in enumerate(names)),
    ]
    bottom = baseline + (len(names) - 1) * step
    if remarks and name_room < room:
        marks.append(Text(desk.width_mm, baseline, desk.setting.clean(remarks), desk.pt(_SMALL), align="right"))
    elif remarks:
        below = desk.paragraph([Run(remarks)], room, _SMALL, left, bottom + desk.mm(0.8))
        marks += below.marks
        bottom += desk.mm(0.4) + below.height_mm
    height = bottom + desk.mm(1.8)
    return Laid(height, [*marks, Line(0, height, desk.width_mm, height, 0.1)])


def stage_end(desk: Desk, stage: CardStage) -> Laid:
    """What to do, and the weights to expect and to write down."""
    marks: list[Mark] = []
    y = desk.mm(1)
    if stage.text:
        laid = desk.paragraph([Run(stage.text)], desk.width_mm - desk.mm(4), 10.5, desk.mm(2), y)
        marks += laid.marks
        y += laid.height_mm + desk.mm(0.5)
    baseline = y + desk.mm(4.6)
    x = desk.mm(2)
    for words, grams in ((_("weight in"), stage.in_g), (_("weight out"), stage.out_g)):
        expected = _("{whole} g, half {half} g", whole=grams_text(round(grams)), half=grams_text(round(grams / 2)))
        marks += [
            Text(x, baseline, words, desk.pt(_SMALL)),
            Text(x + desk.mm(19), baseline, expected, desk.pt(11), bold=True),
        ]
        marks += _blank(desk, x + desk.mm(64), baseline, desk.width_mm / 2 - desk.mm(72), "g")
        x += desk.width_mm / 2
    return Laid(baseline + desk.mm(3.6), marks)


def _blank(desk: Desk, x: float, baseline: float, width: float, unit: str = "") -> list[Mark]:
    """A line to write on."""
    marks: list[Mark] = [Line(x, baseline + 0.8, x + width, baseline + 0.8, 0.3)]
    return [*marks, Text(x + width + 1, baseline, unit, desk.pt(_SMALL))] if unit else marks


# --- after the stages -------------------------------------------------------------------------------------------------


def after(desk: Desk, card: KitchenCard) -> Laid:
    """Cutting beside cooling, the lines to fill in, and the last word."""
    gap = desk.mm(6)
    half = (desk.width_mm - gap) / 2
    left = _cutting(desk, card.cutting, half)
    right = _list(desk, _("cool and keep"), card.cooling, half)
    marks = [*left.marks, *moved(right.marks, half + gap, 0)]
    top = max(left.height_mm, right.height_mm) + desk.mm(2)
    record = _record(desk, card)
    marks += moved(record.marks, 0, top)
    return Laid(top + record.height_mm, marks)


def _title(desk: Desk, text: str, width: float) -> Laid:
    y = desk.leading(11)
    return Laid(y + desk.mm(1.6), [Text(0, 0.8 * y, text, desk.pt(11), bold=True), Line(0, y, width, y, 0.4)])


def _list(desk: Desk, title: str, texts: Sequence[str], width: float) -> Laid:
    laid = _title(desk, title, width)
    marks, y = laid.marks, laid.height_mm
    for text in texts:
        part = desk.paragraph([Run(text)], width, 9.5, 0.0, y)
        marks += part.marks
        y += part.height_mm + desk.mm(0.4)
    return Laid(y, marks)


def _cutting(desk: Desk, cutting: Cutting, width: float) -> Laid:
    drawn = desk.mm(30) if cutting.pattern else 0.0
    gap = desk.mm(4) if cutting.pattern else 0.0
    laid = _title(desk, _("pan and cut"), width)
    marks, top = laid.marks, laid.height_mm
    y = top
    for k, text in enumerate(cutting.words):
        part = desk.paragraph([Run(text, bold=k == 0)], width - drawn - gap, 10.5 if k == 0 else 9.5, drawn + gap, y)
        marks += part.marks
        y += part.height_mm + desk.mm(0.4)
    if cutting.pattern is None:
        return Laid(y, marks)
    columns, rows = cutting.pattern.columns, cutting.pattern.rows
    cell = min(drawn / columns, desk.mm(24) / rows)
    across, down = columns * cell, rows * cell
    marks.append(Rect(0, top, across, down, None, 0.5))
    marks += [Line(k * cell, top, k * cell, top + down, 0.25) for k in range(1, columns)]
    marks += [Line(0, top + k * cell, across, top + k * cell, 0.25) for k in range(1, rows)]
    return Laid(max(y, top + down), marks)


def _record(desk: Desk, card: KitchenCard) -> Laid:
    laid = _title(desk, _("write down"), desk.width_mm)
    marks, y = laid.marks, laid.height_mm + desk.mm(5)
    size, gap = desk.pt(_SMALL), desk.mm(1.5)
    fields = (_("date"), _("lot"), _("initials"), _("batch: whole / half"))
    each = desk.width_mm / len(fields)
    for k, words in enumerate(fields):
        begin = k * each + width_mm(words, size) + gap
        marks += [Text(k * each, y, words, size), *_blank(desk, begin, y, (k + 1) * each - begin - desk.mm(3))]
    y += desk.mm(6)
    each = desk.width_mm / len(card.probes)
    unit = _("°F at") if card.system == "us" else _("°C at")
    for k, words in enumerate(card.probes):
        begin, below = k * each, y + desk.mm(6.5)
        room = (each - width_mm(unit, size) - desk.mm(5)) / 2
        marks.append(Text(begin, y, words, size))
        marks += _blank(desk, begin, below, room, unit)
        marks += _blank(desk, begin + room + width_mm(unit, size) + desk.mm(2), below, room)
    y += desk.mm(12)
    last = _("Local food law and the responsible professional decide.")
    marks.append(Text(0, y, last, desk.pt(8)))
    return Laid(y + desk.mm(1), marks)
