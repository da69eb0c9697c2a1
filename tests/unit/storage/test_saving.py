"""Saving: readable, the same every time, whole or not at all; migrations; recovery copies; recent files; the schema."""

import errno
import json
import os
import socket
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from msgspec.structs import replace

from tests.unit.storage.test_loading import decode, refused, sound
from workbench.base.errors import FileError
from workbench.base.files import this_program
from workbench.base.paths import resources, user_config, user_state
from workbench.document.project import Project, Stage, Variant
from workbench.storage import recovery
from workbench.storage.findings import ProjectFileError
from workbench.storage.migrations import MIGRATIONS, migrate
from workbench.storage.project_file import content_hash, decode_project, encode_project, load_project, save_project
from workbench.storage.recent import MAX_RECENT, add_recent, forget_recent, recent_files
from workbench.storage.schema import FILE, encoded_schema, project_schema

Plain = dict[str, Any]


@pytest.fixture
def project() -> Project:
    return decode(sound()).project


# --- saving -----------------------------------------------------------------------------------------------------------


def test_a_saved_file_is_readable_text(project: Project, tmp_path: Path) -> None:
    path = tmp_path / "squares.fare"
    written = save_project(path, replace(project, title="Maïs – carrés"))
    text = path.read_text(encoding="utf-8")
    assert text.startswith('{\n "format": "pocketfare-project",\n "schema_version": 1,\n')
    assert text.endswith("}\n")
    assert "Maïs – carrés" in text
    loaded = load_project(path)
    assert loaded.project.title == "Maïs – carrés"
    assert loaded.source_hash == written == content_hash(path.read_bytes())


def test_a_full_disk_leaves_the_old_file(project: Project, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    before = path.read_bytes()

    def full(*_args: object) -> None:
        raise OSError(errno.ENOSPC, "no space")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileError, match="The disk is full"):
        save_project(path, replace(project, title="newer"))
    assert path.read_bytes() == before
    assert os.listdir(tmp_path) == ["squares.fare"]


def test_what_could_not_be_opened_again_is_not_saved(project: Project, tmp_path: Path) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    before = path.read_bytes()
    race = project.variants[0]
    spoiled = replace(race, lines=(replace(race.lines[0], amount_g=float("nan")),))
    with pytest.raises(ProjectFileError) as caught:
        save_project(path, replace(project, variants=(spoiled,)))
    assert caught.value.summary.startswith("The project was not saved")
    assert "amount_g must be a number, not null" in caught.value.problems[0].message
    assert path.read_bytes() == before


def test_half_a_character_does_not_prevent_saving(project: Project) -> None:
    data = encode_project(replace(project, notes="a\ud83db"), {(): {"later": 1}})
    loaded = decode_project(data)
    assert loaded.project.notes == "a?b"
    assert loaded.extras == {(): {"later": 1}}


def test_unknown_keys_go_back_to_the_same_object_or_nowhere() -> None:
    plain = sound()
    race, original = plain["variants"]
    race["lines"][0]["later"] = 1
    original["later"] = {"a": [1]}
    race["stages"][0]["weight"] = {"how": "none", "later": 2}
    plain["foods"]["meal"]["measures"] = [{"name": "cup", "grams": 160, "later": 3}]
    loaded = decode(plain)
    race_now, original_now = loaded.project.variants

    renamed = replace(loaded.project, variants=(replace(original_now, name="New name"), race_now))
    again = json.loads(encode_project(renamed, loaded.extras))
    assert again["variants"][0]["later"] == {"a": [1]}
    assert again["variants"][1]["lines"][0]["later"] == 1
    assert again["variants"][1]["stages"][0]["weight"]["later"] == 2
    assert again["foods"]["meal"]["measures"][0]["later"] == 3

    gone = replace(loaded.project, variants=(Variant(id="new", name="Original", stages=race_now.stages),))
    assert "later" not in json.dumps(json.loads(encode_project(gone, loaded.extras))["variants"])


# --- migrations -------------------------------------------------------------------------------------------------------


def _from_0(plain: Plain) -> Plain:
    plain["title"] = plain.pop("heading")
    return {**plain, "schema_version": 1}


def test_an_older_file_is_brought_up_step_by_step() -> None:
    plain = sound()
    plain |= {"schema_version": 0, "heading": plain.pop("title")}
    loaded = decode_project(json.dumps(plain).encode(), migrations={0: _from_0})
    assert loaded.project.title == "squares"
    assert [(problem.code, problem.severity) for problem in loaded.problems] == [("migrated", "notice")]

    steps = {1: lambda p: {**p, "seen": [1], "schema_version": 2}, 2: lambda p: {**p, "seen": [*p["seen"], 2]}}
    assert migrate({"schema_version": 1}, steps, current=3)["seen"] == [1, 2]


def test_version_1_is_the_first() -> None:
    assert MIGRATIONS == {}
    assert migrate({"schema_version": 1}) == {"schema_version": 1}


def test_an_older_file_of_the_wrong_shape_gives_a_message() -> None:
    with pytest.raises(ProjectFileError, match="but not its shape"):
        decode_project(json.dumps({**sound(), "schema_version": 0}).encode(), migrations={0: _from_0})


# --- recovery ---------------------------------------------------------------------------------------------------------


@pytest.fixture
def crashed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Copies look as if another run of the program had left them behind."""
    monkeypatch.setattr(recovery, "this_program", lambda: this_program()._replace(run="before the crash"))


@pytest.mark.usefixtures("crashed")
def test_a_copy_beside_the_project_is_found_and_removed(project: Project, tmp_path: Path) -> None:
    path = tmp_path / "squares.fare"
    saved = save_project(path, project)
    copy = recovery.RecoveryCopy(path, saved)
    file = copy.write(replace(project, title="unsaved"), {(): {"later": 1}})
    assert file == tmp_path / ".squares.fare.recovery"
    found = recovery.find_recovery(path)
    assert found is not None
    assert found.loaded.project.title == "unsaved"
    assert found.loaded.extras == {(): {"later": 1}}
    assert [problem.parts["key"] for problem in found.loaded.problems] == ["later"]
    assert (found.file, found.original, found.original_hash) == (file, path, saved)
    assert found.writer is not None
    copy.remove()
    copy.remove()
    assert recovery.find_recovery(path) is None
    assert os.listdir(tmp_path) == ["squares.fare"]


@pytest.mark.usefixtures("crashed")
def test_a_project_never_saved_is_an_orphan(project: Project) -> None:
    file = recovery.RecoveryCopy(None).write(project, {})
    assert file.parent == user_state() / "recovery"
    (orphan,) = recovery.list_orphans()
    assert (orphan.file, orphan.original, orphan.loaded.project) == (file, None, project)
    assert orphan.loaded.problems == ()
    recovery.discard(file)
    assert recovery.list_orphans() == []


@pytest.mark.usefixtures("crashed")
def test_a_read_only_folder_sends_the_copy_to_the_state_folder(
    project: Project, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    write = recovery.write_atomically

    def refuse_here(target: Path, data: bytes) -> None:
        if target.parent == tmp_path:
            raise FileError("read-only")
        write(target, data)

    monkeypatch.setattr(recovery, "write_atomically", refuse_here)
    copy = recovery.RecoveryCopy(path)
    file = copy.write(project, {})
    assert file.parent == user_state() / "recovery"
    assert copy.write(project, {}) == file  # and stays there
    found = recovery.find_recovery(path)
    assert found is not None
    assert found.original == path
    assert recovery.list_orphans() == []
    path.unlink()
    assert [orphan.file for orphan in recovery.list_orphans()] == [file]


@pytest.mark.usefixtures("crashed")
@pytest.mark.parametrize("deletable", [True, False])
def test_the_newest_copy_is_offered_where_the_folder_cannot_be_written_to_any_more(
    project: Project, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, deletable: bool
) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    write, discard = recovery.write_atomically, recovery.discard
    copy = recovery.RecoveryCopy(path)
    beside = copy.write(replace(project, title="ten minutes ago"), {})
    os.utime(beside, (1_000_000_000, 1_000_000_000))

    def refuse_here(target: Path, data: bytes) -> None:
        if target.parent == tmp_path:
            raise FileError("full, or read-only")
        write(target, data)

    def keep_here(target: Path) -> None:
        if deletable or target.parent != tmp_path:
            discard(target)

    monkeypatch.setattr(recovery, "write_atomically", refuse_here)
    monkeypatch.setattr(recovery, "discard", keep_here)
    copy.write(replace(project, title="now"), {})
    assert beside.exists() != deletable
    found = recovery.find_recovery(path)
    assert found is not None and found.loaded.project.title == "now"


def test_the_copy_of_a_window_that_is_open_is_not_offered(project: Project, tmp_path: Path) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    recovery.RecoveryCopy(path).write(project, {})
    assert recovery.find_recovery(path) is None
    (tmp_path / ".squares.fare.recovery").unlink()
    recovery.RecoveryCopy(None).write(project, {})
    assert recovery.list_orphans() == []


def test_damaged_and_foreign_copies_are_passed_over(project: Project, tmp_path: Path) -> None:
    path = tmp_path / "squares.fare"
    beside = tmp_path / ".squares.fare.recovery"
    for data in (b"{", encode_project(project), encode_project(project, {(): {"recovery_of": "x"}})):
        beside.write_bytes(data)
        assert recovery.find_recovery(path) is None
    about = {"path": str(path), "hash": "", "writer": {"pid": 0, "host": socket.gethostname()}}
    beside.write_bytes(encode_project(project, {(): {"recovery_of": about}}))
    found = recovery.find_recovery(path)
    assert found is not None
    assert found.writer is None


# --- recent files -----------------------------------------------------------------------------------------------------


def test_recent_files_newest_first_and_missing_ones_marked(tmp_path: Path) -> None:
    assert recent_files() == []
    paths = [tmp_path / f"{k}.fare" for k in range(MAX_RECENT + 3)]
    paths[-1].touch()
    for path in paths:
        add_recent(path)
    add_recent(paths[-2])
    expected = [paths[-2], paths[-1], *paths[-3:2:-1]]
    assert [recent.path for recent in recent_files()] == expected
    assert len(expected) == MAX_RECENT
    assert [recent.path for recent in recent_files() if recent.exists] == [paths[-1]]
    forget_recent(paths[-2])
    assert [recent.path for recent in recent_files()] == expected[1:]


@pytest.mark.parametrize("text", ["{", "{}", "[1]", "\ud800"])
def test_a_damaged_list_is_empty(text: str) -> None:
    user_config().mkdir(parents=True)
    (user_config() / "recent.json").write_bytes(text.encode("utf-8", "surrogatepass"))
    assert recent_files() == []


def test_a_list_that_cannot_be_written_says_so() -> None:
    user_config().parent.mkdir(parents=True)
    user_config().touch()  # a file where the folder should be
    with pytest.raises(FileError):
        add_recent(Path("a.fare"))


# --- the published schema ---------------------------------------------------------------------------------------------


def test_the_published_schema_is_the_one_the_program_reads_by() -> None:
    """If this fails after a change of the document: ``python -m workbench.storage.schema``, then review the change."""
    assert (resources() / "schema" / FILE).read_bytes() == encoded_schema()


def test_the_schema_accepts_a_project_and_refuses_a_broken_one(project: Project) -> None:
    """jsonschema as outside judge: what it refuses, the program refuses."""
    schema = project_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    judge = jsonschema.Draft202012Validator(schema)
    assert judge.is_valid(json.loads(encode_project(project)))
    assert judge.is_valid(sound())
    golden = Path(__file__).parents[2] / "golden" / "project-1.fare"
    assert judge.is_valid(json.loads(golden.read_text(encoding="utf-8")))
    for change in (
        {"format": "another"},
        {"schema_version": 2},
        {"title": 1},
        {"measures": "imperial"},
        {"variants": [{"id": "v", "name": "V", "portioning": {"by": "count", "count": 0}}]},
        {"variants": [{"id": "v", "name": "V", "lines": [{"id": "l", "stage_id": "s", "amount_g": -1}]}]},
    ):
        broken = {**sound(), **change}
        assert not judge.is_valid(broken)
        refused(broken)
    for key in ("format", "schema_version", "id", "title"):
        broken = sound()
        del broken[key]
        assert not judge.is_valid(broken)
        refused(broken)


def test_the_schema_is_written_by_its_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import runpy

    from workbench.base import paths

    (tmp_path / "schema").mkdir()
    monkeypatch.setattr(paths, "resources", lambda: tmp_path)
    with pytest.warns(RuntimeWarning, match="found in sys.modules"):
        runpy.run_module("workbench.storage.schema", run_name="__main__")
    assert (tmp_path / "schema" / FILE).read_bytes() == encoded_schema()


def test_a_file_just_as_it_is_written_is_still_checked() -> None:
    variant = Variant(id="v", name="Race", parent_id="gone", stages=(Stage(id="s"),))
    project = Project(id="p", title="squares", variants=(variant,))
    loaded = decode_project(encode_project(project))
    assert loaded.project.variants[0].parent_id is None
    assert [problem.severity for problem in loaded.problems] == ["warning"]
