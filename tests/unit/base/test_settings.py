"""The settings survive a restart and never stop the program."""

import json
from pathlib import Path

from workbench.base.settings import Settings, SettingsFile


def test_settings_come_back_after_a_restart(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "settings.json"
    SettingsFile(path).change(theme="dark", splitter=(700, 500))
    assert SettingsFile(path).settings == Settings(theme="dark", splitter=(700, 500))


def test_a_broken_file_costs_only_what_it_held(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    for broken in (b"", b"{", b"[]", b"\xff\xfe", b"[" * 100_000):
        path.write_bytes(broken)
        assert SettingsFile(path).settings == Settings()
    broken_values = '"splitter": [-1], "window": 3, "compared": {"a": 1}'
    path.write_text(f'{{"theme": "purple", "language": "de", {broken_values}}}', encoding="utf-8")
    assert SettingsFile(path).settings == Settings(language="de")


def test_keys_of_a_newer_version_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    path.write_text('{"later": {"a": 1}}', encoding="utf-8")
    SettingsFile(path).change(theme="light")
    assert json.loads(path.read_text(encoding="utf-8"))["later"] == {"a": 1}


def test_a_place_that_cannot_be_written_does_not_stop_the_work(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way", encoding="utf-8")
    settings = SettingsFile(blocked / "settings.json")
    settings.change(theme="dark")
    assert settings.settings.theme == "dark"
