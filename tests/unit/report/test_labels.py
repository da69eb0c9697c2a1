"""Wrapper labels: sheets that cannot be are refused, every label stays inside its own, nothing is cut in silence."""

import math
from datetime import date
from pathlib import Path

import pytest

from tests.unit.report.paper import edges
from workbench.base.errors import FileError, WorkbenchError
from workbench.recipe.wrapper_label import WrapperLabel
from workbench.report.labels.layout import LEAST_TINY_PT, label_pages, one_label, write_labels
from workbench.report.labels.sheet import SHEETS, LabelSheet, checked, read_sheet
from workbench.report.pdf.page import Page, PageSize, Polygon, Rect, Text

LABEL = WrapperLabel(
    title="maize squares",
    variant="Race",
    purpose="race",
    carbohydrate="23 g carbohydrate",
    piece="78 g",
    allergens="contains MILK, COCONUT",
    may_contain="may contain sulphites",
    made="2026-05-02",
    use_by="2026-05-03",
    lot="A7",
)
SHEET = SHEETS["a4-24"][1]
EVERYTHING = "contains " + ", ".join(["WHEAT (GLUTEN)", "CRUSTACEANS", "SULPHITES", "MACADAMIA"] * 12)


def shown(label: WrapperLabel, sheet: LabelSheet = SHEET) -> list[str]:
    return [mark.text for mark in one_label(label, sheet)[0] if isinstance(mark, Text)]


@pytest.mark.parametrize("name", SHEETS)
def test_common_sheets_fit_their_page(name: str) -> None:
    sheet = checked(SHEETS[name][1])
    x, y = sheet.corner_mm(sheet.labels - 1)
    assert x + sheet.label_width_mm <= sheet.page_width_mm + 0.05
    assert y + sheet.label_height_mm <= sheet.page_height_mm + 0.05
    assert read_sheet(name) == sheet


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("210,297,0,0,8,3,70.1,37", "0.3 mm wider than the page: 3 columns"),
        ("210,297,0,1.1,8,3,70,37", "0.1 mm higher than the page: 8 rows"),
        ("210,297,-1,0,8,3,60,30", "below zero"),
        ("210,297,0,0,0,3,60,30", "at least one row"),
        ("210,297,0,0,8,3,20,37", "too small to be read"),
        ("0,297,0,0,8,3,20,37", "page needs a width"),
        ("nan,297,0,0,8,3,60,37", "is no number"),
        ("210,297,0,0,8,3,nan,37", "is no number"),
        ("210,297,0,0,8.5,3,60,37", "no label sheet"),
        ("210,297,0,0,inf,3,60,37", "no label sheet"),
        ("210,297", "no label sheet"),
        ("a4-25", "no label sheet"),
    ],
)
def test_impossible_sheets_are_refused_with_the_reason(text: str, message: str) -> None:
    with pytest.raises(WorkbenchError, match=message) as error:
        read_sheet(text)
    assert error.value.hint or "row" in error.value.summary


def test_dimensions_are_read_in_the_order_that_help_names() -> None:
    assert read_sheet("210,297,7.2,15.1,7,3,63.5,38.1,2.55,0") == SHEETS["a4-21"][1]
    assert read_sheet("210,297,0,0.5,8,3,70,37") == SHEET


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize(
    "label",
    [
        LABEL,
        LABEL._replace(purpose="long_ride", variant="Long ride", made="", use_by="", lot=""),
        LABEL._replace(purpose="", variant="x" * 500, title="y" * 5000, allergens=EVERYTHING, lot="L" * 300),
        LABEL._replace(title="ריבועי תירס עם חלב", carbohydrate="at least 23 g carbohydrate"),
    ],
)
def test_a_label_stays_inside_its_edges_and_legible(label: WrapperLabel, name: str) -> None:
    sheet = SHEETS[name][1]
    marks, _problems = one_label(label, sheet)
    page = Page(PageSize(sheet.label_width_mm, sheet.label_height_mm), tuple(marks))
    for x, y in edges(page):
        assert 1.0 <= x <= sheet.label_width_mm - 1.0
        assert 0.5 <= y <= sheet.label_height_mm - 1.0
    assert min(mark.size_pt for mark in marks if isinstance(mark, Text) and mark.text) >= LEAST_TINY_PT - 1e-6


def test_race_and_long_ride_differ_by_word_and_shape() -> None:
    race, _p = one_label(LABEL, SHEET)
    long_ride, _p = one_label(LABEL._replace(purpose="long_ride"), SHEET)
    assert any(isinstance(mark, Polygon) and mark.fill == 0.0 for mark in race)
    assert any(isinstance(mark, Rect) and mark.fill is None for mark in long_ride)
    assert "RACE" in shown(LABEL) and "LONG RIDE" in shown(LABEL._replace(purpose="long_ride"))
    assert not any(isinstance(m, Polygon | Rect) for m in one_label(LABEL._replace(purpose="original"), SHEET)[0])


def test_allergens_are_whole_or_a_reference_and_never_half_a_list() -> None:
    label = LABEL._replace(allergens=EVERYTHING)
    marks, problems = one_label(label, SHEETS["letter-30"][1])
    assert [problem.code for problem in problems] == ["allergens_do_not_fit"]
    told = [mark.text for mark in marks if isinstance(mark, Text)]
    assert "allergens: ask for the list" in told
    assert not any("GLUTEN" in text for text in told)
    fitting = " ".join(shown(LABEL._replace(allergens=EVERYTHING[:120])))
    assert EVERYTHING[:120] in fitting, "a long list that fits is set smaller"


def test_what_is_cut_is_reported_once_for_all_copies() -> None:
    found = label_pages([LABEL._replace(title="y" * 300)] * 30, SHEET)
    assert [problem.code for problem in found.problems] == ["text_cut"]


@pytest.mark.parametrize(("start", "n", "pages"), [(1, 24, 1), (1, 25, 2), (24, 1, 1), (24, 2, 2), (5, 40, 2)])
def test_a_sheet_already_begun(start: int, n: int, pages: int) -> None:
    found = label_pages([LABEL] * n, SHEET, start=start)
    assert len(found.pages) == pages
    titles = [m for page in found.pages for m in page.marks if isinstance(m, Text) and m.text == LABEL.title]
    assert len(titles) == n
    column, row = (start - 1) % 3, (start - 1) // 3
    assert math.floor(titles[0].x_mm / 70) == column and math.floor((titles[0].y_mm - 0.5) / 37) == row


@pytest.mark.parametrize(("start", "n"), [(0, 1), (25, 1), (1, 0), (1, 5001)])
def test_positions_and_numbers_that_cannot_be(start: int, n: int) -> None:
    with pytest.raises(WorkbenchError) as error:
        label_pages([LABEL] * n, SHEET, start=start)
    assert error.value.hint


def test_what_is_not_given_has_a_line_to_write_on() -> None:
    assert {"made 2026-05-02", "use by 2026-05-03", "lot A7"} <= set(shown(LABEL))
    assert {"made", "use by", "lot"} <= set(shown(LABEL._replace(made="", use_by="", lot="")))


def test_files_are_the_same_each_time_and_whole_or_not_at_all(tmp_path: Path) -> None:
    for name in ("a.pdf", "b.pdf"):
        assert write_labels([LABEL] * 40, SHEET, tmp_path / name, written=date(2026, 5, 2)) == ()
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    (tmp_path / "c.pdf").mkdir()
    with pytest.raises(FileError, match="is a folder"):
        write_labels([LABEL], SHEET, tmp_path / "c.pdf")
