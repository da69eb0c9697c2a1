"""Comparisons of any variants: limits of a change hold the truth, and whatever is compared can be handed over."""

import csv
import io
import json
import math

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, composite
from msgspec.structs import replace

from tests.property.recipes import Truth, complete_foods, foods_with_blanks
from tests.property.strategies import projects
from tests.support import NO_RULES, evaluated, make_line, make_project, make_variant, without
from tests.unit.report.paper import edges
from workbench.document.project import (
    Basis,
    ByCount,
    ByWeight,
    FinalWater,
    Line,
    Project,
    Target,
    Typical,
    Unchanged,
    Variant,
    WaterLost,
    Weighed,
)
from workbench.recipe.bound import Bound
from workbench.recipe.change import Changes, way
from workbench.recipe.quantities import BASES, QUANTITIES
from workbench.recipe.side_by_side import compared
from workbench.report.comparison.data import comparison_csv, comparison_data
from workbench.report.comparison.page import comparison_page
from workbench.report.comparison.texts import comparison_html, comparison_markdown, comparison_tsv
from workbench.report.pdf.page import PAGE_SIZES

_grams = st.sampled_from((0.0, 40.0, 100.0, 100.0, 260.0))
_weights = st.sampled_from(
    (
        Unchanged(),
        Typical(),
        WaterLost(amount=15.0, unit="%"),
        WaterLost(amount=20.0),
        Weighed(in_g=100.0, out_g=92.0),
        FinalWater(percent=30.0),
    )
)
_portions = st.sampled_from((ByCount(count=7), ByCount(count=12), ByWeight(piece_g=35.0, trimmings_percent=4.0)))


@composite
def pairs(draw: DrawFn) -> tuple[Project, Project, frozenset[str]]:
    """Two variants of the same one to three foods as they are, the same with blanks, and the blanks."""
    truths = [draw(foods_with_blanks()) for _ in range(draw(st.integers(1, 3)))]
    truths = [Truth(replace(t.food, id=f"f{k}", name=f"f{k}"), t.blanks - {"WATER"}) for k, t in enumerate(truths)]
    water = replace(draw(complete_foods("rest")), id="rest", name="rest")

    def variant(name: str) -> Variant:
        lines: list[Line] = []
        for t in truths:
            retention = draw(st.sampled_from(({}, {}, {"K": 0.8})))
            as_bought = draw(st.booleans())
            lines.append(make_line(t.food, draw(_grams), as_bought=as_bought, retention=retention))
            if draw(st.booleans()):  # the same ingredient on two lines
                lines.append(make_line(t.food, draw(_grams), f"{t.food.id} again"))
        lines.append(make_line(water, 80.0))
        pace = draw(st.sampled_from((2.0, 3.0)))
        return make_variant(
            *lines, weight=draw(_weights), portioning=draw(_portions), id=name, name=name, pace_per_hour=pace
        )

    both = variant("before"), variant("after")
    foods = [t.food for t in truths]
    whole = make_project([*foods, water], *both, assumptions=NO_RULES)
    blank = make_project([*(without(t.food, *t.blanks) for t in truths), water], *both, assumptions=NO_RULES)
    return whole, blank, frozenset().union(*(t.blanks for t in truths))


def told(blanks: frozenset[str]) -> list[str]:
    """Quantities whose limits are not those of a convention: without alcohol, polyols or acids energies follow one."""
    convention = {"energy_specific_kcal"} if "ALC" in blanks else set()
    if blanks & {"ALC", "POLYL", "ERYTHL", "OA"}:
        convention |= {key for key in QUANTITIES if key.startswith("energy")}
    return [key for key in QUANTITIES if key not in convention]


@settings(max_examples=100)
@given(pairs(), st.sampled_from(BASES))
def test_a_change_holds_the_truth(pair: tuple[Project, Project, frozenset[str]], basis: Basis) -> None:
    whole, blank, blanks = pair
    truth = [evaluated(whole, name) for name in ("before", "after")]
    seen = [evaluated(blank, name) for name in ("before", "after")]
    assume(all(each.valid for each in (*truth, *seen)))
    changes = Changes(*seen)
    for key in told(blanks):
        was, became = (each.bound(key, basis) for each in truth)
        change = changes.change(key, basis)
        really = became.value - was.value
        if math.isnan(really):
            continue
        slack = 1e-7 * (1.0 + abs(was.value) + abs(became.value))
        assert change.low - slack <= really <= change.high + slack, (key, basis, change, really)
        assert math.isnan(change.value) or change.low <= change.value <= change.high, (key, change)
        decimals = QUANTITIES[key].decimals
        said, right = way(change, decimals), way(Bound(really, really, really), 12)
        assert said in ("cannot_tell", "same") or said == right or abs(really) <= slack, (key, change, really)
        if said == "same":
            assert abs(really) <= 0.5 * 10.0**-decimals + slack, (key, change, really)
        # Never wider than the two figures alone leave it.
        before, after = (each.bound(key, basis) for each in seen)
        if not math.isnan(after.low - before.high):
            assert change.low >= after.low - before.high - slack, key


_figure = st.none() | st.floats(0.0, 200.0)
_targets = st.lists(
    st.builds(
        Target,
        id=st.just("t"),
        quantity=st.sampled_from(sorted(QUANTITIES)),
        basis=st.sampled_from(BASES),
        low=_figure,
        high=_figure,
        aim=_figure,
        strength=st.sampled_from(("must", "prefer")),
    ),
    max_size=4,
).map(tuple)


@settings(max_examples=40)
@given(projects(), _targets, st.sampled_from(BASES), st.sampled_from(sorted(PAGE_SIZES)), st.data())
def test_whatever_is_compared_stands_on_one_page_and_in_every_file(
    project: Project, targets: tuple[Target, ...], basis: Basis, paper: str, data: st.DataObject
) -> None:
    aims = tuple(replace(held, targets=targets) for held in project.target_sets)
    project = replace(project, target_sets=aims)
    names = data.draw(st.lists(st.sampled_from([v.id for v in project.variants]), min_size=2, max_size=6))
    evaluations = [evaluated(project, name) for name in names]
    reference = data.draw(st.integers(0, len(names) - 1))
    side = compared(project, evaluations, basis, reference=reference)
    for row in side.rows:
        for k, (each, change) in enumerate(zip(evaluations, row.changes, strict=True)):
            assert change.low <= change.high
            if names[k] == names[reference] and each.valid:
                assert change[:3] == (0.0, 0.0, 0.0), (row.quantity.key, "a variant differs from itself by nothing")
    size = PAGE_SIZES[paper]
    (page,) = comparison_page(side, project.title, paper).pages
    assert all(9.0 <= x <= size.width_mm - 9.0 and 9.0 <= y <= size.height_mm - 9.0 for x, y in edges(page))
    json.dumps(comparison_data(side, project.title), allow_nan=False)
    rows = csv.reader(io.StringIO(comparison_csv(side).decode("utf-8-sig"), newline=""))
    assert sum(1 for _row in rows) == 1 + len(names) * (len(side.rows) + len(side.ingredients))
    assert comparison_markdown(side, project.title).count("\n| ") >= len(side.rows) + len(side.ingredients)
    assert len(comparison_tsv(side).splitlines()) == len(side.rows) + len(side.ingredients) + 3
    assert comparison_html(side).count("<tr>") == len(side.rows) + len(side.ingredients) + 2
