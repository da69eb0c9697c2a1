"""Text on printed pages: signs the font lacks, lines too long, both directions of writing; the file is reproducible."""

from datetime import date

import pytest

from workbench.report.pdf.fonts import covered, width_mm
from workbench.report.pdf.page import PAGE_SIZES, Line, Page, Polygon, Rect, Text, moved
from workbench.report.pdf.setting import STAND_IN, Run, Setting, printable
from workbench.report.pdf.writer import pdf_bytes


@pytest.mark.parametrize(
    ("text", "kept", "replaced"),
    [
        ("Maïs ½ kg – 20 °C", "Maïs ½ kg – 20 °C", ""),
        ("e\u0301", "é", ""),
        ("two\nlines\tand  spaces ", "two lines and spaces", ""),
        ("玉米 squares", f"{STAND_IN}{STAND_IN} squares", "玉米"),
        ("\uff11\uff12 figs", "12 figs", ""),  # full-width digits have plain ones
        ("safe\u202etxt.exe", "safetxt.exe", ""),  # would read backwards
        ("\x00\x07", "", ""),
        ("ריבועי תירס", "ריבועי תירס", ""),
    ],
)
def test_signs_without_a_glyph_are_replaced_and_named(text: str, kept: str, replaced: str) -> None:
    assert printable(text) == (kept, replaced)


def test_the_font_has_what_the_program_writes() -> None:
    assert {ord(sign) for sign in f"{STAND_IN}…–×°½¼¾ß·→Œčłşđ€ΩЖאع"} <= covered()


def test_replaced_signs_are_reported_once() -> None:
    setting = Setting()
    for text in ("玉米", "米"):
        setting.clean(text)
    (problem,) = setting.problems
    assert problem.code == "characters_replaced"
    assert problem.message.count("U+7C73") == 1 and "U+7389" in problem.message


def test_a_line_shrinks_before_it_is_cut() -> None:
    setting = Setting()
    wide = width_mm("maize squares", 10.0)
    assert setting.line("maize squares", wide, 10.0, 5.0) == ("maize squares", 10.0)
    text, size = setting.line("maize squares", wide * 0.8, 10.0, 5.0)
    assert text == "maize squares" and width_mm(text, size) <= wide * 0.8
    assert not setting.problems
    text, size = setting.line("maize squares", wide * 0.3, 10.0, 5.0)
    assert text.endswith("…") and size == 5.0 and width_mm(text, size) <= wide * 0.3
    assert [problem.code for problem in setting.problems] == ["text_cut"]


@pytest.mark.parametrize("text", ["fold in the figs while it is warm " * 5, "x" * 5000, "a " + "y" * 300 + " b", ""])
def test_lines_are_never_wider_than_the_page_and_lose_nothing(text: str) -> None:
    setting = Setting()
    lines = setting.lines(text, 60.0, 9.0)
    assert all(width_mm(line, 9.0) <= 60.0 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")[:3000]
    assert bool(setting.problems) is (len(text) > 3000), "only what is beyond any page is cut, and said to be"


def test_lines_beyond_the_last_are_cut_and_reported() -> None:
    setting = Setting()
    lines = setting.lines("fold in the figs " * 20, 40.0, 9.0, most=2)
    assert len(lines) == 2 and lines[-1].endswith("…") and width_mm(lines[-1], 9.0) <= 40.0
    assert [problem.code for problem in setting.problems] == ["text_cut"]


def test_runs_of_two_weights_stay_on_one_line_with_their_spaces() -> None:
    setting = Setting()
    (line,) = setting.runs([Run("contains "), Run("MILK", bold=True), Run("; origin: dairy")], 200.0, 9.0)
    assert line == [Run("contains "), Run("MILK", bold=True), Run("; origin: dairy")]


def page() -> Page:
    marks = (
        Text(20, 20, "maize squares", 12.0, bold=True),
        Text(190, 30, "ריבועי תירס 70 g", 12.0, align="right", ink=0.4),
        Text(100, 40, "", 12.0, align="centre"),
        Text(100, 40, "مربعات", 12.0, align="centre"),
        Rect(20, 50, 30, 10, 0.9, 0.2),
        Line(20, 70, 60, 70),
        Polygon(((20, 80), (30, 85), (20, 90))),
    )
    return Page(PAGE_SIZES["letter"], marks)


def test_the_same_pages_give_the_same_bytes() -> None:
    first = pdf_bytes([page(), page()], title="squares", written=date(2026, 5, 2))
    assert first == pdf_bytes([page(), page()], title="squares", written=date(2026, 5, 2))
    assert first.startswith(b"%PDF-") and b"D:20260502" in first
    assert first.count(b"/MediaBox [0 0 612.00 792.00]") == 2, "US Letter in points"
    assert first != pdf_bytes([page()], title="squares")


def test_moving_marks_moves_every_point() -> None:
    text, _text, _empty, _arabic, rect, line, polygon = moved(page().marks, 5.0, 7.0)
    assert isinstance(text, Text) and (text.x_mm, text.y_mm) == (25, 27)
    assert isinstance(rect, Rect) and (rect.x_mm, rect.y_mm, rect.width_mm) == (25, 57, 30)
    assert line == Line(25, 77, 65, 77)
    assert polygon == Polygon(((25, 87), (35, 92), (25, 97)))
