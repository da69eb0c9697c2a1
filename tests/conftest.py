"""What every test shares: a home folder of its own, and the rule that a skip is a failure unless it is expected.

It imports no Qt: the tests of everything below the window run without it.
"""

import importlib.util
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# The same examples in every run: a failure in CI is the failure at home.  tests/proof looks further, by hand.
settings.register_profile("suite", deadline=None, derandomize=True)
settings.load_profile("suite")

# What may be missing on a machine, and when a test may be skipped for it.  Name the key in the reason of the skip; any
# other skip fails, and so does one whose key is at hand.
EXPECTED_SKIPS: dict[str, Callable[[], bool]] = {
    # Survey and handbook tables that are too large to ship.
    "POCKETFARE_REFERENCE": lambda: not os.environ.get("POCKETFARE_REFERENCE"),
    # LibreOffice, which recalculates exported workbooks.
    "soffice": lambda: shutil.which("soffice") is None,
}


def pytest_addoption(parser: pytest.Parser) -> None:
    """Know the settings of pytest-qt where it is not installed, so that pyproject.toml stays valid."""
    if importlib.util.find_spec("pytestqt") is None:
        for name in ("qt_log_level_fail", "qt_log_ignore"):
            parser.addini(name, "for pytest-qt, which is not installed here", type="linelist")


def _fail_if_unexpected(report: pytest.TestReport | pytest.CollectReport) -> None:
    if report.outcome != "skipped" or hasattr(report, "wasxfail"):
        return
    reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
    if not any(key in reason and absent() for key, absent in EXPECTED_SKIPS.items()):
        report.outcome = "failed"
        report.longrepr = f"{reason}\nThis skip is not expected here: see EXPECTED_SKIPS in tests/conftest.py."


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Iterator[None]:
    """A test that skips itself for no expected reason fails."""
    report = yield
    _fail_if_unexpected(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Iterator[None]:
    """So does a module."""
    report = yield
    _fail_if_unexpected(report)
    return report


@pytest.fixture(autouse=True)
def _own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test has an empty home: no test sees the user's settings and library, or another test's."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("POCKETFARE_HOME", str(home / "pocketfare"))
    for kind in ("CONFIG", "DATA", "STATE", "CACHE"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", str(home / kind.lower()))
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    monkeypatch.delenv("LANGUAGE", raising=False)


@pytest.fixture
def reference() -> Path:
    """Folder of the outside tables that ``POCKETFARE_REFERENCE`` names."""
    if EXPECTED_SKIPS["POCKETFARE_REFERENCE"]():
        pytest.skip("needs POCKETFARE_REFERENCE, the folder of the outside tables")
    return Path(os.environ["POCKETFARE_REFERENCE"]).resolve(strict=True)


@pytest.fixture(scope="session")
def soffice() -> str:
    """Path of LibreOffice, which recalculates exported workbooks."""
    found = shutil.which("soffice")
    if found is None:
        pytest.skip("needs soffice (LibreOffice Calc)")
    return found
