"""Preview, dry run, import, and what stopping leaves behind."""

import threading
from pathlib import Path

import pytest

from tests.bench.fdc_folder import write_folder
from tests.unit.composition.imports.tables import FDC, write_files
from workbench.base.progress import Cancelled, Progress
from workbench.composition.imports.detection import detect, make_plan, signature
from workbench.composition.imports.running import dry_run, preview, run
from workbench.composition.library.store import Library

TODAY = "2026-05-02"


def test_a_preview_shows_the_first_foods_as_they_would_come_in(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "fdc", 30, 45)
    foods, _tally = preview(make_plan(folder, detect(folder)), 5)
    assert [food.id for food in foods] == [str(500_000 + k) for k in range(5)]


def test_a_dry_run_checks_every_row_and_writes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text(
        "food,WATER,PROCNT,FAT,CHOCDF,FIBTG,ASH\nfine,10,10,5,73,9,2\ntoo much,60,20,15,30,2,2\n"
        "fibre left out,10,10,5,63,10,2\n"
    )
    report = dry_run(make_plan(path, detect(path)), Progress())
    assert (report.foods, report.values, report.summary) == (3, 18, None)
    assert {count.code: count.n for count in report.quality} == {"table_closure": 1, "table_fibre_left_out": 1}
    assert "too much" in next(c for c in report.quality if c.code == "table_closure").first[0].sentence()
    assert next(taken for taken in report.taken if taken.tag == "FIBTG").columns == ("FIBTG",)


def test_an_import_and_the_same_again(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "fdc", FDC)
    plan = make_plan(folder, detect(folder), title="FoodData, a part")
    with Library.open(tmp_path / "library.sqlite") as library:
        first = run(plan, library, Progress(), imported=TODAY, version="2026-04").summary
        again = run(plan, library, Progress(), imported=TODAY, version="2026-04").summary
        assert first is not None
        assert again is not None
        assert (first.added, again.added, again.same) == (2, 0, 2)
        info = library.tables()["fdc"]
        assert (info.title, info.version, info.imported, info.file) == ("FoodData, a part", "2026-04", TODAY, "fdc")
        oats = library.food("fdc:1")
        assert oats is not None
        assert oats.values["PROCNT"].source == "fdc"


def test_a_table_that_breaks_off_leaves_the_library_as_it_was(tmp_path: Path) -> None:
    files = dict(FDC)
    files["food_portion.csv"] = 'fdc_id,gram_weight\n1,"' + "9" * 200_000
    folder = write_files(tmp_path / "fdc", files)
    with Library.open(tmp_path / "library.sqlite") as library:
        with pytest.raises(Exception, match="told apart"):
            run(make_plan(folder, detect(folder)), library, Progress(), imported=TODAY)
        assert library.count() == 0
        assert not library.tables()


class _Stops(Progress):
    """Asks to stop after so many steps, and notes when."""

    def __init__(self, after: int) -> None:
        super().__init__()
        self.left, self.figures = after, []  # type: ignore[var-annotated]

    def shown(self, done: int, total: int | None) -> None:
        self.figures.append((done, total))
        self.left -= 1
        self.cancelled = self.left <= 0


@pytest.mark.parametrize("after", [1, 4, 12])
def test_stopping_at_any_stage_leaves_the_library_as_it_was(tmp_path: Path, after: int) -> None:
    folder = write_folder(tmp_path / "fdc", 600, 60)
    progress = _Stops(after)
    with Library.open(tmp_path / "library.sqlite") as library:
        with pytest.raises(Cancelled):
            run(make_plan(folder, detect(folder)), library, progress, imported=TODAY)
        assert library.count() == 0
    assert all(total is not None and 0 <= done <= total for done, total in progress.figures)
    assert progress.figures == sorted(progress.figures)


def test_stopping_from_another_thread_ends_the_work(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "fdc", 2000, 60)
    begun, told, seen = threading.Event(), threading.Event(), []

    class Waiting(Progress):
        def shown(self, done: int, total: int | None) -> None:
            begun.set()
            told.wait(10)

    plan, progress = make_plan(folder, detect(folder)), Waiting()

    def work() -> None:
        try:
            dry_run(plan, progress)
        except Cancelled as stopped:
            seen.append(stopped)

    thread = threading.Thread(target=work)
    thread.start()
    assert begun.wait(10)
    progress.cancelled = True
    told.set()
    thread.join(10)
    assert not thread.is_alive()
    assert seen


def test_a_table_is_known_again_by_its_titles_in_any_order(tmp_path: Path) -> None:
    one, other, third = (tmp_path / name for name in ("a.csv", "b.csv", "c.csv"))
    one.write_text("food,protein,fat,x\noats,13,7,1\n")
    other.write_text("x,food,fat,protein\n1,figs,1,3\n")
    third.write_text("food,protein,fat\nrice,7,1\n")
    assert signature(detect(one)) == signature(detect(other)) != signature(detect(third))
