"""Imports and exports for any content: what is written comes back, and the quick way reads right."""

import csv
import io
import re
import tempfile
from pathlib import Path
from typing import get_args

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from workbench.base.cell_text import guarded, unguarded
from workbench.base.progress import Progress
from workbench.composition.components import COMPONENTS
from workbench.composition.exports.columns import joined, parted
from workbench.composition.exports.files import export_foods
from workbench.composition.food import ALLERGENS, POSSIBLE, Food, Kind, Measure, Origin, Pack, Storage, TakenFrom, Value
from workbench.composition.imports import plain_columns
from workbench.composition.imports.detection import detect, make_plan
from workbench.composition.imports.running import read
from workbench.composition.imports.tally import Tally

# What a workbook can hold: no control characters, and line ends of one kind (base.cell_text says what others become).
text = st.text(st.characters(exclude_categories=("C",), exclude_characters="\x85\u2028\u2029"), min_size=1, max_size=12)
maybe = st.just("") | text
amount = st.floats(0.0, 100.0) | st.sampled_from([0.1 + 0.2, 1 / 3, 5e-324, 100.0])
value = st.builds(
    Value, amount, st.sampled_from(get_args(Kind)), maybe, maybe, maybe, st.none() | st.integers(1, 999),
    st.none() | amount, maybe,
)  # fmt: skip
possible = {field: st.floats(*limits) for field, limits in POSSIBLE.items()}
words = st.lists(text, max_size=3).map(tuple)
food = st.builds(
    Food, id=text, name=text, names=st.dictionaries(st.sampled_from(["de", "es", "fr"]), text, max_size=2), also=words,
    group=maybe, values=st.dictionaries(st.sampled_from(list(COMPONENTS)), value, max_size=8),
    limits=st.dictionaries(st.sampled_from(list(COMPONENTS)), amount, max_size=3), digestibility=maybe,
    origin=st.sampled_from(get_args(Origin)),
    contains=st.none() | st.lists(st.sampled_from(ALLERGENS), unique=True).map(tuple),
    may_contain=st.lists(st.sampled_from(ALLERGENS), unique=True).map(tuple),
    gut=words, doping=maybe, roles=words, density_g_per_ml=st.none() | possible["density_g_per_ml"],
    density_source=maybe,
    measures=st.lists(st.builds(Measure, text, possible["grams"], maybe, maybe), max_size=2).map(tuple),
    edible_fraction=possible["edible_fraction"], bought_as=maybe,
    packs=st.lists(
        st.builds(Pack, possible["size_g"], st.none() | possible["price"], maybe, maybe), max_size=2
    ).map(tuple),
    storage=st.sampled_from(get_args(Storage)), typical_yield=st.none() | possible["typical_yield"],
    yield_source=maybe, nitrogen_factor=st.none() | possible["nitrogen_factor"], fat_profile=maybe,
    cannot_contain=words, note=maybe,
    taken_from=st.none() | st.builds(TakenFrom, st.sampled_from(["bundled", "library", "own"]), maybe, maybe, maybe),
)  # fmt: skip


@settings(max_examples=40)
@given(st.lists(food, min_size=1, max_size=3, unique_by=lambda each: each.id), st.sampled_from([".xlsx", ".zip"]))
def test_an_exported_table_imports_as_it_was(foods: list[Food], ending: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"table{ending}"
        export_foods(foods, path)
        tally = Tally()
        plan = make_plan(path, detect(path), key="another key")
        assert list(read(plan, tally, Progress())) == foods
        assert not tally.problems()


@given(st.text(max_size=20))
def test_guarding_a_cell_can_be_taken_back(content: str) -> None:
    assert unguarded(guarded(content)) == content
    assert guarded(content)[:1] not in tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")


@given(st.lists(st.text(min_size=1, max_size=8), max_size=5))
def test_lists_in_one_cell_come_apart_again(content: list[str]) -> None:
    assert parted(joined(content)) == tuple(content)


figure = st.from_regex(r"[0-9]{0,6}|[0-9]{1,5}\.[0-9]{0,4}|\.[0-9]{1,8}", fullmatch=True, alphabet="0123456789.")
cell = figure | st.sampled_from(
    [".", "1.2.3", "", "0", "7", "12.5", ".5", "1003", "a", 'x"y', "1,2", "line\nend", "0.1", "9" * 17, "-3", "1e3"]
)


@given(st.lists(st.tuples(cell, cell, cell), min_size=1, max_size=8), st.booleans())
def test_plain_columns_read_what_the_csv_module_reads_or_nothing(
    rows: list[tuple[str, str, str]], quoted: bool
) -> None:
    written = io.StringIO(newline="")
    csv.writer(
        written, lineterminator="\n", quoting=csv.QUOTE_ALL if quoted else csv.QUOTE_MINIMAL
    ).writerows(rows)  # fmt: skip
    block = plain_columns.block_of(written.getvalue().encode(), 3)
    if block is None:
        assert any("\n" in content or "," in content or '"' in content for row in rows for content in row)
        return
    assert len(block) == len(rows)
    for column in range(3):
        found = plain_columns.decimal(block.figures(column))
        cells = [row[column] for row in rows]
        if all(re.fullmatch(r"[0-9]*|[0-9]+\.[0-9]*|\.[0-9]+", text) and len(text) < 16 for text in cells):
            assert found is not None
        if found is not None:
            expected = [float(row[column]) if row[column] else np.nan for row in rows]
            assert np.array_equal(found, expected, equal_nan=True)
