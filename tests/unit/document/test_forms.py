"""Typical forms: each is a project that opens, gives pieces at once, and says that its amounts are a starting point."""

import pytest

from workbench.composition.bundled import bundled_foods
from workbench.document.forms import FORMS, Form, new_from_form
from workbench.recipe.evaluation import evaluate
from workbench.recipe.food_row import FoodRows
from workbench.recipe.preparation import prepare
from workbench.storage.checks import check

FORM = pytest.mark.parametrize("form", FORMS, ids=[form.key for form in FORMS])


@FORM
def test_a_form_gives_a_sound_recipe_with_whole_pieces_and_no_complaint(form: Form) -> None:
    project = new_from_form(form, bundled_foods())
    assert check(project) == (project, [])
    variant = project.variants[0]
    result = evaluate(prepare(project, variant, FoodRows()), variant)
    assert result.problems == ()
    assert result.portions.whole_pieces >= 8
    # Of the trade, common practice, no source: a piece to eat on the move brings 10 to 40 g carbohydrate.
    assert 10 <= result.bound("CHOAVLDF", "portion").value <= 40
    assert all("no source" in line.note for line in variant.lines)


def test_every_project_from_a_form_is_its_own() -> None:
    first, second = (new_from_form(FORMS[0], bundled_foods()) for _k in range(2))
    ids = [{p.id, p.variants[0].id, *(x.id for x in p.variants[0].lines)} for p in (first, second)]
    assert not ids[0] & ids[1]
