"""Rows of spreadsheets and lists, in the shapes that people have them; what is not certain is never guessed."""

import pytest

from workbench.composition.food import Food, Measure
from workbench.composition.pasting import KnownNames, PastedRow, read_rows

FIG = Food(id="fig", name="figs, dried", also=("dried figs", "fig"), measures=(Measure("fig", 8.4),))
MEAL = Food(id="meal", name="maize meal", names={"de": "Maismehl"}, also=("cornmeal",))
COARSE = Food(id="coarse", name="maize meal, coarse", also=("cornmeal",))
HONEY = Food(id="honey", name="honey", density_g_per_ml=1.42)
NAMES = KnownNames({food.id: food for food in (FIG, MEAL, COARSE, HONEY)}, {"v1": "Race"})


@pytest.mark.parametrize(
    ("text", "name", "amount"),
    [
        ("maize meal\t300", "maize meal", "300"),
        ("300\tmaize meal", "maize meal", "300"),
        ("maize meal\t0,3\tkg", "maize meal", "0,3 kg"),
        ("0.3\tkg\tmaize meal", "maize meal", "0.3 kg"),
        ('"maize meal, ""fine"""\t300 g', 'maize meal, "fine"', "300 g"),
        ("maize meal;300 g", "maize meal", "300 g"),
        ("300 g maize meal", "maize meal", "300 g"),
        ("maize meal 300 g", "maize meal", "300 g"),
        ("maize meal: 1,5 kg", "maize meal", "1,5 kg"),
        ("½ cup honey", "honey", "½ cup"),
        ("1 1/2 cups honey", "honey", "1 1/2 cups"),
        ("3 tbsp of honey", "honey", "3 tbsp"),
        ("2 figs", "figs", "2 figs"),
        ("maize meal", "maize meal", ""),
        ("amount (kg)\tingredient\n0,3\tmaize meal", "maize meal", "0,3 kg"),
        ("Zutat\tMenge (kg)\nmaize meal\t0,3", "maize meal", "0,3 kg"),
        ("ingredient\tamount\tunit\nmaize meal\t2\tcups", "maize meal", "2 cups"),
        ("ingredient\tgrams\t% of batch\nmaize meal\t300\t19.9", "maize meal", "300"),
        ("maize meal\t300\t19.9", "maize meal", "300"),
    ],
)
def test_name_and_amount_are_found_wherever_they_stand(text: str, name: str, amount: str) -> None:
    (row,) = read_rows(text)
    assert (row.name, row.amount) == (name, amount)


def test_headers_and_empty_rows_are_left_out_and_the_rest_is_numbered() -> None:
    rows = read_rows("ingredient\tgrams\tas bought\tstage\r\n\r\nhoney\t5\tyes\tfold in\r\n\t\t\t\r\nfig\t7\tno\t\r\n")
    assert rows[0] == PastedRow(1, "honey", "5", True, "fold in")
    assert (rows[1].name, rows[1].amount, rows[1].as_bought) == ("fig", "7", False)
    assert len(rows) == 2
    assert read_rows("") == read_rows(" \n\t\n") == []
    assert [row.name for row in read_rows("honey\nfig")] == ["honey", "fig"]  # names alone are no header


def test_only_a_whole_name_is_certain() -> None:
    assert NAMES.find("Maize  MEAL") == ("meal",)  # a name of its own comes before a longer one
    assert NAMES.find("Maismehl") == ("meal",)
    assert NAMES.find("dried figs") == ("fig",)
    assert NAMES.find("race") == ("v1",)
    assert NAMES.find("cornmeal") == ("coarse", "meal")
    assert NAMES.find("maize") == ()


@pytest.mark.parametrize(
    ("text", "key", "grams", "problem"),
    [
        ("honey\t1,5 kg", "honey", 1500.0, ""),
        ("2 figs", None, None, "no ingredient has exactly this name"),
        ("fig\t2 figs", "fig", 16.8, ""),
        ("honey\t1 l", "honey", 1420.0, ""),
        ("cornmeal\t20", None, 20.0, "several ingredients"),
        ("corn meal\t20", None, 20.0, "no ingredient has exactly"),
        ("honey\t1,500 g", "honey", None, "can mean 1.5 g or 1500 g"),
        ("honey\t-3", "honey", None, "negative"),
        ("honey\t3 wheelbarrows", "honey", None, "not a known unit"),
        ("honey\t2000000", "honey", None, "more than a line can hold"),
        ("honey\t", "honey", None, "no amount"),
        ("Race\t50", "v1", 50.0, ""),
    ],
)
def test_what_is_not_certain_says_why(text: str, key: str | None, grams: float | None, problem: str) -> None:
    read = NAMES.read(read_rows(text)[0], "metric")
    assert read.key == key
    assert (read.parsed.grams if read.parsed else None) == (pytest.approx(grams) if grams else None)
    assert problem in read.problem
    assert bool(problem) == bool(read.problem)


@pytest.mark.parametrize("line", ["1 " * 50_000, "a" * 100_000, "1" * 100_000, "x 1" * 30_000, "½" * 50_000])
def test_no_amount_is_looked_for_in_an_endless_line(line: str) -> None:
    (row,) = read_rows(line)
    assert (row.name, row.amount) == (line.strip(), "")
    assert NAMES.read(row, "metric").problem == "no ingredient has exactly this name"
