"""Sets of targets kept for other projects: whole or not at all, and one message for a file that is no good."""

import json
from pathlib import Path

import pytest

from workbench.base.errors import FileError
from workbench.document.project import Target, TargetSet
from workbench.document.target_sets import taken_over
from workbench.storage.kept_targets import forget_target_set, keep_target_set, kept_target_sets, kept_targets_file

RACE = TargetSet(
    id="a",
    name="gravel & race",
    targets=(Target(id="b", quantity="CHOAVLDF", low=20.0, high=25.0, aim=22.5, strength="prefer", source="own"),),
)
RIDE = TargetSet(id="c", name="all day", targets=(Target(id="d", quantity="FAT", basis="per_hour", high=8.0),))


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("POCKETFARE_HOME", str(tmp_path / "new" / "home"))


def test_sets_are_kept_under_their_names_and_forgotten() -> None:
    assert kept_target_sets() == ()
    keep_target_set(RACE)
    keep_target_set(RIDE)
    assert kept_target_sets() == (RIDE, RACE)
    wider = TargetSet(id="e", name="all day")
    keep_target_set(wider)
    assert kept_target_sets() == (wider, RACE), "in place of the one of the same name"
    forget_target_set("all day")
    assert kept_target_sets() == (RACE,)
    (kept,) = json.loads(kept_targets_file().read_text(encoding="utf-8"))["target_sets"]
    assert kept["targets"][0]["aim"] == 22.5, "readable by hand"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"format": "pocketfare-targets", "version": 2, "target_sets": []}',
        '{"format": "of another program", "version": 1, "target_sets": []}',
        '{"target_sets": [{"id": "a", "name": "n", "targets": [{"id": "b", "quantity": "FAT", "high": "much"}]}]}',
        '{"target_sets": [{"id": "a", "name": "n", "targets": [{"id": "b", "quantity": "FAT", "high": NaN}]}]}',
        '{"target_sets": []}' + 1024 * 1024 * " ",
    ],
)
def test_a_bad_file_is_one_message_and_is_never_written_over(text: str) -> None:
    file = kept_targets_file()
    file.parent.mkdir(parents=True)
    file.write_text(text, encoding="utf-8")
    for work in (kept_target_sets, lambda: keep_target_set(RACE), lambda: forget_target_set("x")):
        with pytest.raises(FileError) as caught:
            work()
        assert caught.value.where == str(file) and caught.value.hint
    assert file.read_text(encoding="utf-8") == text


def test_a_folder_that_cannot_be_made_is_one_message(tmp_path: Path) -> None:
    (tmp_path / "new").symlink_to(tmp_path / "a disk that is not plugged in" / "home")
    assert kept_target_sets() == ()
    with pytest.raises(FileError, match="cannot be made") as caught:
        keep_target_set(RACE)
    assert caught.value.where == str(kept_targets_file().parent) and caught.value.hint


def test_what_a_project_takes_over_is_its_own_under_a_free_name() -> None:
    beside = [TargetSet(id="x", name="gravel & race"), TargetSet(id="y", name="gravel & race 2")]
    own = taken_over(RACE, beside)
    assert own.name == "gravel & race 3" and own.id != RACE.id
    assert own.targets[0].id != "b" and own.targets[0].aim == 22.5
