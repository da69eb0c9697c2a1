"""The search on a few foods made for the purpose: order, slips, accents, word forms, filters, short texts, the cut."""

from pathlib import Path

import pytest

from workbench.composition.food import Food, Value
from workbench.composition.search import MOST_RANKED, SearchIndex
from workbench.composition.search_filter import SearchFilter
from workbench.composition.synonyms import Synonyms, read_synonyms
from workbench.composition.table_file import CompositionError


def food(name: str, **facts: object) -> Food:
    return Food(**{"id": name, "name": name, **facts})  # type: ignore[arg-type]


SYNONYMS = Synonyms((("maize", "corn"), ("peanut", "groundnut")), {"flour": "wheat flour, white", "ol": "seed oil"})
LARDER = (
    food("maize starch"),
    food("maize, puffed"),
    food("peanut butter, smooth"),
    food("butter, unsalted", names={"de": "Butter"}),
    food("butter, salted"),
    food("biscuits, with butter"),
    food("rice, white, cooked"),
    food("rice, white, raw"),
    food("rice flour"),
    food("wheat flour, white", also=("plain flour",), names={"de": "Weizenmehl", "es": "harina de trigo"}),
    food("buckwheat flour"),
    food("apple purée"),
    food("figs, dried"),
    food("sour cherries, dried"),
    food("seed oil", names={"de": "Öl"}),
)
INDEX = SearchIndex(LARDER, SYNONYMS)


def names(text: str, **options: object) -> list[str]:
    return [found.name for found in INDEX.find(text, **options)]  # type: ignore[arg-type]


def test_the_food_itself_comes_before_what_has_its_name_in_it() -> None:
    assert names("butter") == [
        "butter, salted",
        "butter, unsalted",
        "peanut butter, smooth",
        "biscuits, with butter",
    ] or (names("butter") == ["butter, unsalted", "butter, salted", "peanut butter, smooth", "biscuits, with butter"])


def test_raw_comes_before_cooked() -> None:
    assert names("rice")[:2] == ["rice, white, raw", "rice, white, cooked"]


@pytest.mark.parametrize("text", ["flour", "plain flour", "Weizenmehl", "mehl", "harina", "flou"])
def test_what_a_cook_means_by_a_plain_word_comes_first(text: str) -> None:
    assert names(text)[0] == "wheat flour, white"


@pytest.mark.parametrize(
    "text", ["corn starch", "starch corn", "cornstarch", "maizestarch", "Maize STARCH", "starch of corn"]
)
def test_words_of_one_meaning_in_any_order_joined_or_not(text: str) -> None:
    assert names(text)[0] == "maize starch"


def test_a_synonym_reaches_every_name_that_holds_it() -> None:
    assert set(names("corn")) == {"maize starch", "maize, puffed"}
    assert names("groundnut butter") == ["peanut butter, smooth"]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("fig", "figs, dried"),
        ("figs", "figs, dried"),
        ("cherry", "sour cherries, dried"),
        ("apple puree", "apple purée"),
        ("APPLE PURÉE", "apple purée"),
        ("apple pure\u0301e", "apple purée"),
    ],
)
def test_plurals_accents_and_capitals(text: str, name: str) -> None:
    assert names(text) == [name]


def test_a_plural_finds_names_in_both_numbers() -> None:
    index = SearchIndex((food("date, fresh"), food("syrup of dates")), Synonyms())
    assert [found.name for found in index.find("dates")] == ["date, fresh", "syrup of dates"]
    assert [found.name for found in index.find("date")] == ["date, fresh", "syrup of dates"]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("buckwheet", "buckwheat flour"),
        ("bukwheat flower", "buckwheat flour"),
        ("penaut buter", "peanut butter, smooth"),
    ],
)
def test_slips_are_forgiven_where_nothing_fits(text: str, name: str) -> None:
    assert names(text)[0] == name


def test_what_is_nothing_like_it_finds_nothing() -> None:
    assert names("zzz") == names("rice xylophone") == []


def test_under_three_letters_names_that_begin_so_come_in_alphabetical_order() -> None:
    assert names("bu")[:3] == ["buckwheat flour", "butter, salted", "butter, unsalted"]
    assert names("Öl")[0] == names("oel")[0] == names("OL")[0] == "seed oil"


def test_nothing_typed_finds_everything_in_alphabetical_order() -> None:
    assert names("") == names("  ") == sorted((found.name for found in LARDER), key=str.casefold)
    assert len(names("", limit=3)) == 3 and len(names("butter", limit=2)) == 2


def test_every_food_is_found_once() -> None:
    for text in ("flour", "b", "butter", "o", ""):
        found = names(text)
        assert len(found) == len(set(found))


MILK = food(
    "milk",
    origin="dairy",
    contains=("milk",),
    roles=("liquid",),
    values={"FAT": Value(3.3, source="sr26"), "CHOCDF": Value(4.8, source="sr26")},
)
OAT = food(
    "milk of oats",
    origin="plant",
    contains=("gluten_oats",),
    may_contain=("gluten_wheat",),
    roles=("liquid",),
    values={"FAT": Value(1.0, source="pack"), "CHOCDF": Value(8.0, source="pack"), "FIBTG": Value(1.0, source="pack")},
)
UNSTATED = food("milk of rice", origin="plant", contains=None)
SHAKE = food("milk shake powder", origin="plant", contains=("milk",))
BOUGHT = food("milk of mystery", contains=())


@pytest.mark.parametrize(
    ("filters", "expected"),
    [
        (SearchFilter(), {"milk", "milk of oats", "milk of rice", "milk shake powder", "milk of mystery"}),
        (SearchFilter(plant_only=True), {"milk of oats", "milk of rice"}),
        (SearchFilter(without=("gluten_wheat",)), {"milk", "milk shake powder", "milk of mystery"}),
        (SearchFilter(without=("milk",)), {"milk of oats", "milk of mystery"}),
        (SearchFilter(role="liquid"), {"milk", "milk of oats"}),
        (SearchFilter(source="pack"), {"milk of oats"}),
        (SearchFilter(known=("FAT", "CHOAVLDF")), {"milk", "milk of oats"}),
        (SearchFilter(plant_only=True, role="sweetener"), set()),
    ],
)
def test_a_filter_leaves_out_what_is_not_stated(filters: SearchFilter, expected: set[str]) -> None:
    """What is not stated is a risk: allergens not given, an unknown origin.  Milk has no fibre by nature, so its
    carbohydrate without fibre is known."""
    index = SearchIndex((MILK, OAT, UNSTATED, SHAKE, BOUGHT), Synonyms())
    for text in ("milk", "mi", "", "mlik"):
        assert {found.name for found in index.find(text, filters=filters)} == expected, text


def test_a_filter_sees_foods_beyond_the_cut() -> None:
    """A flood of one word hides neither the food of that name nor the only one that a filter leaves."""
    flood = [food(f"rice bar {k:04}", origin="animal") for k in range(MOST_RANKED + 500)]
    rice, plant = food("rice"), food("wholly ordinary price list of plants", origin="plant")
    index = SearchIndex((*flood, rice, plant), Synonyms())
    assert index.find("rice", 1) == [rice]
    assert index.find("rice", filters=SearchFilter(plant_only=True)) == [plant]


def test_a_word_cannot_mean_two_foods_first(tmp_path: Path) -> None:
    (tmp_path / "synonyms.csv").write_text("words,first\nflour;Mehl,a\nmeal;mehl,b\n", encoding="utf-8")
    with pytest.raises(CompositionError) as refused:
        read_synonyms(tmp_path)
    assert "synonyms.csv, line 3" in " ".join(refused.value.lines()) and "mehl" in refused.value.summary
