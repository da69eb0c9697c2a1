"""``pocketfare library``: what it says of the library, what it changes, and only with --yes."""

import json
from pathlib import Path

import pytest

from workbench.base.paths import library as own_library
from workbench.cli import main
from workbench.composition.bundled import bundled_foods
from workbench.composition.library.store import Library

DEMO = Path(__file__).parents[2] / "demo_projects" / "maize_squares.fare"


@pytest.fixture(autouse=True)
def figs() -> None:
    """Dried figs in the user's own library."""
    with Library.open() as library:
        library.put(bundled_foods()["figs_dried"])


def said(capsys: pytest.CaptureFixture[str], *arguments: str, code: int = 0) -> list[str]:
    assert main(["library", *arguments]) == code
    captured = capsys.readouterr()
    return (captured.err if code else captured.out).splitlines()


def test_what_is_in_it_and_what_it_costs(capsys: pytest.CaptureFixture[str]) -> None:
    assert said(capsys)[:2] == [str(own_library()), "1 food"]
    assert said(capsys, "list") == ["figs_dried  figs, dried"]
    said(capsys, "put-price", "figs_dried", "500", "4.5", "eur", "--date", "2026-03-31")
    shown = said(capsys, "show", "figs_dried")
    assert "  500 g  4.50 EUR  2026-03-31" in shown
    assert any(line.split()[:3] == ["fibre", "9.8", "g"] for line in shown)  # USDA SR26 9094
    assert any(line.startswith("  not known: ") and "maltodextrin" in line for line in shown)
    assert said(capsys, "undo") == ["taken back: “figs, dried” kept"]
    assert "  500 g  4.50 EUR  2026-03-31" not in said(capsys, "show", "figs_dried")
    assert said(capsys, "redo") == ["done again: “figs, dried” kept"]


def test_what_the_program_brings_is_priced_too_and_a_project_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """1 kg of milk for 1.20 EUR; a piece of the demo holds 35 g of it, and nothing else has a price."""
    said(capsys, "put-price", "milk_whole", "1000", "1.2", "eur", "--date", "2026-03-31")
    assert said(capsys, "list") == ["figs_dried  figs, dried", "milk_whole  milk, whole"]
    assert main(["newer", str(DEMO)]) == 1
    told = capsys.readouterr().out.splitlines()
    assert told[:2] == ["milk, whole: price", "  packs and prices: none → 1000 g   1.20 EUR   2026-03-31"]
    assert "  cost: not known → at least 0.04 EUR" in told


def test_other_programs_read_what_was_found(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["library", "show", "figs_dried", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["taken_from"]["kind"] == "library"
    assert main(["library", "search", "fgis", "--json"]) == 0
    found = {one["id"]: one["source"] for one in json.loads(capsys.readouterr().out)}
    assert found["figs_dried"] == "" and found["figs_fresh"] == "bundled"


def test_restoring_and_merging_say_first_what_they_change(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    copy = str(tmp_path / "copy.sqlite")
    assert said(capsys, "backup", copy) == [f"wrote {copy}"]
    said(capsys, "undo")
    (change,) = said(capsys, "restore", copy)
    assert change.startswith("the back-up holds 1 food") and "brings back 1, removes 0" in change
    assert said(capsys, "merge", copy) == ["new: 1, the same: 0, differing: 0"]
    assert said(capsys, "list") == []
    assert said(capsys, "merge", copy, "--yes")[-1] == "1 food taken over"
    said(capsys, "undo")
    assert said(capsys, "restore", copy, "--yes")[-1].startswith("restored; the state before is in ")
    assert said(capsys, "list") == ["figs_dried  figs, dried"]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("show", "fig_dried"), "The library has no food “fig_dried”. Did you mean “figs_dried”?"),
        (("put-price", "figs_dried", "0", "1", "EUR"), "A pack weighs more than nothing"),
        (("put-price", "figs_dried", "nan", "1", "EUR"), "A pack weighs more than nothing"),
        (("put-price", "figs_dried", "inf", "1", "EUR"), "A pack weighs more than nothing"),
        (("put-price", "figs_dried", "500", "2000000", "EUR"), "A pack weighs more than nothing"),
        (("put-price", "figs_dried", "5", "1", "EUR", "--date", "31.3.26"), "“31.3.26” is not a day."),
        (("restore", "nowhere.sqlite"), "nowhere.sqlite: There is no such file."),
        (("backup", "."), ".: This is a folder."),
    ],
)
def test_what_cannot_be_done_is_said(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], message: str
) -> None:
    (line,) = said(capsys, *arguments, code=2)
    assert line.startswith(message)


def test_a_file_named_by_hand_that_is_no_library_stays_where_it_is(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    notes = tmp_path / "notes.txt"
    notes.write_text("what the club liked\n" * 50)
    for arguments in (("--library", str(notes), "list"), ("list", "--library", str(notes)), ("restore", str(notes))):
        (line,) = said(capsys, *arguments, code=2)
        assert line.startswith(f"{notes}: The file is not a library") and line.endswith("Choose another file.")
    assert [each.name for each in tmp_path.iterdir() if each.suffix == ".txt"] == ["notes.txt"]
    assert notes.read_text().startswith("what the club liked")
