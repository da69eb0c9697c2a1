"""Bench of the comparison: what a tick of a slider costs while six variants stand side by side."""

from msgspec.structs import replace

from tests.bench.engine import recipe
from tests.bench.measure import Result, interleaved_ms
from workbench.document.project import Project
from workbench.recipe.change import KeptChanges
from workbench.recipe.evaluation import evaluate
from workbench.recipe.preparation import prepare
from workbench.recipe.quantities import QUANTITIES
from workbench.recipe.side_by_side import column_of, side_by_side


def six_variants() -> Project:
    """Six variants of 15 lines, each made from the one before, with other amounts."""
    project = recipe(15)
    (first,) = project.variants
    variants = []
    for n in range(6):
        lines = tuple(
            replace(line, amount_g=line.amount_g * (1.0 + 0.03 * ((n * k) % 5))) for k, line in enumerate(first.lines)
        )
        parent = variants[-1].id if variants else None
        variants.append(replace(first, id=f"v{n}", name=f"bench {n}", lines=lines, parent_id=parent))
    return replace(project, variants=tuple(variants))


def comparison() -> Result:
    """The one that moves evaluated and compared with five that rest, against reading every figure of all six."""
    project = six_variants()
    prepared = [prepare(project, variant) for variant in project.variants]
    resting = [column_of(project, evaluate(each)) for each in prepared]
    order = side_by_side(resting, 0, "portion").order
    moving, kept = prepared[2], KeptChanges()

    def ours() -> None:
        columns = [*resting[:2], column_of(project, evaluate(moving)), *resting[3:]]
        side_by_side(columns, 0, "portion", order=order, kept=kept)

    def plain() -> None:
        for each in prepared:
            evaluation = evaluate(each)
            for key in QUANTITIES:
                evaluation.bound(key, "portion")

    figure, baseline = interleaved_ms(ours, plain, 60)
    return Result("compare six variants", figure, "every figure of all six", baseline, 2.0, "goal 16 ms")
