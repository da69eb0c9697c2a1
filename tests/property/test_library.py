"""The library against a plain model of it: whatever is done and taken back, it holds, finds and remembers the same."""

import shutil
import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from msgspec.structs import replace

from workbench.base.progress import Progress
from workbench.composition.food import Food, Value
from workbench.composition.library.packing import pack, pack_tags, unpack
from workbench.composition.library.records import Entry, TableInfo
from workbench.composition.library.store import Library
from workbench.composition.search_ranking import typed_words
from workbench.composition.value_columns import ColumnValues, columns_of

TAGS = st.sampled_from(("WATER", "FAT", "SUGAR", "own tag", "ß"))
WORDS = st.text(max_size=8)
VALUES = st.builds(
    Value,
    st.floats(allow_nan=False),
    st.sampled_from(("measured", "borrowed", "label")),
    WORDS,
    WORDS,
    WORDS,
    st.none() | st.integers(1, 10**6),
    st.none() | st.floats(0, 1e6),
    WORDS,
)
NAMES = st.sampled_from(("plum", "plum jam", "quince", "Öl", "pear, dried"))
TABLE = TableInfo(key="t", title="table")
FOODS = st.builds(
    lambda name, values, contains: Food(id="x", name=name, values=values, contains=contains),
    NAMES,
    st.dictionaries(TAGS, VALUES, max_size=5),
    st.none() | st.just(()) | st.just(("milk",)),
)


@given(FOODS, WORDS, st.lists(WORDS, max_size=3))
def test_packing_loses_nothing(food: Food, note: str, tags: list[str]) -> None:
    numbers: dict[str, int] = {}
    entry = Entry(food=food, note=note, tags=tuple(tags))
    packed = pack(entry, lambda words: pack_tags([numbers.setdefault(word, len(numbers)) for word in words]))
    assert unpack(packed, list(numbers)) == entry
    # What an import hands on without making a value of each figure is kept as the same bytes.
    columns = replace(entry, food=replace(food, values=ColumnValues(columns_of(food.values))))
    assert columns == entry
    assert pack(columns, lambda words: pack_tags([numbers[word] for word in words])) == packed


class LibraryMachine(RuleBasedStateMachine):
    """Every state of the model is the whole library as a dictionary; undo and redo walk along a list of them."""

    @initialize()
    def open(self) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.library = Library.open(self.folder / "library.sqlite")
        self.library.import_table(TABLE, [], Progress())  # a step of its own, below all that are modelled
        self.states: list[dict[str, Entry]] = [{}]
        self.at = 0

    def _then(self, state: dict[str, Entry]) -> None:
        if state != self.states[self.at]:
            self.states[self.at + 1 :] = [state]
            self.at += 1

    @property
    def now(self) -> dict[str, Entry]:
        return dict(self.states[self.at])

    @rule(key=st.sampled_from("abc"), food=FOODS)
    def put(self, key: str, food: Food) -> None:
        food = replace(food, id=key)
        self.library.put(food)
        old = self.now.get(key)
        self._then(self.now | {key: Entry(food=food) if old is None else replace(old, food=food)})

    @rule(rows=st.dictionaries(st.sampled_from("123"), FOODS, max_size=3))
    def import_table(self, rows: dict[str, Food]) -> None:
        self.library.import_table(TABLE, [replace(food, id=code) for code, food in rows.items()], Progress())
        imported = {f"t:{c}": Entry(food=replace(f, id=f"t:{c}"), table="t", code=c) for c, f in rows.items()}
        gone = {k: replace(e, active=False) for k, e in self.now.items() if e.table and k not in imported}
        self._then(self.now | imported | gone)

    @rule(key=st.sampled_from("abc"))
    def switch(self, key: str) -> None:
        entry = self.now.get(key)
        if entry is not None:
            (self.library.deactivate if entry.active else self.library.reactivate)(key)
            self._then(self.now | {key: replace(entry, active=not entry.active)})

    @rule(key=st.sampled_from("abc"))
    def delete(self, key: str) -> None:
        self.library.delete(key)
        self._then({k: entry for k, entry in self.now.items() if k != key})

    @precondition(lambda self: self.at > 0)
    @rule()
    def undo(self) -> None:
        assert self.library.undo() is not None
        self.at -= 1

    @rule()
    def redo(self) -> None:
        assert (self.library.redo() is not None) == (self.at + 1 < len(self.states))
        self.at = min(self.at + 1, len(self.states) - 1)

    @rule()
    def close_and_open(self) -> None:
        self.library.close()
        self.library = Library.open(self.folder / "library.sqlite")

    @invariant()
    def holds_and_finds_the_same(self) -> None:
        kept = {entry.food.id: entry for entry in self.library.entries(inactive=True)}
        assert kept == self.now
        for word in ("plum", "oel", "dried"):
            found = {one.id for one in self.library.index.found(typed_words(word), 100, None, similar=False)}
            needle = {"oel": "Öl"}.get(word, word)
            assert found == {k for k, e in self.now.items() if e.active and needle in e.food.name}

    def teardown(self) -> None:
        self.library.close()
        shutil.rmtree(self.folder)


LibraryMachine.TestCase.settings = settings(max_examples=15, stateful_step_count=25, deadline=None)
TestLibrary = LibraryMachine.TestCase
