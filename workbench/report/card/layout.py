"""The kitchen card as pages and as a PDF: one page if it can be read from a step away, more if it cannot."""

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import NamedTuple

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.files import write_atomically
from workbench.base.text import N_
from workbench.recipe.kitchen_card import KitchenCard
from workbench.report.card import blocks
from workbench.report.pdf.desk import Desk, Laid
from workbench.report.pdf.page import PAGE_SIZES, Mark, Page, PageSize, moved
from workbench.report.pdf.setting import Setting
from workbench.report.pdf.writer import pdf_bytes

_MARGIN_MM = 12.0
_SCALES = (1.2, 1.15, 1.1, 1.05, 1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7)
"""Largest first; at the last one weights stand in 11 point and names in 9."""

CARD_TAKES_PAGES = ProblemKind(
    "card_takes_pages",
    "notice",
    N_("the card takes {pages} pages: more than one page holds at a size that can be read."),
    N_("Print on both sides, or split the recipe."),
)

Block = Callable[[Desk], Laid]


class SetPages(NamedTuple):
    """Pages ready to be previewed or written, and what could not be set as it was given."""

    pages: tuple[Page, ...]
    problems: tuple[Problem, ...]


def card_pages(card: KitchenCard, paper: str = "a4") -> SetPages:
    """Set a kitchen card.

    Parameters
    ----------
    card : KitchenCard
        What stands on it.
    paper : {"a4", "letter"}
        The paper.

    Returns
    -------
    SetPages
        At the largest scale that fits one page; else at the largest that fits the fewest pages.
    """
    size = PAGE_SIZES[paper]
    place = Place("variant", "", card.variant)
    parts = _blocks(card)
    fewest = len(_set(card, parts, size, _SCALES[-1], place).pages)
    tried = (_set(card, parts, size, scale, place) for scale in _SCALES)
    found = next(each for each in tried if len(each.pages) == fewest)
    if fewest == 1:
        return found
    return found._replace(problems=(CARD_TAKES_PAGES.at(place, pages=fewest), *found.problems))


def _blocks(card: KitchenCard) -> list[Block]:
    parts: list[Block] = [partial(blocks.head, card=card), partial(blocks.allergens, card=card), blocks.column_titles]
    for stage in card.stages:
        parts.append(partial(blocks.stage_band, stage=stage))
        parts += [partial(blocks.ingredient, line=line) for line in stage.lines]
        parts.append(partial(blocks.stage_end, stage=stage))
    return [*parts, partial(blocks.after, card=card)]


def _set(card: KitchenCard, parts: list[Block], size: PageSize, scale: float, place: Place) -> SetPages:
    desk = Desk(Setting(place), size.width_mm - 2 * _MARGIN_MM, scale)
    room = size.height_mm - 2 * _MARGIN_MM
    groups = _groups([part(desk) for part in parts])
    pages: list[_Sheet] = [_Sheet("", [])]
    used, stage = 0.0, ""
    for group in groups:
        height = sum(each.height_mm for each in group)
        begins = any(each.stage for each in group)
        if used + height > room and pages[-1].laid:
            last = group is groups[-1]  # what follows the stages belongs to none
            pages.append(_Sheet("" if begins or last else stage, []))
            used = blocks.again(desk, card, 2, 2, "").height_mm
        pages[-1].laid.extend(group)
        used += height
        stage = next((each.stage for each in group if each.stage), stage)
    made = [_page(desk, card, size, n, len(pages), each) for n, each in enumerate(pages, start=1)]
    return SetPages(tuple(made), desk.setting.problems)


class _Sheet(NamedTuple):
    """What goes on one page, and the stage that goes on from the page before."""

    stage: str
    laid: list[Laid]


def _groups(laid: list[Laid]) -> list[list[Laid]]:
    """Blocks that may not be parted by the end of a page."""
    groups: list[list[Laid]] = [[]]
    for each in laid:
        groups[-1].append(each)
        if not each.keeps_next:
            groups.append([])
    return [group for group in groups if group]


def _page(desk: Desk, card: KitchenCard, size: PageSize, n: int, pages: int, sheet: _Sheet) -> Page:
    marks: list[Mark] = []
    y = _MARGIN_MM
    head = [blocks.again(desk, card, n, pages, sheet.stage)] if n > 1 else []
    for each in (*head, *sheet.laid):
        if n == pages and each is sheet.laid[-1]:
            y = size.height_mm - _MARGIN_MM - each.height_mm  # what follows the stages stands at the foot
        marks += moved(each.marks, _MARGIN_MM, y)
        y += each.height_mm
    return Page(size, tuple(marks))


def write_cards(
    cards: Sequence[KitchenCard], path: Path, *, paper: str = "a4", written: date | None = None
) -> tuple[Problem, ...]:
    """Write kitchen cards one after another as a PDF, whole or not at all.

    Parameters
    ----------
    cards : sequence of KitchenCard
        One a variant.
    path : Path
        The .pdf file to write.
    paper : {"a4", "letter"}
        The paper.
    written : date, optional
        Date of the document.

    Returns
    -------
    tuple of Problem
        What could not be set as it was given.

    Raises
    ------
    FileError
        If the file cannot be written.
    """
    found = [card_pages(card, paper) for card in cards]
    title = "; ".join(f"{card.title}: {card.variant}" for card in cards)
    write_atomically(path, pdf_bytes((page for each in found for page in each.pages), title=title, written=written))
    return tuple(problem for each in found for problem in each.problems)
