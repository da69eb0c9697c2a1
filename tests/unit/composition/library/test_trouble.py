"""A library that cannot be used as it should: what the user is told, and that nothing is lost."""

import gzip
import json
import os
import shutil
import sqlite3
import tempfile
import traceback
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from tests.support import make_food
from workbench.base.errors import WorkbenchError
from workbench.base.progress import Progress
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.library import connection, opening, schema
from workbench.composition.library.backup import rolling
from workbench.composition.library.connection import LibraryBusy, LibraryDamaged, LibraryError
from workbench.composition.library.records import TableInfo
from workbench.composition.library.store import Library
from workbench.composition.library.waking import wake
from workbench.composition.search_all import FoodSearch
from workbench.composition.search_filter import SearchFilter
from workbench.composition.search_ranking import typed_words
from workbench.composition.synonyms import bundled_synonyms

FIGS = make_food("figs", {"WATER": 30.0})
INFO = TableInfo(key="t", title="Table")


def many() -> list[Food]:
    return [make_food(f"{k}", {"WATER": float(k)}, name=f"food number {k}") for k in range(300)]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A library with a food of one's own and a table, and the back-up made before the table."""
    path = tmp_path / "library.sqlite"
    with Library.open(path) as library:
        library.put(FIGS)
        library.import_table(INFO, many(), Progress())
    return path


def told(path: Path, *, readonly: bool = False) -> WorkbenchError:
    with pytest.raises(LibraryError) as caught:
        Library.open(path, readonly=readonly).close()
    assert caught.value.where == str(path) and caught.value.hint
    return caught.value


def spoil(path: Path) -> None:
    """Overwrite all but the beginning, as a failing disk does."""
    with path.open("r+b") as handle:
        handle.seek(8192)  # the first page still says that it is a library
        handle.write(b"\xff" * (path.stat().st_size - 8192))


def test_a_newer_version_is_refused_and_left_alone(path: Path) -> None:
    with closing(sqlite3.connect(path)) as database:
        database.execute(f"PRAGMA user_version = {schema.VERSION + 1}")
    before = path.read_bytes()
    error = told(path)
    assert error.summary == f"The library has version {schema.VERSION + 1}; this program reads up to {schema.VERSION}."
    assert path.read_bytes() == before


def test_a_database_of_another_program_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "library.sqlite"
    with closing(sqlite3.connect(path)) as database:
        database.execute("CREATE TABLE stamps (id INTEGER)")
    assert told(path).summary == "The file is a database of another program."


@pytest.mark.parametrize("how", ["overwritten", "text", "cut short"])
def test_a_damaged_library_is_set_aside_and_the_last_back_up_taken(path: Path, how: str) -> None:
    if how == "overwritten":
        spoil(path)
    elif how == "text":
        path.write_text("not a database\n" * 100)
    else:
        os.truncate(path, path.stat().st_size // 2)
    damaged = path.read_bytes()
    with pytest.raises(LibraryDamaged):
        Library.open(path, readonly=True)
    assert path.read_bytes() == damaged  # reading changes nothing
    with Library.open(path) as library:
        (notice,) = library.notices
        assert [food.id for food in library.foods()] == ["figs"]
    assert notice.startswith("The library was damaged. The back-up of ")
    (aside,) = path.parent.glob("library.damaged-*.sqlite")
    assert aside.read_bytes() == damaged and aside.name in notice


def test_damage_without_a_back_up_gives_an_empty_library_and_says_so(path: Path) -> None:
    rolling(path).write_bytes(b"nothing useful")
    spoil(path)
    with Library.open(path) as library:
        assert list(library.foods()) == []
        assert library.notices[0].startswith("The library was damaged and there is no back-up.")
        library.put(FIGS)


def test_damage_beyond_what_opening_looks_at_is_worded(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A large file is not read through whenever it is opened; once damage was met in it, it is."""
    monkeypatch.setattr(connection, "_LARGE_BYTES", 0)
    with closing(sqlite3.connect(path)) as database:
        page = database.execute("SELECT rootpage FROM sqlite_schema WHERE name = 'revision'").fetchone()[0]
    with path.open("r+b") as handle:
        handle.seek((page - 1) * 8192)
        handle.write(b"\xff" * 8192)
    with Library.open(path) as library, pytest.raises(LibraryDamaged, match="damaged") as caught:
        list(library.foods())
    assert "Open it again" in caught.value.hint and "last back-up" in caught.value.hint
    with Library.open(path) as library:
        assert "The back-up of" in library.notices[0] and [food.id for food in library.foods()] == ["figs"]


def test_another_program_that_writes_is_named_with_its_computer(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connection, "_WAIT_FOR_WRITER_S", 0.05)
    note = path.with_name(f".{path.name}.lock")
    note.write_text(json.dumps({"pid": 4711, "host": "kitchen-laptop", "run": "ab"}))
    with Library.open(path) as library:
        with pytest.raises(LibraryBusy, match="on the computer “kitchen-laptop” since 20") as caught:
            library.put(make_food("dates", {}))
        assert str(note) in caught.value.hint
        assert library.food("figs") is not None  # reading goes on
        note.unlink()
        library.put(make_food("dates", {}))


def test_a_note_of_a_program_that_was_killed_here_is_in_nobodys_way(path: Path) -> None:
    with Library.open(path) as library:
        with connection.only_writer(path):
            note = json.loads(path.with_name(f".{path.name}.lock").read_text())
        dead = note | {"pid": 2**22 + 1}  # above every process number of Linux
        path.with_name(f".{path.name}.lock").write_text(json.dumps(dead))
        library.put(make_food("dates", {}))


def test_while_another_connection_holds_the_file_reading_says_busy(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(LibraryBusy, match="being written to"):
            Library.open(path, patience_s=0.01)


def test_waking_mends_what_searches_only_read(path: Path, tmp_path: Path) -> None:
    search = FoodSearch((), library=path)
    assert search.find("number")
    search.close()
    spoil(path)
    assert search.find("figs") == [] and isinstance(search.without_library, LibraryDamaged)
    (notice,) = wake(path)
    assert notice.startswith("The library was damaged. The back-up of ")
    assert [found.id for found in search.find("figs")] == ["figs"]
    search.close()
    assert wake(path) == ()
    with closing(sqlite3.connect(path, isolation_level=None)) as importing:
        importing.execute("BEGIN EXCLUSIVE")
        assert wake(path, patience_s=0.01) == ()  # not now
    assert wake(tmp_path / "none.sqlite") == () and not (tmp_path / "none.sqlite").exists()


# --- write protection -------------------------------------------------------------------------------------------------


@pytest.fixture
def shelf() -> Iterator[Path]:
    """A folder that every user may enter, which is not so of those that pytest makes."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


def as_somebody_whom_permissions_stop(work: Callable[[], None]) -> None:
    """Run ``work``; where the tests run as root, whom nothing stops, in a process of another user."""
    if not hasattr(os, "fork"):
        pytest.skip("folders have no such permissions here")
    if os.geteuid() != 0:
        work()
        return
    bundled_foods()  # their folder may be closed to the other user
    bundled_synonyms()
    child = os.fork()
    if child == 0:
        try:
            os.setgroups([])
            os.setresgid(65534, 65534, 65534)
            os.setresuid(65534, 65534, 65534)
            work()
        except BaseException:  # noqa: BLE001  # whatever it is, the other process must hear of it and end
            traceback.print_exc()
            os._exit(1)
        os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0, "see the traceback above"


@pytest.mark.parametrize(("file", "folder"), [(0o444, 0o555), (0o666, 0o555), (0o444, 0o777)])
def test_write_protection_is_said_once_and_reading_works(shelf: Path, file: int, folder: int) -> None:
    path = shelf / "library.sqlite"
    with Library.open(path) as library:
        library.put(FIGS)
        library.put(FIGS)
    path.chmod(file)
    shelf.chmod(folder)
    files = sorted(each.name for each in shelf.iterdir())

    def work() -> None:
        search = FoodSearch((), library=path)
        assert [found.id for found in search.find("fig")] == ["figs"] and search.without_library is None
        search.close()
        assert wake(path) == ("The library is write-protected; it can be searched but not changed.",)
        with Library.open(path) as library:
            assert library.notices == wake(path) and library.food("figs") == next(library.foods())
            for change in (lambda: library.put(make_food("dates", {})), library.undo, library.restore):
                with pytest.raises(LibraryError, match="for reading only") as caught:
                    change()  # type: ignore[no-untyped-call]  # one of several
                assert "permissions" in caught.value.hint
        assert sorted(each.name for each in shelf.iterdir()) == files

    as_somebody_whom_permissions_stop(work)


def test_what_cannot_be_mended_under_write_protection_says_where_it_can(shelf: Path, path: Path) -> None:
    for name, content in (
        ("damaged", b"no library " * 999),
        ("older", gzip.decompress(Path(__file__).with_name("version_1.sqlite.gz").read_bytes())),
        ("broken off", path.read_bytes()),
    ):
        (shelf / f"{name}.sqlite").write_bytes(content)
    (shelf / "broken off.sqlite-journal").write_bytes(_hot_journal(path))
    shelf.chmod(0o555)

    def work() -> None:
        for name in ("damaged", "older", "broken off"):
            assert "where its file and folder can be written to" in told(shelf / f"{name}.sqlite").hint
        assert told(shelf / "none" / "library.sqlite").summary.startswith("The library cannot be made (")

    as_somebody_whom_permissions_stop(work)


def _hot_journal(path: Path) -> bytes:
    """What a program leaves that dies while it writes."""
    with closing(sqlite3.connect(path, isolation_level=None)) as database:
        database.execute("PRAGMA cache_size = 1")
        database.execute("BEGIN")
        database.execute("UPDATE revision SET note = 'x'")
        return path.with_name(f"{path.name}-journal").read_bytes()


def test_there_is_none_to_read_and_none_can_be_made(tmp_path: Path) -> None:
    with pytest.raises(LibraryError, match="no library yet"):
        Library.open(tmp_path / "library.sqlite", readonly=True)
    (tmp_path / "file").touch()
    assert told(tmp_path / "file" / "library.sqlite").summary.startswith("The library cannot be made (")


def test_a_full_disk_leaves_the_library_as_it_was(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = connection.connect

    def without_room(*arguments: object, **named: object) -> sqlite3.Connection:
        made = real(*arguments, **named)  # type: ignore[arg-type]
        made.execute(f"PRAGMA max_page_count = {path.stat().st_size // 8192 + 2}")
        return made

    monkeypatch.setattr("workbench.composition.library.store.connect", without_room)
    with Library.open(path) as library:
        with pytest.raises(LibraryError, match="The disk is full; the library is as it was before"):
            library.import_table(TableInfo(key="u", title="Other"), many(), Progress())
        assert set(library.tables()) == {"t"} and library.count() == 301


def test_sqlite_without_full_text_search_is_named(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(schema, "lacks_full_text_search", lambda: True)
    with pytest.raises(LibraryError, match=r"SQLite 3\.\S+ of this Python cannot search texts"):
        Library.open(path)


# --- older versions ---------------------------------------------------------------------------------------------------


def test_a_library_of_the_first_version_is_read_as_it_was(tmp_path: Path) -> None:
    """Written by the program as it was before version 2, with two editions of a table and a hidden food."""
    path = tmp_path / "library.sqlite"
    path.write_bytes(gzip.decompress(Path(__file__).with_name("version_1.sqlite.gz").read_bytes()))
    with Library.open(path) as library:
        assert [food.name for food in library.foods()] == ["figs", "fig jam", "Plum", "Pear"]
        assert [entry.food.id for entry in library.entries(table="", inactive=True)] == ["figs", "jam", "old"]
        assert [entry.food.id for entry in library.entries(inactive=True, active=False)] == ["old", "t:3"]
        assert [food.id for food in library.foods(tag="race")] == ["figs"]
        assert library.composites_of("figs") == ["jam"]
        for text, known, names in (("pl", (), ["Plum"]), ("fig", (), ["figs", "fig jam"]), ("", ("FAT",), ["Pear"])):
            found = library.index.found(typed_words(text), 9, SearchFilter(known=known), similar=False)
            assert [one.name for one in found] == names
        library.undo()
        food = library.food("t:1")
        assert food is not None and food.values["WATER"].value == 80.0
        assert library.index.found(typed_words("quince"), 9, None, similar=False)
    with closing(sqlite3.connect(path)) as database, closing(sqlite3.connect(rolling(path))) as before:
        database.execute("INSERT INTO words (words, rank) VALUES ('integrity-check', 1)")
        assert schema.version_of(before) == 1
    with Library.open(path) as library:
        kept = library.restore()  # a back-up of the first version
        assert library.food("t:3") is not None and library.count() == 4
        assert library.index.found(typed_words("plum"), 9, SearchFilter(known=("WATER",)), similar=False)
        assert kept.exists()


def test_an_older_library_is_backed_up_and_brought_up_to_date(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rolling(path).unlink()
    monkeypatch.setattr(schema, "VERSION", schema.VERSION + 1)
    steps = {schema.VERSION - 1: lambda database: database.execute("CREATE TABLE later (x)")}
    opening.open_file(path, readonly=False, patience_s=1.0, migrations=steps).connection.close()  # type: ignore[arg-type]
    with closing(sqlite3.connect(path)) as new, closing(sqlite3.connect(rolling(path))) as old:
        assert schema.version_of(new) == schema.version_of(old) + 1 == schema.VERSION
        assert new.execute("SELECT count(*) FROM later").fetchone() == (0,)


def test_a_migration_that_fails_changes_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(schema, "VERSION", schema.VERSION + 2)

    def first(database: sqlite3.Connection) -> None:
        database.execute("DROP TABLE food")

    with pytest.raises(KeyError):
        opening.open_file(path, readonly=False, patience_s=1.0, migrations={schema.VERSION - 2: first})
    with closing(sqlite3.connect(path)) as database:
        assert schema.version_of(database) == schema.VERSION - 2
        assert database.execute("SELECT count(*) FROM food").fetchone() == (301,)
