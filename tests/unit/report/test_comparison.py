"""Variants side by side on one page, as text and as data: figures are the engine's, and nothing is lost silently."""

import csv
import io
import json
import math
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from msgspec.structs import replace

from tests.support import NO_RULES, evaluated, make_food, make_line, make_project, make_variant
from tests.unit.report.paper import edges
from workbench.base.errors import WorkbenchError
from workbench.base.paths import demo_projects
from workbench.document.project import Basis, ByCount, Project, Target, TargetSet
from workbench.recipe.quantities import HEADLINE, QUANTITIES
from workbench.recipe.side_by_side import Others, SideBySide, compared
from workbench.recipe.words import CAUTIONS, bound_text
from workbench.report.comparison.data import comparison_csv, comparison_data
from workbench.report.comparison.page import comparison_page
from workbench.report.comparison.texts import comparison_html, comparison_markdown, comparison_tsv
from workbench.report.handing_over import write_comparison
from workbench.report.pdf.page import PAGE_SIZES, Line, Page, Polygon, Rect, Text
from workbench.storage.project_file import load_project

LONG = "squares for the long way round the head and back along the shore " * 80


def demo(name: str = "maize_squares") -> Project:
    return load_project(demo_projects() / f"{name}.fare").project


def of_demos(n: int, basis: Basis = "portion", reference: int = 0) -> SideBySide:
    here, there = demo(), demo("buckwheat_fig_bars")
    own = [evaluated(here, variant.id) for variant in here.variants[:n]]
    rest = [evaluated(there, variant.id) for variant in there.variants[: max(n - 4, 0)]]
    others = [Others(there, "buckwheat_fig_bars", rest)] if rest else []
    return compared(here, own, basis, reference=reference, others=others)


def hard(n: int, n_lines: int = 8, name: str = "variant {k}", note: str = "") -> SideBySide:
    """Variants with many lines, long notes, hardly anything known and every target missed or in doubt."""
    foods = [make_food(f"f{k}", {"CHOAVLDF": 50.0}, name=f"{k}: {name.format(k=k)}") for k in range(n_lines)]
    targets = tuple(Target(id=key, quantity=key, basis="per_hour", high=0.01) for key in QUANTITIES)
    variants = [
        make_variant(
            *(make_line(food, 10.0 + (7 * j + 3 * k) % 11) for j, food in enumerate(foods)),
            id=f"v{k}",
            name=name.format(k=k),
            parent_id=f"v{k - 1}" if k else None,
            notes=note,
            purpose="long_ride",
            portioning=ByCount(count=10),
            target_set_id="t",
        )
        for k in range(n)
    ]
    sets = (TargetSet(id="t", name="t", targets=targets),)
    project = make_project(foods, *variants, target_sets=sets, assumptions=NO_RULES, title=name.format(k="x"))
    return compared(project, [evaluated(project, v.id) for v in variants], "portion")


def texts(page: Page) -> list[str]:
    return [mark.text for mark in page.marks if isinstance(mark, Text)]


# --- the page ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    "side",
    [
        of_demos(2),
        of_demos(4, "per_hour", 2),
        of_demos(6, "per_25g_carbohydrate"),
        hard(2, 60, note=LONG),
        hard(6, 60, LONG[:5000], LONG),
        hard(6, 1),
    ],
    ids=["two", "four", "six", "two hard", "six hard", "six alike"],
)
def test_one_page_with_everything_inside_its_margins_and_above_its_foot(side: SideBySide, paper: str) -> None:
    found = comparison_page(side, "squares", paper, date(2026, 5, 2))
    (page,) = found.pages
    size = PAGE_SIZES[paper]
    for x, y in edges(page):
        assert 9.0 <= x <= size.width_mm - 9.0, "printers need a margin"
        assert 9.0 <= y <= size.height_mm - 9.0
    foot = min(mark.y_mm for mark in page.marks if isinstance(mark, Text) and mark.text.startswith("▲ more"))
    above = [max(each.y_mm, each.to_y_mm) for each in page.marks if isinstance(each, Line)]
    assert max(above) < foot, "what is listed ends above the foot"
    assert min(mark.size_pt for mark in page.marks if isinstance(mark, Text) and mark.text) >= 4.5


@pytest.mark.parametrize("basis", ["portion", "per_100g", "per_hour"])
def test_figures_on_the_page_are_those_of_the_engine(basis: Basis) -> None:
    project = demo()
    found = [evaluated(project, variant.id) for variant in project.variants[:2]]
    shown = texts(comparison_page(compared(project, found, basis), "x").pages[0])
    for key in HEADLINE:
        quantity = QUANTITIES[key]
        start = shown.index(f"{quantity.title}, {quantity.unit}" if quantity.unit else quantity.title)
        for evaluation in found:
            bound = evaluation.bound(key, basis)
            assert bound_text(bound, quantity.decimals) in shown[start : start + 5], key


def test_what_has_no_room_is_said_on_the_page_and_reported() -> None:
    side = hard(6, 60, note=LONG)
    found = comparison_page(side, "squares")
    shown = texts(found.pages[0])
    assert next(p for p in found.problems if p.code == "comparison_left_out")
    listed = sum(row.name in shown for row in side.ingredients)
    assert 0 < listed < 60
    left = sum(row.changed for row in side.ingredients) - listed
    assert any(f"{left} ingredients more in the table file" in text for text in shown)
    quantities = sum(text in {f"{row.quantity.title}, {row.quantity.unit}" for row in side.rows} for text in shown)
    assert 0 < quantities < len(side.rows)
    assert any("quantities more in the table file" in text for text in shown)
    assert any(problem.code == "text_cut" for problem in found.problems), "the notes were too long"


def test_a_small_comparison_is_whole_and_large() -> None:
    found = comparison_page(of_demos(2), "squares")
    assert found.problems == ()
    sizes = [mark.size_pt for mark in found.pages[0].marks if isinstance(mark, Text) and mark.bold]
    assert max(sizes) >= 16.0


def test_unknown_and_doubtful_figures_say_so_and_verdicts_have_shape_and_word() -> None:
    shown = texts(comparison_page(hard(3, 3), "squares").pages[0])
    assert "not known" in shown
    assert "◇ cannot tell" in shown
    assert "? cannot tell per hour" in shown
    assert any(text.startswith("✕ over by") for text in shown)


def test_a_variant_without_a_result_has_no_figures_and_says_so() -> None:
    project = demo()
    first = project.variants[0]
    lines = tuple(replace(line, amount_g=0.0) for line in first.lines)
    empty = replace(first, id="empty", name="Empty", lines=lines, parent_id=first.id)
    project = replace(project, variants=(*project.variants, empty))
    side = compared(project, [evaluated(project, first.id), evaluated(project, "empty")], "portion")
    shown = texts(comparison_page(side, "squares").pages[0])
    assert "✕ no valid result" in shown
    assert shown.count("not known") == len([row for row in side.rows if row.quantity.key in HEADLINE])
    data = comparison_data(side, "squares")
    json.dumps(data, allow_nan=False)
    assert not data["variants"][1]["valid"]
    assert {row["figures"][1]["value"] for row in data["quantities"]} == {None}
    assert "| fat | g | 5.2 |" in comparison_markdown(side, "squares")


def test_a_chart_has_one_scale_its_limits_and_its_band() -> None:
    """Fibre of the demo's last variant is between 1.9 and 2.3 g; targets allow 4 g, for the race variant 1 g."""
    (page,) = comparison_page(of_demos(4), "squares").pages
    titles = [mark for mark in page.marks if isinstance(mark, Text) and mark.text == "fibre, g" and mark.bold]
    (title,) = titles
    near = [m for m in page.marks if not isinstance(m, Text | Polygon) and 0 < m.y_mm - title.y_mm < 16]
    near = [m for m in near if 0 <= m.x_mm - title.x_mm < 42]
    bars = sorted((m for m in near if isinstance(m, Rect) and m.fill in (0.1, 0.45)), key=lambda m: m.y_mm)
    assert [bar.fill for bar in bars] == [0.1, 0.45, 0.45, 0.45], "the reference is black"
    figures = [evaluated(demo(), v.id).bound("FIBTG").value for v in demo().variants]
    per_mm = {round(bar.width_mm / figure, 6) for bar, figure in zip(bars, figures, strict=True)}
    assert len(per_mm) == 1, "one scale"
    scale = per_mm.pop()
    bands = sorted((m for m in near if isinstance(m, Rect) and m.fill == 0.86), key=lambda m: m.y_mm)
    assert [band.width_mm / scale for band in bands] == pytest.approx([4.0, 4.0, 1.0, 4.0])
    spans = [m for m in near if isinstance(m, Line) and m.y_mm == m.to_y_mm and m.to_x_mm > m.x_mm]
    long_ride = evaluated(demo(), demo().variants[3].id).bound("FIBTG")
    assert max(m.to_x_mm - m.x_mm for m in spans if m.to_x_mm - m.x_mm < 20) / scale == pytest.approx(
        long_ride.high - long_ride.low
    )


def test_accented_and_right_to_left_names_stand_whole_and_what_the_font_lacks_is_reported() -> None:
    found = comparison_page(hard(2, 2, name="Żurawina ﻼﺎ שלום {k} 甘"), "קר")
    shown = texts(found.pages[0])
    assert any("Żurawina" in text and "שלום" in text and "□" in text for text in shown)
    (replaced,) = (problem for problem in found.problems if problem.code == "characters_replaced")
    assert "甘" in replaced.message


# --- files ------------------------------------------------------------------------------------------------------------


def test_the_ending_says_what_is_written_and_a_workbook_holds_one_project(tmp_path: Path) -> None:
    side = of_demos(6)
    for ending in ("pdf", "md", "csv", "json"):
        write_comparison(demo(), side, tmp_path / f"c.{ending}")
    assert (tmp_path / "c.pdf").read_bytes()[:5] == b"%PDF-"
    assert (tmp_path / "c.md").read_text(encoding="utf-8").startswith("# Kelder Coast")
    with pytest.raises(WorkbenchError, match="of one project"):
        write_comparison(demo(), side, tmp_path / "c.xlsx")
    write_comparison(demo(), of_demos(2), tmp_path / "c.xlsx")
    assert (tmp_path / "c.xlsx").read_bytes()[:2] == b"PK"


@pytest.mark.parametrize("basis", ["portion", "per_hour"])
def test_csv_and_json_hold_every_figure_of_every_variant(basis: Basis) -> None:
    side = of_demos(6, basis, reference=2)
    data = json.loads(json.dumps(comparison_data(side, "squares"), allow_nan=False))
    rows = list(csv.DictReader(io.StringIO(comparison_csv(side).decode("utf-8-sig"), newline="")))
    assert len(rows) == 6 * (len(side.rows) + len(side.ingredients))
    named = {(row["variant_id"], row["project"], row["key"]): row for row in rows if row["what"] == "quantity"}
    assert {row["project"] for row in rows} == {"", "buckwheat_fig_bars"}
    assert [each["key"] for each in data["quantities"]] == list(side.order)
    for k, column in enumerate(side.columns):
        for each, told in zip(side.rows, data["quantities"], strict=True):
            bound = column.evaluation.bound(each.quantity.key, basis)
            row = named[column.evaluation.variant.id, column.project, each.quantity.key]
            value = bound.value if bound.known else None
            assert told["figures"][k]["value"] == value
            assert row["value"] == ("" if value is None else f"{value:.12g}")
            assert row["high"] == (f"{bound.high:.12g}" if math.isfinite(bound.high) else "")
            assert row["way"] == told["ways"][k]


def test_text_of_users_stays_text() -> None:
    food = make_food("f", {"FAT": 7.0}, name='=HYPERLINK("x") | *boo* <b>')
    variants = [
        make_variant(make_line(food, 50.0 * k), id=f"v{k}", name=f"+{k}|<i>\t\n", notes="# <x>") for k in (1, 2)
    ]
    project = make_project([food], *variants)
    side = compared(project, [evaluated(project, v.id) for v in variants], "portion")
    lines = comparison_tsv(side).splitlines()
    assert "'=HYPERLINK" in comparison_tsv(side)
    assert not [cell for line in lines for cell in line.split("\t") if cell.startswith(("=", "@", "\t"))]
    heads = [line for line in lines if "<i>" in line]
    assert len(heads) == 2 and {line.count("\t") for line in heads} == {4, 2}, "a row each, and no cell more"
    markdown = comparison_markdown(side, "# squares")
    tables = [line.replace("\\|", "") for line in markdown.splitlines() if line.startswith("|")]
    assert {line.count("|") for line in tables[: len(QUANTITIES) + 2]} == {6}
    assert "<b>" not in comparison_html(side) and "<i>" not in comparison_html(side)
    assert [markdown.count(caution) for caution in CAUTIONS] == [1] * len(CAUTIONS)


def test_the_clipboard_has_the_same_cells_as_table_and_as_text() -> None:
    class Cells(HTMLParser):
        def __init__(self) -> None:
            super().__init__()
            self.rows: list[list[str]] = []
            self.inside = False

        def handle_starttag(self, tag: str, attrs: object) -> None:
            if tag == "tr":
                self.rows.append([])
            self.inside = tag in ("td", "th")
            if self.inside:
                self.rows[-1].append("")

        def handle_endtag(self, tag: str) -> None:
            self.inside = False

        def handle_data(self, data: str) -> None:
            if self.inside:
                self.rows[-1][-1] += data

    side = of_demos(4)
    found = Cells()
    found.feed(comparison_html(side))
    assert found.rows == [line.split("\t") for line in comparison_tsv(side).splitlines() if line]
