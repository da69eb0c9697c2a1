"""A skipped test cannot pass unnoticed: it fails unless what it needs is listed and really missing."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

CONFTEST = Path(__file__).resolve().parents[1] / "conftest.py"
IN_A_TEST = "def test_it(): pytest.skip('{}')"
IN_A_MODULE = "pytest.skip('{}', allow_module_level=True)"


@pytest.mark.parametrize("code", [IN_A_TEST, IN_A_MODULE], ids=["test", "module"])
@pytest.mark.parametrize(
    ("reason", "reference", "fails"),
    [
        ("needs POCKETFARE_REFERENCE", "", False),
        ("needs POCKETFARE_REFERENCE", "/some/folder", True),  # it is there: no reason to skip
        ("no time today", "", True),
    ],
)
def test_only_an_expected_skip_passes(tmp_path, code, reason, reference, fails):
    shutil.copy(CONFTEST, tmp_path)
    (tmp_path / "pytest.ini").touch()
    code = f"import pytest\ndef test_other(): pass\n{code.format(reason)}\n"
    (tmp_path / "test_skipping.py").write_text(code)
    ended = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider"],
        cwd=tmp_path,
        env=os.environ | {"POCKETFARE_REFERENCE": reference},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    if fails:
        assert ended.returncode != 0
        assert f"{reason}\n" in ended.stdout
        assert "This skip is not expected here" in ended.stdout
    else:
        assert ended.returncode in (0, 5)  # 5: nothing but the skip was collected
        assert "1 skipped" in ended.stdout
