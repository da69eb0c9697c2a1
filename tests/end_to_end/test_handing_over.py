"""Everything that is handed over, from the terminal: written whole, or refused with the reason."""

import json
from pathlib import Path

import pytest
from msgspec.structs import replace

from workbench.base.paths import demo_projects
from workbench.cli import main
from workbench.storage.project_file import load_project, save_project

DEMO = str(demo_projects() / "maize_squares.fare")
OTHER = str(demo_projects() / "buckwheat_fig_bars.fare")
FROM_OTHER = ["--with", f"{OTHER}:Race"]


@pytest.mark.parametrize(
    ("name", "options", "start"),
    [
        ("card.pdf", ["--what", "card", "--paper", "letter", "--variant", "Race"], b"%PDF-"),
        ("labels.pdf", ["--what", "labels", "--made", "2026-05-02", "--lot", "A1", "--start", "7"], b"%PDF-"),
        ("own.pdf", ["--what", "labels", "--sheet", "210,297,5,5,8,3,66,35", "--copies", "2"], b"%PDF-"),
        ("declaration.md", ["--what", "declaration", "--title", "squares"], b"# Kelder"),
        ("us.csv", ["--what", "declaration", "--rules", "us"], b"\xef\xbb\xbfvariant"),
        ("declaration.json", ["--what", "declaration"], b"{"),
        ("compare.md", ["--what", "compare", "--variant", "Race", "--variant", "Long ride"], b"# Kelder"),
        ("compare.csv", ["--what", "compare", "--basis", "per_hour"], b"\xef\xbb\xbfvariant"),
        (
            "compare.pdf",
            ["--what", "compare", "--reference", "Plant-based", "--paper", "letter", *FROM_OTHER],
            b"%PDF-",
        ),
        ("compare.json", ["--what", "compare", *FROM_OTHER], b"{"),
        ("compare.xlsx", ["--what", "compare", "--variant", "Race", "--variant", "Original"], b"PK"),
        ("results.md", [], b"# Kelder"),
        ("results.csv", [], b"\xef\xbb\xbfvariant"),
        ("results.json", [], b"{"),
    ],
)
def test_what_is_asked_for_is_written_with_the_same_bytes_each_time(
    name: str, options: list[str], start: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / name
    assert main(["export", DEMO, "-o", str(target), *options]) == 0
    assert target.read_bytes().startswith(start)
    assert str(target) in capsys.readouterr().out
    once = target.read_bytes()
    assert main(["export", DEMO, "-o", str(target), *options]) == 0
    assert target.read_bytes() == once, "the same bytes each time"


@pytest.mark.parametrize(
    ("name", "options", "said"),
    [
        ("card.md", ["--what", "card"], "end in .pdf"),
        ("labels.pdf", ["--what", "labels", "--start", "99"], "1 to 24"),
        ("labels.pdf", ["--what", "labels", "--copies", "0"], "Print 1 to"),
        ("labels.pdf", ["--what", "labels", "--sheet", "210,297,0,0,8,3,80,37"], "wider than the page"),
        ("compare.md", ["--what", "compare", "--variant", "Race"], "two"),
        ("compare.md", ["--what", "compare", "--with", OTHER], "too many"),
        ("compare.md", ["--what", "compare", "--with", f"{OTHER}:Rase"], "buckwheat_fig_bars.fare: The project has no"),
        ("compare.md", ["--what", "compare", "--with", "nowhere.fare:Race"], "nowhere.fare"),
        ("compare.md", ["--what", "compare", "--with", "Race"], "other.fare:Race"),
        ("compare.md", ["--what", "compare", "--reference", "Rase"], "“Long ride”"),
        ("compare.md", ["--what", "compare", "--reference", "Race", *FROM_OTHER], "by its id"),
        ("compare.xlsx", ["--what", "compare", *FROM_OTHER], "Race (buckwheat_fig_bars)"),
        ("nowhere/card.pdf", ["--what", "card"], "does not exist"),
    ],
)
def test_what_makes_no_sense_is_refused_and_writes_nothing(
    name: str, options: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", DEMO, "-o", str(tmp_path / name), *options]) == 2
    assert said in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_project_with_other_rules_is_measured_by_those_of_this_one_and_that_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = load_project(demo_projects() / "maize_squares.fare").project
    bare = replace(other, assumptions=replace(other.assumptions, starch_by_difference=False))
    save_project(tmp_path / "bare.fare", bare)
    target = tmp_path / "c.json"
    choice = ["--what", "compare", "--variant", "Original", "--with", f"{tmp_path / 'bare.fare'}:Original"]
    assert main(["export", DEMO, "-o", str(target), *choice]) == 0
    assert "by other rules" in capsys.readouterr().err
    told = json.loads(target.read_bytes())
    assert [variant["project"] for variant in told["variants"]] == [None, "bare"]
    assert {way for quantity in told["quantities"] for way in quantity["ways"]} <= {"same", "cannot_tell"}
