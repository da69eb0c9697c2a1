"""Sets of targets: put, shared between variants, chosen and left."""

from msgspec.structs import replace

from workbench.document import edits
from workbench.document.edits import Change
from workbench.document.project import Project, Target, TargetSet, Variant

RACE, LONG = TargetSet(id="t", name="race day"), TargetSet(id="u", name="long ride")
PROJECT = Project(
    id="p",
    title="squares",
    target_sets=(RACE, LONG),
    variants=(Variant(id="v", name="Original", target_set_id="t"), Variant(id="w", name="Race", target_set_id="t")),
)


def test_a_changed_target_leaves_the_variants_alone_so_that_no_figure_is_worked_out_again() -> None:
    better = replace(RACE, targets=(Target(id="x", quantity="FAT", high=5),))
    edit = edits.put_target_set(PROJECT, "v", better, "set fat to at most 5 g")
    assert edit.project.target_sets == (better, LONG)
    assert edit.project.variants is PROJECT.variants
    assert edit.words == "set fat to at most 5 g"
    assert edit.change == Change.TARGETS


def test_a_variant_takes_another_set_or_none_and_the_others_keep_theirs() -> None:
    edit = edits.choose_targets(PROJECT, "v", (RACE, LONG), "u")
    assert [v.target_set_id for v in edit.project.variants] == ["u", "t"]
    edit = edits.choose_targets(edit.project, "v", (RACE, LONG), None)
    assert [v.target_set_id for v in edit.project.variants] == [None, "t"]
    assert edit.words == "set targets"
