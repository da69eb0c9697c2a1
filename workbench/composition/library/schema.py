"""What the library file looks like inside, and how an older one is brought up to date.

Every state of a food is a row of ``revision`` that never changes; ``food.current`` says which of them holds.  A step of
the library's undo is a range of revisions, taken back by pointing their foods at what was before, until it is
``closed``, see ``thinning``.  Everything from ``sought`` down is derived from the foods and only there to find them.

``sought.place`` orders foods as a cook expects: own before imported, plain before prepared, short names before long
ones.  It is the row number of the full-text index, whose answers therefore come in that order, and need no sorting.
"""

import sqlite3
from collections.abc import Callable, Mapping

from workbench.composition.components import COMPONENTS
from workbench.composition.search_words import GROUP, OTHER_NAME, QUALIFIER

APPLICATION_ID = 0x50464C42
VERSION = 2

DISTANCES = (*range(QUALIFIER + 2 * OTHER_NAME + 1), GROUP)
"""How far a word can be from the food that is found by it, nearest first; a column of the full-text index each."""

WORD_COLUMNS = tuple(f"d{distance}" for distance in DISTANCES)
INDEXED = (*WORD_COLUMNS, "facts")

KIND = "k_"  # before the number of a kind, as a word of the index
KNOWN_BITS = 62  # in each of the two numbers that say which components of a food are known

# Few foods each, beside an imported table.
_OWN_FOODS = "CREATE INDEX own_food ON food (id) WHERE own"
_NOT_FOUND = "CREATE INDEX hidden_food ON food (id) WHERE place IS NULL"
_SOUGHT = f"""CREATE TABLE sought (
  place INTEGER PRIMARY KEY, food INTEGER NOT NULL, called TEXT NOT NULL, name TEXT NOT NULL, source TEXT NOT NULL,
  {", ".join(f"{column} TEXT" for column in INDEXED)}
)"""
_BY_NAME = "CREATE INDEX sought_called ON sought (called)"
_KNOWN = """CREATE TABLE known (
  place INTEGER PRIMARY KEY, low INTEGER NOT NULL, high INTEGER NOT NULL
)"""  # apart, as a filter may have to look at every food: its rows are a twentieth of those of ``sought``

_KINDS = """CREATE TABLE kind (
  number INTEGER PRIMARY KEY, low INTEGER NOT NULL, high INTEGER NOT NULL, UNIQUE (low, high)
)"""  # the few ways in which components are known

_TABLES = f"""
CREATE TABLE tag (number INTEGER PRIMARY KEY, word TEXT NOT NULL UNIQUE);
CREATE TABLE step (
  number INTEGER PRIMARY KEY AUTOINCREMENT,
  at TEXT NOT NULL,
  words TEXT NOT NULL,
  undone INTEGER NOT NULL DEFAULT 0,
  first INTEGER NOT NULL,
  last INTEGER NOT NULL,
  closed INTEGER NOT NULL DEFAULT 0
);
CREATE TABLE published (row INTEGER PRIMARY KEY, key TEXT NOT NULL, info BLOB NOT NULL, step INTEGER NOT NULL);
CREATE TABLE food (
  row INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, current INTEGER, place INTEGER, own INTEGER NOT NULL DEFAULT 1
);
{_OWN_FOODS};
{_NOT_FOUND};
CREATE TABLE revision (
  row INTEGER PRIMARY KEY, food INTEGER NOT NULL, step INTEGER NOT NULL, before INTEGER, note TEXT, packed BLOB
);
CREATE TABLE tagged (word TEXT, food INTEGER, PRIMARY KEY (word, food)) WITHOUT ROWID;
CREATE TABLE part (id TEXT, food INTEGER, PRIMARY KEY (id, food)) WITHOUT ROWID;
{_SOUGHT};
{_BY_NAME};
{_KNOWN};
{_KINDS};
CREATE TABLE vocabulary (row INTEGER PRIMARY KEY, word TEXT NOT NULL UNIQUE);
CREATE VIRTUAL TABLE words USING fts5 (
  {", ".join(INDEXED)}, content='sought', content_rowid='place', prefix='2 3', columnsize=0, detail=column,
  tokenize="unicode61 remove_diacritics 0 tokenchars '_'"
);
CREATE VIRTUAL TABLE spelling USING fts5 (padded, content='', tokenize='trigram', detail=none);
"""

Migrations = Mapping[int, Callable[[sqlite3.Connection], None]]


def _own_and_known(connection: sqlite3.Connection) -> None:
    """From version 1: own foods and known components are found without reading everything about every food."""
    kept = ", ".join(("place", "food", "called", "name", "source", *INDEXED))
    for statement in (
        "ALTER TABLE step ADD COLUMN closed INTEGER NOT NULL DEFAULT 0",
        "ALTER TABLE food ADD COLUMN own INTEGER NOT NULL DEFAULT 1",
        "UPDATE food SET own = 0"
        " WHERE EXISTS (SELECT 1 FROM published WHERE substr(id, 1, length(key) + 1) = key || ':')",
        _OWN_FOODS,
        _NOT_FOUND,
        _KNOWN,
        "INSERT INTO known SELECT place, known_low, known_high FROM sought",
        "DROP INDEX sought_called",
        "ALTER TABLE sought RENAME TO sought_before",
        _SOUGHT,
        f"INSERT INTO sought ({kept}) SELECT {kept} FROM sought_before",
        "DROP TABLE sought_before",
        _BY_NAME,
        _KINDS,
        "INSERT INTO kind (low, high) SELECT DISTINCT low, high FROM known",
        f"UPDATE sought SET facts = trim(facts || ' {KIND}' || (SELECT number FROM known JOIN kind USING (low, high)"
        " WHERE known.place = sought.place))",
        "INSERT INTO words (words) VALUES ('rebuild')",
    ):
        connection.execute(statement)


MIGRATIONS: Migrations = {1: _own_and_known}
"""From the version in the key to the next, inside the transaction that is open; version 1 is the first there was."""


def make(connection: sqlite3.Connection) -> None:
    """Lay out an empty library in an empty file, in one transaction."""
    connection.execute("PRAGMA page_size = 8192")  # most foods fit on a page without a second one
    connection.execute("BEGIN EXCLUSIVE")
    for statement in _TABLES.split(";\n"):
        if statement.strip():
            connection.execute(statement)
    connection.executemany("INSERT INTO tag (number, word) VALUES (?, ?)", enumerate(COMPONENTS))
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {VERSION}")
    connection.execute("COMMIT")


def migrate(connection: sqlite3.Connection, migrations: Migrations, version: int) -> None:
    """Bring an older library up to ``version``, in one transaction: it is wholly old or wholly new.

    Raises
    ------
    LookupError
        If there is no way up from the version that the file has.
    """
    connection.execute("BEGIN IMMEDIATE")
    try:
        found = version_of(connection)
        while found < version:
            migrations[found](connection)
            found += 1
        connection.execute(f"PRAGMA user_version = {version}")
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise


def version_of(connection: sqlite3.Connection) -> int:
    """The version that the file says it has; 0 for an empty file."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def application_of(connection: sqlite3.Connection) -> int:
    """The mark of the program that made the file; 0 for an empty file."""
    return int(connection.execute("PRAGMA application_id").fetchone()[0])


def lacks_full_text_search() -> bool:
    """Whether this Python's SQLite cannot search texts (FTS5 with trigrams, SQLite 3.34)."""
    memory = sqlite3.connect(":memory:")
    try:
        memory.execute("CREATE VIRTUAL TABLE probe USING fts5 (x, tokenize='trigram')")
    except sqlite3.OperationalError:
        return True
    finally:
        memory.close()
    return False
