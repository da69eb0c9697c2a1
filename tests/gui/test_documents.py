"""Files: nothing is lost, nothing half-written, and every trouble is said in words."""

import json
import os
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tests.gui.conftest import FakeMessages
from workbench.base.files import FileLock
from workbench.base.settings import SettingsFile
from workbench.document import edits
from workbench.document.project import Project
from workbench.storage.project_file import load_project, save_project
from workbench.storage.recent import recent_files
from workbench.ui.documents import demo_names
from workbench.ui.main_window import MainWindow

SYRUP = "line-corn_syrup_light"


def change(window: MainWindow, grams: float = 200) -> None:
    session = window.session
    session.apply(edits.set_amount(session.project, session.variant_id, SYRUP, grams))


def another_window(qtbot: QtBot, messages: FakeMessages) -> MainWindow:
    made = MainWindow(SettingsFile(), lambda _theme: None, None, messages)  # type: ignore[arg-type]  # a fake
    qtbot.addWidget(made)
    messages.answers["ask_save"] = "discard"
    return made


def died(recovery: Path) -> None:
    """Make a recovery copy look as if the program that wrote it no longer runs."""
    plain = json.loads(recovery.read_text(encoding="utf-8"))
    plain["recovery_of"]["writer"]["run"] = "another"
    recovery.write_text(json.dumps(plain), encoding="utf-8")


def test_what_is_saved_opens_the_same(qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path) -> None:
    path = tmp_path / "squares.fare"
    change(window)
    assert window.isWindowModified()
    messages.answers["ask_save_as"] = str(path)
    assert window.documents.save()
    assert not window.isWindowModified()
    assert window.windowTitle() == "squares.fare[*] – Pocketfare"
    saved = window.session.project
    window.session.undo_stack.undo()
    assert window.isWindowModified()
    assert window.documents.open(path)  # answering "discard"
    assert window.session.project == saved
    assert not window.session.undo_stack.canUndo()
    assert [recent.path for recent in recent_files()] == [path]
    change(window, 210)
    del messages.answers["ask_save_as"]  # the second save asks nothing
    assert window.documents.save()
    assert load_project(path).project == window.session.project
    messages.answers["ask_save"] = "discard"


def test_cancel_keeps_the_window_and_save_saves(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path
) -> None:
    change(window)
    messages.answers["ask_save"] = "cancel"
    assert not window.close()
    assert window.isVisible()
    window.documents.new()
    assert window.session.variant.lines
    messages.answers |= {"ask_save": "save", "ask_save_as": None}
    assert not window.close()  # no name was given
    messages.answers["ask_save_as"] = str(tmp_path / "kept")
    assert window.close()
    assert load_project(tmp_path / "kept.fare").project.variants[0].lines[3].amount_g == 200


def test_a_broken_file_is_told_once_and_the_window_keeps_what_it_had(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path, project: Project
) -> None:
    broken = tmp_path / "broken.fare"
    for content in ("", "{", '{"format": "other"}'):
        broken.write_text(content, encoding="utf-8")
        messages.told.clear()
        assert not window.documents.open(broken)
        assert len(messages.told) == 1
        assert "broken.fare" in messages.told[0]
    assert not window.documents.open(tmp_path / "gone.fare")
    assert "gone.fare" in messages.told[-1]
    assert window.session.project == project


def test_a_failed_save_keeps_the_old_file_and_the_changes(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path
) -> None:
    messages.answers["ask_save_as"] = str(tmp_path / "no such folder" / "a.fare")
    change(window)
    assert not window.documents.save()
    assert "no such folder" in messages.told[-1]
    assert window.isWindowModified()
    assert window.documents.path is None


def test_a_file_that_is_open_elsewhere_can_only_be_saved_under_another_name(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path, project: Project
) -> None:
    path = tmp_path / "shared.fare"
    save_project(path, project)
    elsewhere = FileLock(path)
    elsewhere.acquire()
    assert window.documents.open(path)
    assert "open elsewhere" in " ".join(messages.told)
    assert "(read only)" in window.windowTitle()
    content = path.read_bytes()
    change(window)
    messages.answers["ask_save_as"] = str(path)
    assert not window.documents.save()
    assert path.read_bytes() == content
    messages.answers["ask_save_as"] = str(tmp_path / "mine.fare")
    assert window.documents.save()
    assert "(read only)" not in window.windowTitle()
    elsewhere.release()


def test_the_same_file_can_be_opened_again_and_the_lock_goes_with_the_window(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path, project: Project
) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    assert window.documents.open(path)
    assert window.documents.open(path)
    assert not window.documents.read_only
    assert FileLock(path).acquire() is not None
    window.close()
    assert os.listdir(tmp_path) == ["squares.fare"]


def test_a_file_changed_by_another_program_is_not_overwritten_unasked(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path, project: Project
) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    window.documents.open(path)
    path.write_bytes(path.read_bytes() + b"\n")
    content = path.read_bytes()
    change(window)
    messages.answers["confirm"] = False
    assert not window.documents.save()
    assert path.read_bytes() == content
    messages.answers["confirm"] = True
    assert window.documents.save()


# --- recovery ---------------------------------------------------------------------------------------------------------


def test_unsaved_changes_of_a_file_come_back_after_a_crash(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path, project: Project
) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    window.documents.open(path)
    change(window, 222)
    window.documents.keep_recovery_copy()
    (recovery,) = tmp_path.glob(".*.recovery")
    content = recovery.read_bytes()
    window.documents.close()  # the lock; the copy is put back as a crash would leave it
    recovery.write_bytes(content)
    died(recovery)
    again = another_window(qtbot, messages)
    messages.answers["ask_recovery"] = "recover"
    assert again.documents.open(path)
    assert again.session.variant.lines[3].amount_g == 222
    assert again.isWindowModified()
    assert load_project(path).project == project  # the file itself changes only when it is saved
    assert again.documents.save()
    assert not list(tmp_path.glob(".*.recovery"))


def test_the_saved_file_can_be_preferred_to_the_copy(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages, tmp_path: Path, project: Project
) -> None:
    path = tmp_path / "squares.fare"
    save_project(path, project)
    window.documents.open(path)
    change(window, 222)
    window.documents.keep_recovery_copy()
    (recovery,) = tmp_path.glob(".*.recovery")
    content = recovery.read_bytes()
    window.documents.close()
    recovery.write_bytes(content)
    died(recovery)
    again = another_window(qtbot, messages)
    messages.answers["ask_recovery"] = "later"
    again.documents.open(path)
    assert not again.session.variant.lines
    assert recovery.exists()
    messages.answers["ask_recovery"] = "discard"
    again.documents.open(path)
    assert again.session.project == project
    assert not recovery.exists()


def test_a_project_that_was_never_saved_comes_back_at_the_next_start(
    qtbot: QtBot, window: MainWindow, messages: FakeMessages
) -> None:
    change(window, 222)
    window.documents.keep_recovery_copy()
    (recovery,) = (Path(os.environ["POCKETFARE_HOME"]) / "state" / "recovery").glob("*.recovery")
    content = recovery.read_bytes()
    window.documents.close()
    recovery.write_bytes(content)
    died(recovery)
    again = another_window(qtbot, messages)
    messages.answers["ask_recovery"] = "recover"
    assert again.documents.offer_recovery()
    assert again.session.variant.lines[3].amount_g == 222
    assert again.isWindowModified()


def test_a_copy_is_kept_some_seconds_after_an_edit_and_goes_when_all_is_undone(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = Path(os.environ["POCKETFARE_HOME"]) / "state" / "recovery"
    window.documents.recovery_timer.setInterval(1)
    change(window)
    qtbot.waitUntil(lambda: len(list(folder.glob("*.recovery"))) == 1)
    window.session.undo_stack.undo()
    assert not list(folder.glob("*.recovery"))


# --- ready projects, the sheet ----------------------------------------------------------------------------------------


def test_every_ready_project_opens_as_a_copy(qtbot: QtBot, window: MainWindow, messages: FakeMessages) -> None:
    assert demo_names()
    for name in demo_names():
        assert window.documents.open_demo(name)
        assert window.documents.path is None
        assert not window.isWindowModified()
        for variant in window.session.project.variants:
            window.session.switch_variant(variant.id)
            assert window.session.evaluation.valid, (name, variant.name)
    assert messages.told == []
