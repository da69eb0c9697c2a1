"""The locks give what pyproject.toml asks for, by hash, and name no host."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

CHECKOUT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def _pins(name: str) -> dict[str, str]:
    pins = {}
    for block in re.split(r"\n(?=\S)", (CHECKOUT / ".ci" / name).read_text(encoding="utf-8")):
        if block.startswith("#"):
            continue
        first, *hashes = block.replace("\\\n", "").split()
        package, pinned = first.split("==")
        assert hashes, f"{package} has no hash"
        assert all(re.fullmatch("--hash=sha256:[0-9a-f]{64}", each) for each in hashes), f"{name}: {package}"
        pins[package] = pinned
    return pins


@pytest.mark.parametrize(
    ("lock", "asked"),
    [("lock.txt", PROJECT["dependencies"]), ("lock-dev.txt", PROJECT["optional-dependencies"]["dev"])],
)
def test_the_lock_is_within_the_ranges(lock, asked):
    pins = _pins(lock)
    for requirement in map(Requirement, asked):
        assert pins[canonicalize_name(requirement.name)] in requirement.specifier


def test_the_locks_share_no_package():
    """Installing the test tools must not touch what the program runs on."""
    assert not _pins("lock.txt").keys() & _pins("lock-dev.txt").keys()
