"""Columns beside the amounts: the figures of the one calculation, their limits in a few signs, and names that last."""

import math

import pytest
from msgspec.structs import replace

from tests.support import NO_RULES, evaluated, make_food, make_line, make_project, make_variant
from workbench.composition.food import Value
from workbench.document.project import Assumptions, ByCount, WaterLost
from workbench.recipe.bound import NOT_KNOWN, Bound
from workbench.recipe.columns import (
    MOST_COLUMNS,
    SHARE,
    Column,
    as_bound,
    cell_text,
    cell_words,
    column_titles,
    column_words,
    estimated_keys,
    line_figures,
    read_basis,
    read_columns,
)
from workbench.recipe.evaluation import Evaluation
from workbench.recipe.quantities import QUANTITIES

SYRUP = make_food("syrup", {"WATER": 20, "CHOAVLDF": 80, "FIBTG": 0, "PROCNT": 0, "FAT": 0, "NA": 10})
OATS = make_food("oats", {"WATER": 10, "CHOAVLDF": 60, "PROCNT": 13, "FAT": 7})  # the label is silent about fibre


def two(*, count: int = 10, grams: float = 100.0, lost: float = 0.0) -> Evaluation:
    lines = make_line(SYRUP, grams), make_line(OATS, 300.0)
    variant = make_variant(*lines, weight=WaterLost(amount=lost), portioning=ByCount(count=count))
    return evaluated(make_project([SYRUP, OATS], variant, assumptions=NO_RULES))


def cell(evaluation: Evaluation, column: Column, line: int, basis: str = "portion") -> str:
    return cell_text(as_bound(line_figures(evaluation, column, basis), line), column.decimals)  # type: ignore[arg-type]


def test_what_lines_bring_adds_up_to_the_piece_on_every_basis() -> None:
    for basis in ("batch", "portion", "per_100g", "per_hour", "per_25g_carbohydrate"):
        for key in ("CHOAVLDF", "PROCNT", "energy_kj", "NA"):
            figures = line_figures(two(), Column("brings", key), basis)  # type: ignore[arg-type]
            assert figures[0].sum() == pytest.approx(two().bound(key, basis).value)  # type: ignore[arg-type]


def test_the_limits_of_what_lines_bring_add_up_too() -> None:
    for key in ("CHOCDF", "NA", "energy_kcal"):
        figures, whole = line_figures(two(), Column("brings", key), "portion"), two().bound(key, "portion")
        assert figures[1].sum() == pytest.approx(whole.low)
        assert figures[2].sum() == pytest.approx(whole.high)


def test_composition_is_per_100_g_whatever_the_amount() -> None:
    for evaluation in (two(), two(grams=0.0)):
        assert cell(evaluation, Column("per_100g", "CHOAVLDF"), 0) == "80.0"
        assert cell(evaluation, Column("per_100g", "PROCNT"), 1) == "13.0"
    assert cell(two(grams=0.0), Column("brings", "CHOAVLDF"), 0) == "0.0"


def test_the_share_of_the_batch() -> None:
    assert [cell(two(), SHARE, k) for k in (0, 1)] == ["25.0", "75.0"]
    empty = evaluated(make_project([SYRUP], make_variant(make_line(SYRUP, 0.0))))
    assert cell(empty, SHARE, 0) == "–"


def test_what_is_not_known_is_a_question_mark_and_what_nobody_has_is_a_zero() -> None:
    assert cell(two(), Column("brings", "CAFFN"), 0) == "?"
    assert cell(two(grams=0.0), Column("brings", "CAFFN"), 0) == "0"
    assert cell(two(), Column("per_100g", "FIBTG"), 0) == "0.0"
    assert cell(two(), Column("per_100g", "FIBTG"), 1) != "0.0"


def test_a_ratio_belongs_to_an_ingredient() -> None:
    # 80 g carbohydrate × 17 kJ are all its energy.
    assert cell(two(), Column("per_100g", "energy_from_carbohydrate"), 0) == "100"
    assert cell(two(), Column("per_100g", "energy_from_fat"), 0) == "0"
    water = make_food("water", {"WATER": 100, "CHOAVLDF": 0, "FIBTG": 0, "PROCNT": 0, "FAT": 0})
    only = evaluated(make_project([water], make_variant(make_line(water, 5.0))))
    assert cell(only, Column("per_100g", "energy_from_fat"), 0) == "–"


def test_without_a_result_nothing_is_brought_but_composition_stays() -> None:
    broken = two(lost=399.0)
    assert not broken.valid
    assert cell(broken, Column("brings", "FAT"), 1) == "–"
    assert cell(broken, Column("per_100g", "FAT"), 1) == "7.0"


def test_without_carbohydrate_there_is_no_25_g_of_it() -> None:
    oil = make_food("oil", {"WATER": 0, "CHOAVLDF": 0, "FIBTG": 0, "PROCNT": 0, "FAT": 100})
    only = evaluated(make_project([oil], make_variant(make_line(oil, 5.0)), assumptions=NO_RULES))
    assert cell(only, Column("brings", "FAT"), 0, "per_25g_carbohydrate") == "–"


@pytest.mark.parametrize(
    ("bound", "text"),
    [
        (Bound(4.84, 4.84, 4.84), "4.8"),
        (Bound(4.84, 4.84, math.inf, ("x",)), "≥ 4.8"),
        (Bound(0.3, 0.0, 0.3, ("x",)), "≤ 0.3"),
        (Bound(0.6, 0.6, 0.9, ("x",)), "0.6–0.9"),
        (Bound(0.60, 0.60, 0.61, ("x",)), "0.6"),
        (Bound(0.0, 0.0, math.inf, ("x",)), "?"),
        (NOT_KNOWN, "?"),
        (Bound(math.nan, math.nan, math.nan), "–"),
    ],
)
def test_signs_of_a_cell(bound: Bound, text: str) -> None:
    assert cell_text(bound, 1) == text


def test_an_estimate_is_marked_in_the_cell_and_in_words() -> None:
    bound, column = Bound(4.8, 4.8, 4.8), Column("brings", "FIBTG")
    assert cell_text(bound, 1, estimated=True) == "≈ 4.8"
    words = cell_words(bound, column, "portion", estimated=True, percent=34.2)
    assert words.splitlines() == [
        "fibre that the ingredient brings to: one piece: 4.8 g",
        "≈ derived by a rule, or borrowed from a similar food",
        "34 % of all that is brought",
    ]
    open_end = cell_words(Bound(1, 1, math.inf, ("",)), column, "portion", estimated=False, percent=None)
    assert "at least 1.0 g" in open_end
    assert "not known exactly" in open_end
    assert cell_words(NOT_KNOWN, SHARE, "portion", estimated=False, percent=None).endswith("not known")


def test_what_rests_on_derived_values_is_told_apart() -> None:
    """Starch by difference (DESIGN, section 4) makes glucose-type carbohydrate an estimate, and not the sugars."""
    food = replace(
        make_food("f", {"CHOAVLDF": 70, "FIBTG": 3, "SUGAR": 10, "FAT": 1}),
        values={
            **make_food("f", {"CHOAVLDF": 70, "FIBTG": 3, "SUGAR": 10, "FAT": 1}).values,
            "NA": Value(3, "borrowed"),
        },
        origin="plant",
        group="dry grains",
    )
    marked = estimated_keys(food, Assumptions())
    assert {"NA", "salt", "glucose_type"} <= marked
    assert not {"SUGAR", "CHOAVLDF", "FAT", "FIBTG"} & marked
    assert estimated_keys(make_food("g", {"FAT": 1}), NO_RULES) == frozenset()


def test_columns_survive_being_remembered_and_rubbish_does_not() -> None:
    columns = (SHARE, Column("per_100g", "fructose_to_glucose"), Column("brings", "FIBTG"))
    assert read_columns([column.name for column in columns]) == columns
    rubbish = ["", "share FAT", "brings", "brings fructose_to_glucose", "brings NOPE", "per_100g", "sideways FAT", "\0"]
    assert read_columns([*rubbish, "brings FAT", "brings FAT"]) == (Column("brings", "FAT"),)
    assert len(read_columns(f"per_100g {key}" for key in QUANTITIES)) == MOST_COLUMNS
    assert read_basis("per_hour") == "per_hour"
    assert read_basis("per moon") == "portion"


def test_every_possible_column_has_a_short_title_and_full_words() -> None:
    for key, quantity in QUANTITIES.items():
        for kind in ("per_100g", "brings"):
            column = Column(kind, key)
            title, unit = column_titles(column, "portion")
            assert title
            assert quantity.unit in unit
            assert quantity.title in column_words(column, "portion")
    assert column_titles(Column("brings", "FIBTG"), "per_25g_carbohydrate") == ("fibre", "g / 25 g carb.")
    assert column_titles(Column("per_100g", "FIBTG"), "per_hour") == ("fibre", "g / 100 g")
    assert column_words(SHARE, "portion").startswith("share")
