"""Everything that is handed over, from the terminal: written whole, or refused with the reason."""

from pathlib import Path

import pytest

from workbench.base.paths import demo_projects
from workbench.cli import main

DEMO = str(demo_projects() / "maize_squares.fare")


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
        ("compare.csv", ["--what", "compare", "--basis", "per_hour"], b"\xef\xbb\xbffrom"),
        ("results.md", [], b"# Kelder"),
        ("results.csv", [], b"\xef\xbb\xbfvariant"),
        ("results.json", [], b"{"),
    ],
)
def test_what_is_written(
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
        ("nowhere/card.pdf", ["--what", "card"], "does not exist"),
    ],
)
def test_what_is_refused(
    name: str, options: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", DEMO, "-o", str(tmp_path / name), *options]) == 2
    assert said in capsys.readouterr().err
    assert not list(tmp_path.iterdir())
