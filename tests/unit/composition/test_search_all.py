"""One search over the bundled table, a project and the library: the same foods by the same words, in one order."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from msgspec.structs import replace

from tests.support import make_food
from workbench.base.progress import Progress
from workbench.composition.bundled import bundled_foods
from workbench.composition.library.connection import LibraryBusy, LibraryDamaged
from workbench.composition.library.records import TableInfo
from workbench.composition.library.store import Library
from workbench.composition.search import SearchIndex
from workbench.composition.search_all import FoodSearch
from workbench.composition.search_filter import SearchFilter

FOODS = list(bundled_foods().values())
TYPED = (
    *("", "s", "su", "sug", "sugar", "rice flour", "coconut mi", "coconut m", "nut butter", "puffed", "mehl", "ol"),
    *(
        "mlik",
        "buckwheet",
        "desicated coconut",
        "flour rice b",
        "azucar",
        "öl",
        "unt",
        "zzzz",
        "a b",
        "rice the",
        '%_"*',
    ),
)
FILTERS = (
    None,
    SearchFilter(plant_only=True),
    SearchFilter(without=("milk", "gluten_wheat")),
    SearchFilter(role="binder"),
    SearchFilter(source="sr26", known=("STARCH", "CHOAVLDF")),
)


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Library]:
    with Library.open(tmp_path_factory.mktemp("library") / "library.sqlite") as opened:
        opened.put_all(FOODS, words="the bundled foods")
        yield opened


@pytest.mark.parametrize("filters", FILTERS)
def test_the_library_finds_what_the_memory_finds(library: Library, filters: SearchFilter | None) -> None:
    memory, search = SearchIndex(FOODS), FoodSearch((), library=library.path)
    for text in TYPED:
        expected = {food.id for food in memory.find(text, 1_000, filters)}
        assert {found.id for found in search.find(text, 1_000, filters)} == expected, text
        assert search.without_library is None
    search.close()


@pytest.mark.parametrize("text", ["sugar", "rice flour", "coconut mi", "mlik", "nut butter", "mehl"])
def test_in_the_same_order(library: Library, text: str) -> None:
    memory, search = SearchIndex(FOODS), FoodSearch((), library=library.path)
    assert [found.id for found in search.find(text, 12)] == [food.id for food in memory.find(text, 12)]
    search.close()


def test_all_three_in_one_order_and_marked_by_source(tmp_path: Path) -> None:
    bundled = [make_food("b1", {}, name="plum"), make_food("b2", {}, name="plum jam")]
    project = [make_food("p1", {}, name="plum cake"), make_food("own1", {}, name="plum of the project")]
    with Library.open(tmp_path / "library.sqlite") as library:
        library.put(make_food("own1", {}, name="plum"))
        library.put(make_food("own2", {}, name="plum"))
        library.put(make_food("b2", {}, name="plum jam, with less sugar"))
        library.import_table(TableInfo(key="t", title="t"), [make_food("7", {}, name="Plum")], Progress())
        search = FoodSearch(bundled, project, library.path)
        found = search.find("plum")
        assert [(one.id, one.source) for one in found] == [
            ("b1", "bundled"),
            ("own2", ""),
            ("t:7", "t"),  # imported, so after one's own of the same name
            ("p1", "bundled"),
            ("own1", "bundled"),  # as the project has it
            ("b2", ""),  # as the library has it
        ]
        assert [one.name for one in found if one.id == "b2"] == ["plum jam, with less sugar"]
        assert [one.name for one in found if one.id == "own1"] == ["plum of the project"]
        food = search.food(next(one for one in found if one.id == "t:7"))
        assert food is not None and food.taken_from is not None and food.taken_from.kind == "library"
        library.deactivate("b2")
        assert [one.name for one in search.find("plum jam")] == ["plum jam"]  # the bundled one is back
        search.close()


def test_a_library_that_was_opened_again_is_looked_at_anew(tmp_path: Path) -> None:
    plum = make_food("b", {}, name="plum")
    with Library.open(tmp_path / "library.sqlite") as library:
        library.put(plum)
        search = FoodSearch([plum], library=library.path)
        assert [found.source for found in search.find("plum")] == [""]
        search.close()
        library.delete("b")
        assert [found.source for found in search.find("plum")] == ["bundled"]
        search.close()


def test_a_slip_is_forgiven_only_where_no_source_has_the_word(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library.sqlite") as library:
        library.put(make_food("x", {}, name="sugat"))  # rare, but a word
        search = FoodSearch([make_food("b", {}, name="sugar")], library=library.path)
        assert [found.id for found in search.find("sugat")] == ["x"]
        assert [found.id for found in search.find("sugaz")] == ["b", "x"]
        search.close()


def test_a_rename_is_found_by_its_new_name_only(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library.sqlite") as library:
        food = make_food("x", {}, name="quince", names={"de": "Quitte"})
        library.put(food)
        search = FoodSearch((), library=library.path)
        assert search.find("quitte") and search.find("quince")
        library.put(replace(food, name="pear", names={}))
        assert not search.find("quince") and not search.find("quitte")
        assert [found.name for found in search.find("pear")] == ["pear"]
        search.close()


def test_without_a_library_that_can_be_read_the_rest_is_found(tmp_path: Path) -> None:
    path = tmp_path / "library.sqlite"
    search = FoodSearch([make_food("b", {}, name="sugar")], library=path)
    assert [found.id for found in search.find("sugar")] == ["b"] and search.without_library is None
    with Library.open(path) as library:
        library.put(make_food("x", {}, name="sugar"))
    assert [found.id for found in search.find("sugar")] == ["b", "x"]
    with closing(sqlite3.connect(path, isolation_level=None)) as importing:
        importing.execute("BEGIN EXCLUSIVE")
        assert [found.id for found in search.find("sugar")] == ["b"]
        assert isinstance(search.without_library, LibraryBusy)
    assert [found.id for found in search.find("sugar")] == ["b", "x"]
    search.close()
    path.write_text("spoilt " * 1000)
    assert [found.id for found in search.find("sugar")] == ["b"]
    assert isinstance(search.without_library, LibraryDamaged)
