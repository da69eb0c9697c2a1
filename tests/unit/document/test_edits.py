"""Every edit does what it says, says what kind of thing it changed, and leaves everything else as it was."""

import pytest
from msgspec.structs import replace

from workbench.composition.food import Food, TakenFrom
from workbench.document import edits, variant_edits
from workbench.document.edits import Change
from workbench.document.project import (
    Assumptions,
    ByWeight,
    FoodRef,
    Line,
    Plan,
    PlanItem,
    Project,
    Stage,
    Target,
    TargetSet,
    Trial,
    Typical,
    Variant,
    new_id,
)

MEAL, EGG = Food(id="meal", name="maize meal"), Food(id="egg", name="egg")


def line(line_id: str, grams: float, stage: str = "boil", **more: object) -> Line:
    return Line(id=line_id, stage_id=stage, food_ref=FoodRef(kind="own", id="meal"), amount_g=grams, **more)  # type: ignore[arg-type]


def project_of(*lines: Line, **more: object) -> Project:
    stages = (Stage(id="boil"), Stage(id="press"), Stage(id="cut"))
    variant = Variant(id="v", name="Original", stages=stages, lines=lines, **more)  # type: ignore[arg-type]
    return Project(id="p", title="squares", foods={"meal": MEAL}, variants=(variant,))


def amounts(project: Project) -> dict[str, float]:
    return {x.id: x.amount_g for x in project.variant("v").lines}


@pytest.fixture
def project() -> Project:
    return project_of(line("a", 100), line("b", 50), line("c", 10, "press"))


# --- amounts ----------------------------------------------------------------------------------------------------------


def test_one_amount_changes_and_nothing_else(project: Project) -> None:
    edit = edits.set_amount(project, "v", "b", 75.5, "75,5 g")
    assert amounts(edit.project) == {"a": 100, "b": 75.5, "c": 10}
    assert edit.change == Change.AMOUNTS
    assert edit.words == "set maize meal to 75.5 g"
    assert edit.project.variant("v").lines[1].entered == "75,5 g"
    assert edit.project.variant("v").lines[0] is project.variant("v").lines[0]  # what did not change is shared
    assert edit.project.foods is project.foods


@pytest.mark.parametrize(("grams", "said"), [(617.1058, "617"), (61.7106, "61.7"), (6.17106, "6.17"), (40.0, "40")])
def test_undo_says_the_grams_of_a_scale_and_the_amount_keeps_its_digits(
    project: Project, grams: float, said: str
) -> None:
    edit = edits.set_amount(project, "v", "b", grams)
    assert edit.words == f"set maize meal to {said} g"
    assert amounts(edit.project)["b"] == grams


def test_typed_text_is_forgotten_where_it_no_longer_holds() -> None:
    project = project_of(line("a", 100, entered="½ cup"), line("b", 50, entered="50 g"), hold_batch_weight=True)
    after = edits.set_amount(project, "v", "a", 120).project.variant("v")
    assert [x.entered for x in after.lines] == ["", ""]


def test_a_group_keeps_its_proportion_except_for_locked_lines() -> None:
    project = project_of(
        line("a", 100, group="fat"), line("b", 50, group="fat"), line("c", 20, group="fat", lock=True), line("d", 5)
    )
    assert amounts(edits.set_amount(project, "v", "a", 150).project) == {"a": 150, "b": 75, "c": 20, "d": 5}


def test_a_group_cannot_follow_from_nothing() -> None:
    project = project_of(line("a", 0, group="fat"), line("b", 50, group="fat"))
    assert amounts(edits.set_amount(project, "v", "a", 10).project) == {"a": 10, "b": 50}


def test_the_batch_weight_is_held_by_the_unlocked_others() -> None:
    project = project_of(line("a", 100), line("b", 60), line("c", 30), line("d", 40, lock=True), hold_batch_weight=True)
    after = amounts(edits.set_amount(project, "v", "a", 130).project)
    assert after == pytest.approx({"a": 130, "b": 40, "c": 20, "d": 40})
    less = amounts(edits.set_amount(project, "v", "a", 70).project)
    assert less == pytest.approx({"a": 70, "b": 80, "c": 40, "d": 40})


def test_the_batch_weight_is_held_against_a_whole_group() -> None:
    project = project_of(line("a", 100, group="fat"), line("b", 50, group="fat"), line("c", 90), hold_batch_weight=True)
    after = amounts(edits.set_amount(project, "v", "a", 120).project)
    assert after == pytest.approx({"a": 120, "b": 60, "c": 60})


@pytest.mark.parametrize(
    ("other", "left"),
    [(line("b", 5), 0.0), (line("b", 50, lock=True), 50.0)],  # gives all it has; gives nothing
)
def test_where_not_enough_can_give_way_the_batch_grows(other: Line, left: float) -> None:
    project = project_of(line("a", 100), other, hold_batch_weight=True)
    after = amounts(edits.set_amount(project, "v", "a", 110).project)
    assert after == {"a": 110, "b": left}


def test_an_amount_that_follows_stops_at_a_tonne() -> None:
    project = project_of(line("a", 0.001, group="g"), line("b", 1.0, group="g"))
    after = amounts(edits.set_amount(project, "v", "a", 5000.0).project)
    assert after == {"a": 5000.0, "b": 1_000_000.0}


def test_deleting_a_variant_takes_it_out_of_plans_and_trials() -> None:
    project = project_of(line("a", 1))
    (edit, made) = variant_edits.new_variant(project, "copy", "v")
    items = tuple(PlanItem(variant_id=v, hour=0, pieces=1) for v in ("v", made))
    plans = (Plan(id="plan", name="plan", hours=2, items=items),)
    trials = tuple(Trial(id=v, variant_id=v) for v in ("v", made))
    after = variant_edits.remove_variant(replace(edit.project, plans=plans, trials=trials), made).project
    assert [item.variant_id for item in after.plans[0].items] == ["v"]
    assert [trial.variant_id for trial in after.trials] == ["v"]


def test_lines_are_locked_and_counted_as_bought(project: Project) -> None:
    edit = edits.set_lock(project, "v", ["a", "c"], True)
    assert [x.lock for x in edit.project.variant("v").lines] == [True, False, True]
    assert (edit.change, edit.words) == (Change.LINES, "lock amount")
    assert edits.set_lock(edit.project, "v", ["a", "c"], False).project == project
    assert edits.set_lock(project, "v", [], False).words == "unlock amount"

    edit = edits.set_as_bought(project, "v", "b", True)
    assert [x.as_bought for x in edit.project.variant("v").lines] == [False, True, False]
    assert edit.change == Change.PROCESS
    assert edits.set_as_bought(edit.project, "v", "b", False).project == project

    edit = edits.set_cooking_water(project, "v", "b", True)
    assert [x.cooking_water for x in edit.project.variant("v").lines] == [False, True, False]
    assert edit.change == Change.PROCESS
    assert edits.set_cooking_water(edit.project, "v", "b", False).project == project


def test_a_line_that_is_not_there(project: Project) -> None:
    with pytest.raises(KeyError):
        edits.set_amount(project, "v", "gone", 1)
    with pytest.raises(KeyError):
        edits.set_amount(project, "gone", "a", 1)


# --- lines ------------------------------------------------------------------------------------------------------------


def test_a_new_line_follows_the_last_of_its_stage_and_brings_its_food(project: Project) -> None:
    edit = edits.add_line(project, "v", "boil", EGG, 40)
    added = edit.project.variant("v").lines[2]
    assert [x.id for x in edit.project.variant("v").lines] == ["a", "b", added.id, "c"]
    assert (added.stage_id, added.amount_g, added.food_ref) == ("boil", 40, FoodRef(kind="own", id="egg"))
    assert edit.project.foods == {"meal": MEAL, "egg": EGG}
    assert project.foods == {"meal": MEAL}
    assert edit.change == Change.LINES | Change.FOODS
    assert edit.words == "add egg"


def test_the_snapshot_of_a_food_is_not_replaced_by_adding_it_again(project: Project) -> None:
    newer = Food(id="meal", name="newer meal", taken_from=TakenFrom("bundled"))
    after = edits.add_line(project, "v", "cut", newer, 1).project
    assert after.foods["meal"] is MEAL
    assert after.variant("v").lines[-1].food_ref.kind == "bundled"


def test_a_variant_as_ingredient(project: Project) -> None:
    edit, base = variant_edits.new_variant(project, "Base")
    edit = edits.add_line(edit.project, "v", "cut", base, 200)
    used = edit.project.variant("v").lines[-1]
    assert used.food_ref == FoodRef(kind="variant", id=base)
    assert edit.words == "add Base"
    assert edits.food_name(edit.project, used) == "Base"
    assert [v.id for v in variant_edits.variants_using(edit.project, base)] == ["v"]
    assert variant_edits.variants_using(edit.project, "v") == ()
    with pytest.raises(ValueError, match="ingredient of another"):
        variant_edits.remove_variant(edit.project, base)


def test_names_of_what_is_missing(project: Project) -> None:
    for kind in ("own", "variant"):
        missing = replace(line("x", 1), food_ref=FoodRef(kind=kind, id="gone"))  # type: ignore[arg-type]
        assert edits.food_name(project, missing) == "gone"


def test_removing_lines_keeps_their_food(project: Project) -> None:
    edit = edits.remove_lines(project, "v", ["a", "c"])
    assert list(amounts(edit.project)) == ["b"]
    assert edit.project.foods == project.foods
    assert edit.words == "remove maize meal, maize meal"
    assert edit.change == Change.LINES


@pytest.mark.parametrize(
    ("stage", "position", "order"),
    [("boil", 0, "bac"), ("boil", 1, "abc"), ("press", 0, "abc"), ("press", 1, "acb"), ("cut", 0, "acb")],
)
def test_a_line_moves_to_where_it_is_put(project: Project, stage: str, position: int, order: str) -> None:
    edit = edits.move_lines(project, "v", ["b"], stage, position)
    assert "".join(amounts(edit.project)) == order
    assert next(x for x in edit.project.variant("v").lines if x.id == "b").stage_id == stage
    assert edit.change == Change.LINES


def test_moving_several_lines_brings_them_together(project: Project) -> None:
    edit = edits.move_lines(project, "v", ["c", "a"], "cut", 0)
    assert "".join(amounts(edit.project)) == "bac"
    assert [x.stage_id for x in edit.project.variant("v").lines] == ["boil", "cut", "cut"]
    assert edit.words == "move maize meal, maize meal"
    many = project_of(*(line(x, 1) for x in "abcdef"))
    moved = edits.move_lines(many, "v", ["b", "c", "d", "e"], "boil", 2)
    assert "".join(amounts(moved.project)) == "afbcde"
    assert moved.words == "move 4 ingredients"


# --- stages -----------------------------------------------------------------------------------------------------------


def test_stages_are_added_and_replaced(project: Project) -> None:
    edit = edits.add_stage(project, "v", Stage(id="cool"))
    assert [s.id for s in edit.project.variant("v").stages] == ["boil", "press", "cut", "cool"]
    changed = Stage(id="press", weight=Typical())
    edit = edits.set_stage(project, "v", changed)
    assert edit.project.variant("v").stages == (Stage(id="boil"), changed, Stage(id="cut"))
    assert edit.change == Change.PROCESS


@pytest.mark.parametrize(
    ("gone", "stages"),
    [("boil", ["press", "press", "press"]), ("press", ["boil", "boil", "boil"]), ("cut", ["boil", "boil", "press"])],
)
def test_lines_of_a_removed_stage_find_an_heir(project: Project, gone: str, stages: list[str]) -> None:
    edit = edits.remove_stage(project, "v", gone)
    assert [x.stage_id for x in edit.project.variant("v").lines] == stages
    assert gone not in [s.id for s in edit.project.variant("v").stages]
    assert edit.change == Change.PROCESS | Change.LINES


def test_the_last_stage_stays(project: Project) -> None:
    for stage in ("boil", "press"):
        project = edits.remove_stage(project, "v", stage).project
    with pytest.raises(ValueError, match="at least one stage"):
        edits.remove_stage(project, "v", "cut")


# --- variants ---------------------------------------------------------------------------------------------------------


def test_a_copy_stands_behind_its_parent_and_keeps_the_ids_of_its_lines(project: Project) -> None:
    project = variant_edits.describe_variant(project, "v", "original", "first try").project
    project = variant_edits.new_variant(project, "Empty")[0].project
    edit, made = variant_edits.new_variant(project, "Race", "v")
    assert [v.name for v in edit.project.variants] == ["Original", "Race", "Empty"]
    parent, copy = edit.project.variant("v"), edit.project.variant(made)
    assert (copy.parent_id, copy.purpose, copy.lines, copy.notes) == ("v", "", parent.lines, "first try")
    assert edit.change == Change.VARIANTS
    empty = edit.project.variants[2]
    assert (empty.parent_id, empty.lines, len(empty.stages)) == (None, (), 1)


def test_variants_and_projects_are_named_and_described(project: Project) -> None:
    edit = variant_edits.rename_variant(project, "v", "Race")
    assert edit.project.variant("v").name == "Race"
    assert edit.words == "rename variant to Race"
    edit = variant_edits.describe_variant(project, "v", "race", "low in fibre")
    assert (edit.project.variant("v").purpose, edit.project.variant("v").notes) == ("race", "low in fibre")
    assert edits.set_title(project, "bars").project.title == "bars"


def test_children_of_a_removed_variant_go_to_its_parent(project: Project) -> None:
    edit, child = variant_edits.new_variant(project, "Child", "v")
    edit, grandchild = variant_edits.new_variant(edit.project, "Grandchild", child)
    edit = variant_edits.remove_variant(edit.project, child)
    assert [v.id for v in edit.project.variants] == ["v", grandchild]
    assert edit.project.variant(grandchild).parent_id == "v"
    assert edit.words == "delete variant Child"


@pytest.mark.parametrize(("place", "order"), [(0, "cab"), (1, "acb"), (2, "abc"), (9, "abc")])
def test_variants_are_put_into_another_order(place: int, order: str) -> None:
    variants = tuple(Variant(id=x, name=x.upper(), stages=(Stage(id="s"),)) for x in "abc")
    edit = variant_edits.move_variant(Project(id="p", title="", variants=variants), "c", place)
    assert "".join(v.id for v in edit.project.variants) == order
    assert (edit.words, edit.change) == ("move variant C", Change.VARIANTS)


def test_portions_pace_and_assumptions(project: Project) -> None:
    edit = variant_edits.set_portioning(project, "v", ByWeight(piece_g=45), True)
    assert edit.project.variant("v").portioning == ByWeight(piece_g=45)
    assert edit.project.variant("v").hold_batch_weight
    assert edit.change == Change.PORTIONS
    assert variant_edits.set_pace(project, "v", 2.5).project.variant("v").pace_per_hour == 2.5
    edit = edits.set_assumptions(project, Assumptions(lauric_counts=True))
    assert edit.project.assumptions.lauric_counts
    assert edit.change == Change.FOODS


def test_target_sets_are_added_replaced_and_used(project: Project) -> None:
    first, other = TargetSet(id="t", name="race day"), TargetSet(id="u", name="long ride")
    edit = edits.put_target_set(project, "v", first)
    edit = edits.put_target_set(edit.project, "v", other)
    assert edit.project.variant("v").target_set_id == "u"
    better = replace(first, targets=(Target(id="x", quantity="FAT", high=5),))
    edit = edits.put_target_set(edit.project, "v", better)
    assert edit.project.target_sets == (better, other)
    assert edit.project.variant("v").target_set_id == "t"
    assert edit.change == Change.TARGETS


def test_new_ids_differ() -> None:
    assert len({new_id() for _k in range(1000)}) == 1000


def test_a_changed_ingredient_is_changed_in_every_line(project: Project) -> None:
    richer = replace(project.foods["meal"], name="maize meal, richer")
    edit = edits.put_food(project, richer)
    assert edit.project.foods == {**project.foods, "meal": richer}
    assert edit.project.variants == project.variants
    assert (edit.change, edit.words) == (Change.FOODS, "change maize meal, richer")


def test_a_trace_keeps_no_proportion_and_no_sum() -> None:
    """Found by random sessions: factors on denormal amounts were infinite, and infinity times nothing is no number."""
    project = project_of(line("a", 1e-300, group="g"), line("b", 0.0, group="g"), hold_batch_weight=True)
    assert amounts(edits.set_amount(project, "v", "a", 4000.0).project) == {"a": 4000.0, "b": 0.0}
    project = project_of(line("a", 100.0), line("b", 1e-300), hold_batch_weight=True)
    assert amounts(edits.set_amount(project, "v", "a", 50.0).project) == {"a": 50.0, "b": 1e-300}
