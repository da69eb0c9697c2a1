"""From a bare checkout to a running program, on a small scale.

The checkout is a temporary one: the real start and set-up, a stand-in for the program behind them, and a lock that
names one tiny package, which the real pip installs into a real environment from a folder.  No network is used.
"""

import base64
import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
PROGRAM = """
import importlib.metadata, os, sys

def main(argv):
    if argv == ["interrupt"]:
        raise KeyboardInterrupt
    print(sys.prefix, importlib.metadata.version("tiny"), *argv)
    return 7
"""


def _wheel(folder: Path, version: str) -> str:
    """Write a package without content; return its line for a lock."""
    info = f"tiny-{version}.dist-info"
    files = {
        "tiny.py": "",
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: tiny\nVersion: {version}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = [f"{info}/RECORD,,"]
    for name, text in files.items():
        digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=").decode()
        record.append(f"{name},sha256={digest},{len(text)}")
    path = folder / f"tiny-{version}-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as wheel:
        for name, text in {**files, f"{info}/RECORD": "\n".join(record) + "\n"}.items():
            wheel.writestr(name, text)
    return f"tiny=={version} \\\n    --hash=sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}\n"


class Checkout:
    """A small checkout and how to start it, with the interpreter that all environments here are made from."""

    def __init__(self, folder: Path, wheels: Path) -> None:
        self.folder = folder
        self.wheels = wheels
        self.venv = folder / ".venv"
        self.lock = folder / ".ci" / "lock.txt"

    def start(self, *arguments: str, python: str = sys._base_executable) -> subprocess.Popen[str]:
        environment = {name: text for name, text in os.environ.items() if not name.startswith(("PIP_", "PYTHON"))}
        environment |= {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(self.wheels), "PIP_CONFIG_FILE": os.devnull}
        return subprocess.Popen(
            [python, *arguments],
            cwd=self.folder,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def run(self, *arguments: str, **options: str) -> tuple[int, str, str]:
        process = self.start("-m", "workbench", *arguments, **options)
        output, said = process.communicate(timeout=120)
        return process.returncode, output, said

    def works(self, version: str = "1.0") -> str:
        """Start it, see that it ran in its own environment, and return what was said on the way."""
        code, output, said = self.run("compute", "some file")
        assert (code, output) == (7, f"{self.venv} {version} compute some file\n"), said
        return said


@pytest.fixture(scope="module")
def wheels(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheels")
    return folder, {version: _wheel(folder, version) for version in ("1.0", "2.0")}


@pytest.fixture(scope="module")
def bare(tmp_path_factory, wheels):
    """A checkout as it comes, never started."""
    folder = tmp_path_factory.mktemp("bare")
    (folder / ".ci").mkdir()
    (folder / ".ci" / "lock.txt").write_text("# A comment.\n" + wheels[1]["1.0"])
    (folder / "workbench").mkdir()
    for name in ("__init__.py", "__main__.py", "bootstrap.py"):
        shutil.copy(CHECKOUT / "workbench" / name, folder / "workbench")
    (folder / "workbench" / "cli.py").write_text(PROGRAM)
    return folder


@pytest.fixture(scope="module")
def started(tmp_path_factory, bare, wheels):
    """The same after two starts at one time: the first ones, on which all the others here depend."""
    folder = tmp_path_factory.mktemp("started") / "checkout"
    shutil.copytree(bare, folder)
    starts = [Checkout(folder, wheels[0]).start("-m", "workbench", "compute") for _ in range(2)]
    ended = [(start.communicate(timeout=120), start.returncode) for start in starts]
    return folder, ended


@pytest.fixture
def checkout(started, wheels, tmp_path):
    """One that has been set up, for a single test."""
    folder = tmp_path / "checkout"
    shutil.copytree(started[0], folder, symlinks=True)
    return Checkout(folder, wheels[0])


def test_two_starts_at_one_time_make_one_environment_and_both_run(started):
    folder, ended = started
    outputs = [output for (output, _), _ in ended]
    assert outputs == [f"{folder / '.venv'} 1.0 compute\n"] * 2, ended
    assert [code for _, code in ended] == [7, 7]
    said = sorted(line for (_, said), _ in ended for line in said.splitlines())
    assert said[-1].startswith("Setting up Pocketfare in")
    assert said[:-1] in ([], ["Another start is setting up Pocketfare; waiting for it ..."])


def test_the_next_start_sets_nothing_up(checkout):
    assert checkout.works() == ""


def test_an_interrupted_set_up_is_made_anew(checkout):
    (checkout.venv / "lock.txt").write_text("")
    shutil.rmtree(next(checkout.venv.rglob("tiny-1.0.dist-info")))
    (checkout.venv / "left-over").touch()

    assert checkout.works().startswith("Setting up Pocketfare in")
    assert not (checkout.venv / "left-over").exists()
    assert checkout.works() == ""


def test_an_environment_without_its_interpreter_is_made_anew(checkout):
    """As after the system's Python was replaced by a newer one."""
    for name in ("python", "python3"):
        (checkout.venv / "bin" / name).unlink()

    assert checkout.works().startswith("Setting up Pocketfare in")


def test_a_package_that_was_removed_comes_back(checkout):
    shutil.rmtree(next(checkout.venv.rglob("tiny-1.0.dist-info")))

    assert checkout.works().startswith("Setting up Pocketfare in")


def test_a_new_lock_brings_the_environment_up_to_date(checkout, wheels):
    (checkout.venv / "kept").touch()
    checkout.lock.write_text(wheels[1]["2.0"])

    assert checkout.works("2.0").startswith("Bringing")
    assert (checkout.venv / "kept").exists()
    assert checkout.works("2.0") == ""


def test_a_package_with_another_hash_is_refused_in_one_line_and_what_was_there_stays(checkout, wheels):
    (checkout.venv / "kept").touch()
    good = wheels[1]["2.0"]
    checkout.lock.write_text(good.replace("sha256:", "sha256:0000")[:-5] + "\n")

    code, output, said = checkout.run("compute")

    assert (code, output) == (2, "")
    assert said.splitlines()[1].startswith("Cannot install what Pocketfare needs: ")
    assert len(said.splitlines()) == 2
    checkout.lock.write_text(good)
    assert checkout.works("2.0").startswith("Bringing")
    assert (checkout.venv / "kept").exists()


def test_a_python_without_venv_is_told_which_package_it_lacks(bare, wheels):
    code = (
        "import sys; sys.modules['ensurepip'] = None; import runpy; runpy.run_module('workbench', run_name='__main__')"
    )
    process = Checkout(bare, wheels[0]).start("-c", code, "compute")
    _, said = process.communicate(timeout=60)
    assert process.returncode == 2
    assert "apt install python3-venv" in said.splitlines()[-1]


def test_interrupting_leaves_no_traceback(checkout):
    assert checkout.run("interrupt") == (130, "", "")
