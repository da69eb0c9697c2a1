"""CSV, JSON and Markdown that are handed over, read back: figures are figures, text of users stays text."""

import csv
import io
import json
import math
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.base.errors import FileError
from workbench.document.avoid import PLANT_BASED
from workbench.document.project import ByCount, Project
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.pack_statement import PackStatement, pack_statement
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.words import CAUTIONS
from workbench.report.csv_files import csv_bytes, declaration_csv, results_csv
from workbench.report.handing_over import write_declaration, write_results
from workbench.report.markdown import declaration_markdown, escaped, results_markdown

OATS = make_food("oats", {"CHOAVLDF": 60.0, "FAT": 7.0, "NA": 400.0}, contains=("gluten_oats",), origin="plant")
EVIL = make_food("evil", {"CHOAVLDF": 80.0}, name='=HYPERLINK("x") | *boo*', contains=("milk",), origin="dairy")


def variants() -> tuple[Project, list[Evaluation]]:
    first = make_variant(make_line(OATS, 300.0), id="a", name="plain", portioning=ByCount(count=10))
    second = make_variant(
        make_line(OATS, 200.0), make_line(EVIL, 100.0), id="b", name="+1|2", portioning=ByCount(count=10)
    )
    project = make_project([OATS, EVIL], first, second, title="# squares")
    return project, [evaluated(project, "a"), evaluated(project, "b")]


def statements() -> tuple[Project, list[tuple[str, PackStatement]]]:
    project, evaluations = variants()
    return project, [(each.variant.name, pack_statement(project, each)) for each in evaluations]


def rows(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_every_quantity_is_a_row_and_an_unknown_one_is_blank() -> None:
    _project, evaluations = variants()
    found = rows(results_csv(evaluations))
    assert {row["key"] for row in found} == QUANTITIES.keys()
    by_key = {(row["variant"], row["basis"], row["key"]): row for row in found}
    carbohydrate = by_key["plain", "portion", "CHOAVLDF"]
    assert (float(carbohydrate["value"]), carbohydrate["certainty"]) == (18.0, "exact")
    fat = by_key["'+1|2", "batch", "FAT"]
    assert (float(fat["low"]), fat["high"], fat["certainty"]) == (14.0, "", "at_least")
    assert fat["unknown_in"].startswith("'=HYPERLINK")
    fibre = by_key["plain", "batch", "FIBTG"]
    assert (fibre["value"], fibre["certainty"]) == ("", "not_known")


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "\tx", "\rx"])
def test_no_text_becomes_a_formula(text: str) -> None:
    (row,) = csv.reader(io.StringIO(csv_bytes([(text, -1.5, math.inf, None)]).decode("utf-8-sig"), newline=""))
    assert row == [f"'{text}", "-1.5", "", ""]


def test_a_declaration_as_rows() -> None:
    _project, said = statements()
    found = rows(declaration_csv(said))
    second = [row for row in found if row["variant"] == "'+1|2"]
    assert [row["name"] for row in second if row["what"] == "ingredient"] == ["oats", f"'{EVIL.name}"]
    words = {row["what"]: row["text"] for row in second}
    assert words["contains"] == "cereals containing gluten (oats); milk"
    assert words["ingredients"] == 'OATS; =HYPERLINK("x") | *boo* (MILK)'
    (fat,) = (row for row in found if (row["variant"], row["what"], row["name"]) == ("plain", "per 100 g", "fat"))
    assert (fat["text"], fat["value"], fat["least"], fat["most"]) == ("7.0 g", "7", "5.5", "8.5")


def test_markdown_of_users_stays_text() -> None:
    assert escaped("a|b\n# c") == "a\\|b \\# c"
    assert [escaped(text) for text in ("- x", "1. x", "6.7 g", "-1.5", "---")] == [
        "\\- x",
        "1\\. x",
        "6.7 g",
        "-1.5",
        "\\---",
    ]


def test_a_declaration_in_markdown_sets_allergens_bold_and_says_each_caution_once() -> None:
    text = declaration_markdown(*statements(), written=date(2026, 5, 2))
    assert "- ingredients: **OATS**; =HYPERLINK" in text and "(**MILK**)" in text
    assert "written on 2026-05-02" in text
    assert "not declarable: value missing in oats" in text
    assert [text.count(caution) for caution in CAUTIONS] == [1] * len(CAUTIONS)


def test_results_in_markdown_have_every_quantity_and_each_caution_once() -> None:
    project, evaluations = variants()
    text = results_markdown(project, evaluations)
    assert "| fibre | not known |" in text
    assert "| carbohydrate (without fibre) | 18.0 g | 60.0 g | 25.0 g |" in text
    assert [text.count(caution) for caution in CAUTIONS] == [1] * len(CAUTIONS)


def test_results_in_markdown_name_the_lines_that_are_to_be_avoided() -> None:
    project, evaluations = variants()
    vegan = replace(project, avoid=PLANT_BASED)
    text = results_markdown(vegan, evaluations)
    assert text.count("⊘ avoid: made from milk") == 1, "of the second variant alone"
    assert r"- =HYPERLINK" in text, "the name stays text"
    assert "⊘" not in results_markdown(project, evaluations)


def test_the_ending_says_what_is_written(tmp_path: Path) -> None:
    project, evaluations = variants()
    _project, said = statements()
    for ending in ("csv", "json", "md", "xlsx"):
        write_results(project, evaluations, tmp_path / f"r.{ending}")
    assert [v["name"] for v in json.loads((tmp_path / "r.json").read_bytes())["variants"]] == ["plain", "+1|2"]
    assert (tmp_path / "r.xlsx").read_bytes()[:2] == b"PK"
    for ending in ("csv", "json", "md"):
        write_declaration(project, said, tmp_path / f"d.{ending}")
    first = json.loads((tmp_path / "d.json").read_bytes())["declarations"][0]
    assert first["allergens"] == ["gluten_oats"]
    fat = next(line for line in first["per_100g"] if line["key"] == "FAT")
    assert (fat["printed"], fat["least"], fat["most"]) == (7.0, 5.5, 8.5)
    fibre = next(line for line in first["per_100g"] if line["key"] == "FIBTG")
    assert fibre["printed"] is None and fibre["computed"]["unknown"] == ["oats"]
    with pytest.raises(FileError):
        write_results(project, evaluations, tmp_path / "nowhere" / "r.md")
