"""USDA SR26 as one wide table, imported and counted beside pandas.

Needs the folder that POCKETFARE_REFERENCE names; closure is counted from the same release: 94 % of foods
within 1 g, 99 % within 2 g.
"""

from pathlib import Path

import pandas as pd
import pytest

from workbench.base.progress import Progress
from workbench.composition.components import COMPONENTS
from workbench.composition.food import POSSIBLE, Food
from workbench.composition.imports.detection import detect, left_out, make_plan
from workbench.composition.imports.running import read
from workbench.composition.imports.tally import Tally


@pytest.fixture(scope="module")
def published(request: pytest.FixtureRequest) -> Path:
    import os

    folder = os.environ.get("POCKETFARE_REFERENCE", "")
    if not folder:
        pytest.skip("needs POCKETFARE_REFERENCE, the folder of the outside tables")
    return Path(folder) / "usda_sr26_per_100g.csv.gz"


@pytest.fixture(scope="module")
def imported(published: Path) -> tuple[dict[str, Food], Tally, tuple[str, ...]]:
    tally = Tally()
    plan = make_plan(published, detect(published), key="sr26")
    foods = {food.id: food for food in read(plan, tally, Progress())}
    return foods, tally, tuple(column.key for column in left_out(plan))


def test_rows_and_values_are_those_that_pandas_counts(
    published: Path, imported: tuple[dict[str, Food], Tally, tuple[str, ...]]
) -> None:
    foods, tally, left = imported
    table = pd.read_csv(published, dtype={"ndb_no": str})
    tags = [tag for tag in COMPONENTS if tag in table]
    assert len(foods) == tally.rows == len(table)
    for tag in tags:
        assert sum(tag in food.values for food in foods.values()) == table[tag].notna().sum(), tag
    assert tally.values == table[tags].notna().sum().sum()
    assert set(left) == {"pro_factor", "fat_factor", "carb_factor", "VITC"}
    odd = table["n_factor"].gt(0) & ~table["n_factor"].between(*POSSIBLE["nitrogen_factor"])  # as published
    (problem,) = tally.problems()
    assert problem.kind.code == "import_odd_nitrogen_factor" and problem.parts["n"] == odd.sum() == 2
    for tag in tags:  # every figure, unchanged
        known = table[["ndb_no", tag]].dropna()
        assert all(foods[code].values[tag].value == amount for code, amount in known.itertuples(index=False)), tag


def test_spot_values_and_facts(imported: tuple[dict[str, Food], Tally, tuple[str, ...]]) -> None:
    foods = imported[0]
    assert "FIBTG" not in foods["20452"].values  # short-grain white rice: not published, and not zero
    assert foods["8120"].values["PROCNT"].value == 13.15
    assert (foods["9040"].edible_fraction, foods["9040"].bought_as) == (0.64, "with Skin")
    assert foods["8120"].group == "Breakfast Cereals"


def test_the_table_closes_as_often_as_published(imported: tuple[dict[str, Food], Tally, tuple[str, ...]]) -> None:
    parts = ("WATER", "PROCNT", "FAT", "CHOCDF", "ASH")
    gaps = [
        abs(sum(food.values[tag].value for tag in (*parts, "ALC") if tag in food.values) - 100.0)
        for food in imported[0].values()
        if all(tag in food.values for tag in parts)
    ]
    assert sum(gap <= 1.0 for gap in gaps) / len(gaps) == pytest.approx(0.94, abs=0.01)
    assert sum(gap <= 2.0 for gap in gaps) / len(gaps) == pytest.approx(0.99, abs=0.01)
