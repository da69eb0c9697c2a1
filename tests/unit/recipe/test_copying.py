"""What is copied from a recipe can be pasted into a spreadsheet, and back."""

from collections.abc import Iterator

import pytest

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.base.text import use_language
from workbench.composition.pasting import KnownNames, read_rows
from workbench.document.project import Project
from workbench.recipe.copying import rows_text

MEAL = make_food("meal", {"WATER": 10}, name="maize meal")
NUT = make_food("nut", {"WATER": 5}, name='=1+1 "nut",\tlong\nname')


@pytest.fixture(params=["en", "de"])
def language(request: pytest.FixtureRequest) -> Iterator[str]:
    use_language(request.param)
    yield request.param
    use_language("en")


def recipe() -> Project:
    lines = make_line(MEAL, 1234.5, "a"), make_line(NUT, 0.125, "b", as_bought=True)
    return make_project([MEAL, NUT], make_variant(*lines))


def test_rows_under_a_header() -> None:
    assert rows_text(evaluated(recipe()), [0, 1]) == (
        "ingredient\tgrams\t% of batch\tas bought\tstage\n"
        "maize meal\t1234.5\t99.99\t\tcook\n"
        '\'=1+1 "nut", long name\t0.125\t0.01\tyes\tcook\n'
    )


def test_copied_rows_are_read_as_they_were(language: str) -> None:
    project = recipe()
    names = KnownNames(project.foods, {})
    for row, line in zip(read_rows(rows_text(evaluated(project), [0, 1])), project.variants[0].lines, strict=True):
        read = names.read(row, "metric")
        assert read.parsed is not None
        assert (read.parsed.grams, row.as_bought, row.stage) == (line.amount_g, line.as_bought, "cook")
        assert row.name == " ".join(project.foods[line.food_ref.id].name.split())
    assert names.read(read_rows(rows_text(evaluated(project), [0]))[0], "metric").key == "meal"


def test_an_empty_batch_has_no_shares() -> None:
    project = make_project([MEAL], make_variant(make_line(MEAL, 0.0)))
    assert "\t–\t" in rows_text(evaluated(project), [0])
