"""Edits of several lines: locks, groups and a held batch weight count as in a drag, and a line keeps its id."""

import pytest
from msgspec.structs import replace

from tests.support import evaluated
from workbench.composition.food import Food, Value
from workbench.document import line_edits
from workbench.document.edits import Change
from workbench.document.line_edits import NewLine
from workbench.document.project import FoodRef, Line, Project, Stage, Variant, Weighed
from workbench.document.variant_edits import new_variant

MEAL, OIL = Food(id="meal", name="maize meal"), Food(id="oil", name="rapeseed oil")


def line(line_id: str, grams: float, **more: object) -> Line:
    return Line(id=line_id, **{"stage_id": "boil", "food_ref": FoodRef(kind="own", id="meal"), **more}, amount_g=grams)  # type: ignore[arg-type]


def project_of(*lines: Line, **more: object) -> Project:
    stages = (Stage(id="boil"), Stage(id="press"))
    variant = Variant(id="v", name="Original", stages=stages, lines=lines, **more)  # type: ignore[arg-type]
    return Project(id="p", title="squares", foods={"meal": MEAL}, variants=(variant,))


def amounts(project: Project) -> dict[str, float]:
    return {x.id: x.amount_g for x in project.variant("v").lines}


def test_scaling_leaves_locked_lines_and_what_was_not_chosen() -> None:
    project = project_of(line("a", 100, entered="1 cup"), line("b", 50, lock=True), line("c", 10), line("d", 5))
    edit = line_edits.scale_lines(project, "v", ["a", "b", "c"], 1.5)
    assert amounts(edit.project) == {"a": 150, "b": 50, "c": 15, "d": 5}
    assert edit.project.variant("v").lines[0].entered == ""
    assert edit.change == Change.AMOUNTS
    assert edit.words == "scale maize meal, maize meal × 1.5"
    assert line_edits.scale_lines(project_of(*(line(x, 1) for x in "abcd")), "v", "abcd", 2).words == (
        "scale 4 ingredients × 2"
    )


def test_scaling_takes_the_rest_of_a_group_along_and_holds_the_batch_weight() -> None:
    lines = (line("a", 100, group="fat"), line("b", 50, group="fat"), line("c", 60), line("d", 30))
    assert amounts(line_edits.scale_lines(project_of(*lines), "v", ["a"], 1.2).project) == pytest.approx(
        {"a": 120, "b": 60, "c": 60, "d": 30}
    )
    held = line_edits.scale_lines(project_of(*lines, hold_batch_weight=True), "v", ["a"], 1.2).project
    assert amounts(held) == pytest.approx({"a": 120, "b": 60, "c": 40, "d": 20})


def test_lines_are_grouped_and_freed() -> None:
    project = project_of(line("a", 1), line("b", 2), line("c", 3))
    edit = line_edits.group_lines(project, "v", ["a", "c"], together=True)
    first, alone, third = (x.group for x in edit.project.variant("v").lines)
    assert first == third != ""
    assert alone == ""
    assert (edit.words, edit.change) == ("keep in proportion", Change.LINES)
    freed = line_edits.group_lines(edit.project, "v", ["a", "b", "c"], together=False)
    assert freed.project == project
    assert freed.words == "free from proportion"


def test_a_replaced_line_keeps_its_place_and_its_limits_but_nothing_of_the_other_food() -> None:
    old = line(
        "a", 80, entered="½ cup", as_bought=True, lock=True, max_g=200, group="g", retention={"K": 0.8}, note="cold"
    )
    project = project_of(old, line("b", 1))
    edit = line_edits.replace_food(project, "v", "a", OIL, 65.5)
    new = edit.project.variant("v").lines[0]
    assert new == replace(old, food_ref=FoodRef(kind="own", id="oil"), amount_g=65.5, entered="", retention={})
    assert edit.project.foods == {"meal": MEAL, "oil": OIL}
    assert edit.words == "replace maize meal by rapeseed oil"
    assert edit.change == Change.LINES | Change.FOODS


@pytest.mark.parametrize(
    ("water", "weighed_then"),
    [
        (75.0, 50.0),  # egg for egg: 0.5 g of 300 g
        (71.0, 50.0),  # 2.5 g less, within one percent of the batch
        (12.0, 0.0),  # 32 g of 300 g less: the stage gives off another amount of water
        (None, 0.0),  # nobody knows
    ],
)
def test_a_food_of_other_water_was_not_weighed(water: float | None, weighed_then: float) -> None:
    def food(key: str, percent: float | None) -> Food:
        return Food(id=key, name=key, values={} if percent is None else {"WATER": Value(percent, "typical")})

    stage = Stage(id="boil", weight=Weighed(in_g=300, out_g=200, amounts={"egg": 50.0, "b": 250.0}))
    project = project_of(line("egg", 50), line("b", 250))
    variant = replace(project.variants[0], stages=(stage,))
    project = replace(project, variants=(variant,), foods={"meal": food("meal", 76.0)})
    edit = line_edits.replace_food(project, "v", "egg", food("other", water), 50.0)
    weight = edit.project.variant("v").stages[0].weight
    assert isinstance(weight, Weighed)
    assert weight.amounts == {"egg": weighed_then, "b": 250.0}
    said = [problem.message for problem in evaluated(edit.project).problems]
    assert ("weighed at other amounts: other was 0 % of the batch then and is 17 % now." in said) == (not weighed_then)


def test_a_variant_in_the_place_of_a_food_is_never_as_bought() -> None:
    edit, base = new_variant(project_of(line("a", 80, as_bought=True)), "Base")
    new = line_edits.replace_food(edit.project, "v", "a", base, 80).project.variant("v").lines[0]
    assert new.food_ref == FoodRef(kind="variant", id=base)
    assert not new.as_bought


def test_pasted_lines_come_into_their_stages_with_their_foods() -> None:
    project = project_of(line("a", 1), line("p", 2, stage_id="press"))
    rows = [NewLine(OIL, "boil", 30, "2 tbsp", True), NewLine(MEAL, "press", 40), NewLine(OIL, "boil", 5)]
    edit = line_edits.paste_lines(project, "v", rows)
    lines = edit.project.variant("v").lines
    assert [(x.food_ref.id, x.stage_id, x.amount_g) for x in lines] == [
        ("meal", "boil", 1),
        ("oil", "boil", 30),
        ("oil", "boil", 5),
        ("meal", "press", 2),
        ("meal", "press", 40),
    ]
    assert (lines[1].entered, lines[1].as_bought, lines[4].as_bought) == ("2 tbsp", True, False)
    assert len({x.id for x in lines}) == 5
    assert set(edit.project.foods) == {"meal", "oil"}
    assert edit.words == "paste 3 ingredients"
