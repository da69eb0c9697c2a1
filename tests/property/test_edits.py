"""Any row of edits: what was before stays as it was, ids stay unique, and the result can be saved and opened."""

from collections.abc import Callable, Iterable

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.property.strategies import foods, grams, portionings, projects, weight_choices, words
from workbench.document import edits, line_edits, variant_edits
from workbench.document.edits import Edit
from workbench.document.line_edits import NewLine
from workbench.document.project import FoodRef, Line, Project, Stage, TargetSet, Variant, new_id
from workbench.storage.project_file import decode_project, encode_project


def _any_edit(draw: Callable[[st.SearchStrategy[object]], object], project: Project) -> Edit:
    """One edit that the window could make now."""
    pick = lambda options: draw(st.sampled_from(list(options)))  # noqa: E731
    variant: Variant = pick(project.variants)
    stage: Stage = pick(variant.stages)
    choices: list[Callable[[], Edit]] = [
        lambda: edits.add_line(project, variant.id, stage.id, draw(foods("new")), draw(grams)),
        lambda: line_edits.paste_lines(
            project, variant.id, [NewLine(draw(foods("new")), stage.id, draw(grams)) for _row in range(2)]
        ),
        lambda: variant_edits.move_variant(project, variant.id, draw(st.integers(0, 4))),
        lambda: edits.add_stage(project, variant.id, Stage(id=new_id(), weight=draw(weight_choices([])))),
        lambda: edits.set_stage(project, variant.id, Stage(id=stage.id, weight=draw(weight_choices([])))),
        lambda: variant_edits.set_portioning(project, variant.id, draw(portionings), draw(st.booleans())),
        lambda: variant_edits.set_pace(project, variant.id, draw(st.floats(0, 100))),
        lambda: variant_edits.new_variant(project, draw(words), pick([None, variant.id]))[0],
        lambda: variant_edits.rename_variant(project, variant.id, draw(words)),
        lambda: edits.set_title(project, draw(words)),
        lambda: edits.put_target_set(project, variant.id, TargetSet(id=pick(["t0", "new"]), name=draw(words))),
    ]
    if variant.lines:
        line = pick(variant.lines)
        some = draw(st.sets(st.sampled_from([x.id for x in variant.lines]), min_size=1))
        choices += [
            # A group follows in proportion, so that its other lines could pass any limit.
            lambda: edits.set_amount(
                project, variant.id, line.id, line.amount_g * draw(st.floats(0, 1.5)) if line.group else draw(grams)
            ),
            lambda: edits.set_lock(project, variant.id, [line.id], draw(st.booleans())),
            lambda: edits.set_as_bought(project, variant.id, line.id, draw(st.booleans())),
            lambda: edits.set_cooking_water(project, variant.id, line.id, draw(st.booleans())),
            lambda: edits.remove_lines(project, variant.id, some),
            lambda: line_edits.scale_lines(project, variant.id, some, draw(st.floats(0, 1.5))),
            lambda: line_edits.group_lines(project, variant.id, some, together=draw(st.booleans())),
            lambda: line_edits.replace_food(project, variant.id, line.id, draw(foods("new")), draw(grams)),
            lambda: edits.move_lines(project, variant.id, some, stage.id, draw(st.integers(0, 3))),
        ]
    if len(variant.stages) > 1:
        choices.append(lambda: edits.remove_stage(project, variant.id, stage.id))
    if len(project.variants) > 1 and not variant_edits.variants_using(project, variant.id):
        choices.append(lambda: variant_edits.remove_variant(project, variant.id))
    return pick(choices)()


def _unique(ids: Iterable[str]) -> bool:
    listed = list(ids)
    return len(listed) == len(set(listed))


@settings(max_examples=50)
@given(projects(), st.data())
def test_undo_to_the_start(project: Project, data: st.DataObject) -> None:
    history = [(project, encode_project(project))]
    for _step in range(data.draw(st.integers(1, 8))):
        edit = _any_edit(data.draw, history[-1][0])
        assert edit.words
        history.append((edit.project, encode_project(edit.project)))
    for before, as_it_was in reversed(history):  # what undo shows again
        assert encode_project(before) == as_it_was
    for after, written in history[1:]:
        assert _unique(v.id for v in after.variants)
        assert all(_unique(x.id for x in v.lines) and _unique(s.id for s in v.stages) for v in after.variants)
        assert decode_project(written).project == after


@settings(max_examples=100)
@given(st.lists(st.tuples(grams, st.booleans()), min_size=2, max_size=8), st.floats(-1, 1))
def test_holding_the_batch_weight_holds_it(weights: list[tuple[float, bool]], share: float) -> None:
    """Where the unlocked others weigh enough to give way, the sum of the lines stays and none falls below nothing."""
    lines = tuple(
        Line(id=f"l{k}", stage_id="s", food_ref=FoodRef(kind="own", id="f"), amount_g=amount, lock=lock)
        for k, (amount, lock) in enumerate(weights)
    )
    variant = Variant(id="v", name="V", stages=(Stage(id="s"),), lines=lines, hold_batch_weight=True)
    project = Project(id="p", title="", variants=(variant,))
    free = sum(line.amount_g for line in lines[1:] if not line.lock)
    assume(free >= 1e-6)  # a trace keeps no sum
    before = lines[0].amount_g
    amount = before + share * (free if share > 0 else before)
    after = edits.set_amount(project, "v", "l0", amount).project.variant("v").lines
    assert after[0].amount_g == amount
    assert sum(line.amount_g for line in after) == pytest.approx(sum(line.amount_g for line in lines), rel=1e-9)
    assert all(line.amount_g >= 0 for line in after)
    assert all(now == was for now, was in zip(after[1:], lines[1:], strict=True) if was.lock)
