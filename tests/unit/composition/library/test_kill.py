"""A power cut during an import: the library is as before or as after, never between (see tests/proof/kill_import)."""

from pathlib import Path

from tests.proof.kill_import import rounds


def test_an_import_that_is_killed_leaves_the_library_whole(tmp_path: Path) -> None:
    seen = rounds(tmp_path, 8, seed=2026)
    assert sum(seen.values()) == 8
