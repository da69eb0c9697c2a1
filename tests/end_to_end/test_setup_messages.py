"""What the start says about a machine on which the program cannot run, and where it sends which arguments."""

import subprocess
import sys
import types
from pathlib import Path

import pytest

from workbench import __main__, bootstrap

CHECKOUT = Path(__file__).resolve().parents[2]


def _refuses(*missing: str):
    def load(library: str) -> None:
        if library in missing:
            raise OSError(f"{library}: cannot open shared object file")

    return load


def test_a_python_that_is_too_old_is_told_so():
    code = "import sys; sys.version_info = (3, 9, 2); from {} import main; sys.exit(main([]))"
    for module in ("workbench.__main__", "tests.__main__"):
        command = [sys.executable, "-c", code.format(module)]
        ended = subprocess.run(command, cwd=CHECKOUT, capture_output=True, text=True, timeout=60, check=False)
        assert ended.returncode == 2
        assert ended.stderr == "Pocketfare needs Python 3.11 or newer; this is Python 3.9.\n"


@pytest.mark.parametrize("arguments", [[], ["demo"], ["open", "x.fare"], ["x.fare"]])
def test_without_a_display_the_window_names_the_terminal_commands(arguments, monkeypatch, capsys):
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")

    assert __main__.main(arguments) == 2

    (line,) = capsys.readouterr().err.splitlines()
    assert "no display" in line
    assert "pocketfare compute FILE" in line


def test_missing_libraries_are_named_by_package_all_at_once(monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    with pytest.raises(bootstrap.CannotStart) as caught:
        bootstrap.check_window("pocketfare", {"DISPLAY": ":0"}, _refuses("libEGL.so.1", "libxcb-cursor.so.0"))
    (line,) = str(caught.value).splitlines()
    assert "apt install libegl1 libxcb-cursor0. " in line


@pytest.mark.parametrize(
    "environ",
    [
        {"DISPLAY": ":0", "WAYLAND_DISPLAY": "wayland-0"},  # Wayland's own libraries are there
        {"QT_QPA_PLATFORM": "offscreen"},  # as the tests run
        {"QT_QPA_PLATFORM": "wayland;xcb"},
    ],
)
def test_libraries_of_a_way_to_the_screen_that_is_not_taken_are_not_asked_for(environ, monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    bootstrap.check_window("pocketfare", environ, _refuses("libxcb-cursor.so.0"))


@pytest.mark.parametrize("environ", [{"DISPLAY": ":4711"}, {"WAYLAND_DISPLAY": "wayland-4711", "XDG_RUNTIME_DIR": "/"}])
def test_a_display_that_does_not_answer_is_said_in_one_line(environ, monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    with pytest.raises(bootstrap.CannotStart, match=r"^The display \S+4711 does not answer.*pocketfare compute FILE"):
        bootstrap.check_display("pocketfare", environ)


@pytest.mark.parametrize(
    ("arguments", "module"),
    [
        ([], "workbench.ui.app"),
        (["demo"], "workbench.ui.app"),
        (["open", "ride.fare"], "workbench.ui.app"),
        (["ride.fare"], "workbench.ui.app"),
        (["recipes/ride.json"], "workbench.ui.app"),
        (["compute", "ride.fare", "--json"], "workbench.cli"),
        (["--help"], "workbench.cli"),
        (["demmo"], "workbench.cli"),  # which says what it knows
    ],
)
def test_arguments_reach_the_window_or_the_terminal(arguments, module, monkeypatch):
    seen = []
    for name in ("workbench.ui.app", "workbench.cli"):
        stand_in = types.ModuleType(name)
        stand_in.main = lambda argv, name=name: seen.append((name, argv)) or 5
        monkeypatch.setitem(sys.modules, name, stand_in)
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    monkeypatch.setattr("gc.disable", lambda: None)  # for what it spares; the suite wants its collector

    assert __main__.main(arguments) == 5
    assert seen == [(module, arguments)]
