"""Projects that hypothesis makes up, for every property test: sound, but as odd as the schema allows."""

from hypothesis import strategies as st

from workbench.base.units import UNITS
from workbench.composition.components import COMPONENTS
from workbench.composition.food import ALLERGENS, GUT_FLAGS, WATCHED, Food, Measure, Pack, TakenFrom, Value
from workbench.document.avoid import ANIMAL, avoiding
from workbench.document.project import (
    Assumptions,
    ByCount,
    ByWeight,
    FinalWater,
    FoodRef,
    Line,
    Loss,
    Plan,
    PlanItem,
    Portioning,
    Project,
    Stage,
    StageWeights,
    Target,
    TargetSet,
    Trial,
    Typical,
    Unchanged,
    Variant,
    WaterLost,
    Weighed,
    WeightChoice,
)

words = st.text(max_size=12)
names = st.text(min_size=1, max_size=12)
# Milligrams to tonnes, or nothing: finer amounts are no kitchen's, and zero is a case of its own.
grams = st.just(0.0) | st.floats(0.001, 5000)
positive = st.floats(0.01, 5000)
percent = st.floats(0, 99)

_MAIN = ("WATER", "PROCNT", "FAT", "CHOCDF", "ASH")
_REST = ("SUGAR", "FIBTG", "FASAT", *(tag for tag, component in COMPONENTS.items() if component.unit == "mg"))
measures = st.builds(Measure, st.sampled_from([*UNITS, "piece"]), positive)


@st.composite
def foods(draw: st.DrawFn, food_id: str = "food") -> Food:
    """A food whose main parts add up to 100 g before some of them are forgotten."""
    shares = [draw(st.floats(0, 1)) for _tag in _MAIN]
    whole = sum(shares) or 1.0
    amounts = {tag: 100 * share / whole for tag, share in zip(_MAIN, shares, strict=True)}
    for tag in draw(st.lists(st.sampled_from(_REST), unique=True, max_size=4)):
        limit = {"SUGAR": amounts["CHOCDF"], "FIBTG": amounts["CHOCDF"], "FASAT": amounts["FAT"]}.get(tag, 2000.0)
        amounts[tag] = draw(st.floats(0, 1)) * limit
    forgotten = draw(st.sets(st.sampled_from(_MAIN), max_size=2))
    allergens = st.lists(st.sampled_from(ALLERGENS), unique=True, max_size=2).map(tuple)
    return Food(
        id=food_id,
        name=draw(names),
        values={
            tag: Value(amount, n=draw(st.none() | st.integers(1, 99)), sd=draw(st.none() | st.floats(0, 5)))
            for tag, amount in amounts.items()
            if tag not in forgotten
        },
        origin=draw(st.sampled_from(("plant", "dairy", "egg", "unknown"))),
        contains=draw(st.none() | allergens),
        may_contain=draw(allergens),
        density_g_per_ml=draw(st.none() | st.floats(0.1, 2)),
        measures=draw(st.lists(measures, max_size=2).map(tuple)),
        edible_fraction=draw(st.floats(0.1, 1)),
        packs=draw(st.lists(st.builds(Pack, positive, st.none() | positive), max_size=1).map(tuple)),
        typical_yield=draw(st.none() | st.floats(0.3, 6)),
        nitrogen_factor=draw(st.none() | st.floats(5, 7)),
        taken_from=draw(st.none() | st.builds(TakenFrom, st.sampled_from(("library", "own")), words)),
    )


def weight_choices(line_ids: list[str]) -> st.SearchStrategy[WeightChoice]:
    """Every way to say what a batch weighs after a stage."""
    amounts = st.dictionaries(st.sampled_from(line_ids), grams) if line_ids else st.just({})
    return st.one_of(
        st.builds(Weighed, in_g=positive, out_g=positive, amounts=amounts),
        st.builds(WaterLost, amount=st.floats(-500, 500), unit=st.just("g")),
        st.builds(WaterLost, amount=st.floats(-100, 50), unit=st.just("%")),
        st.builds(FinalWater, percent=percent),
        st.just(Typical()),
        st.just(Unchanged()),
    )


portionings: st.SearchStrategy[Portioning] = st.one_of(
    st.builds(ByCount, count=st.integers(1, 200), trimmings_percent=percent),
    st.builds(ByWeight, piece_g=positive, trimmings_percent=percent),
)


wishes = st.builds(
    avoiding,
    origins=st.frozensets(st.sampled_from(ANIMAL)),
    allergens=st.frozensets(st.sampled_from((*ALLERGENS, *WATCHED)), max_size=4),
    traces=st.booleans(),
    gut=st.frozensets(st.sampled_from(GUT_FLAGS), max_size=2),
    foods=st.dictionaries(names, names, max_size=2),
)


@st.composite
def variants(draw: st.DrawFn, variant_id: str, food_ids: list[str], earlier: list[str], sets: list[str]) -> Variant:
    """A variant of the given foods and of variants before it, so that there is never a ring."""
    n_lines = draw(st.integers(0, 6))
    stage_ids = [f"{variant_id}s{k}" for k in range(draw(st.integers(1, 3)))]
    line_ids = [f"l{k}" for k in range(n_lines)]  # the same in every variant, as after copying
    reference = st.builds(FoodRef, kind=st.just("own"), id=st.sampled_from(food_ids))
    if earlier:
        reference |= st.builds(FoodRef, kind=st.just("variant"), id=st.sampled_from(earlier))
    lines = [
        Line(
            id=line_id,
            stage_id=stage_id,
            food_ref=draw(reference),
            amount_g=draw(grams),
            entered=draw(words),
            as_bought=draw(st.booleans()),
            cooking_water=draw(st.booleans()),
            lock=draw(st.booleans()),
            min_g=draw(st.none() | grams),
            max_g=draw(st.none() | grams),
            step_g=draw(st.none() | positive),
            group=draw(st.sampled_from(("", "", "syrups"))),
            retention=draw(st.dictionaries(st.sampled_from(("K", "NA")), st.floats(0, 2), max_size=1)),
            note=draw(words),
        )
        for line_id, stage_id in zip(
            line_ids, sorted(draw(st.sampled_from(stage_ids)) for _line in line_ids), strict=True
        )
    ]
    stages = [
        Stage(
            id=stage_id,
            name=draw(words),
            weight=draw(weight_choices(line_ids)),
            losses=draw(
                st.lists(
                    st.builds(Loss, kind=st.sampled_from(("fat_left", "drained")), percent=st.floats(0, 20)), max_size=1
                ).map(tuple)
            ),
            minutes=draw(st.none() | st.floats(0, 500)),
            temperature_degC=draw(st.none() | st.floats(-20, 250)),
        )
        for stage_id in stage_ids
    ]
    return Variant(
        id=variant_id,
        name=draw(names),
        purpose=draw(st.sampled_from(("", "original", "plant_based", "race", "long_ride"))),
        parent_id=draw(st.sampled_from([None, *earlier])),
        lines=tuple(lines),
        stages=tuple(stages),
        portioning=draw(portionings),
        hold_batch_weight=draw(st.booleans()),
        pace_per_hour=draw(st.floats(0, 10)),
        target_set_id=draw(st.sampled_from([None, *sets])),
        notes=draw(words),
        avoid=draw(st.none() | wishes),
    )


@st.composite
def projects(draw: st.DrawFn) -> Project:
    """A whole project: own foods, several variants, targets, a plan and a trial batch."""
    food_ids = [f"f{k}" for k in range(draw(st.integers(1, 4)))]
    set_ids = [f"t{k}" for k in range(draw(st.integers(0, 2)))]
    variant_ids = [f"v{k}" for k in range(draw(st.integers(1, 4)))]
    bound = st.none() | st.floats(0, 100)
    targets = st.builds(Target, id=st.just("t"), quantity=names, low=bound, high=bound, aim=bound)
    made = [draw(variants(one, food_ids, variant_ids[:k], set_ids)) for k, one in enumerate(variant_ids)]
    items = st.builds(PlanItem, variant_id=st.sampled_from(variant_ids), hour=st.floats(0, 24), pieces=st.floats(0, 9))
    eaten = st.lists(items, max_size=2).map(tuple)
    plan = st.builds(Plan, id=st.just("p"), name=names, hours=st.floats(0.5, 24), items=eaten)
    weights = st.builds(StageWeights, stage_id=st.just("v0s0"), in_g=st.none() | positive, out_g=st.none() | positive)
    trial = st.builds(
        Trial,
        id=st.just("b"),
        variant_id=st.sampled_from(variant_ids),
        amounts=st.dictionaries(st.just("l0"), grams),
        stages=st.lists(weights, max_size=1).map(tuple),
        piece_weights_g=st.lists(positive, max_size=3).map(tuple),
    )
    return Project(
        id="project",
        title=draw(words),
        measures=draw(st.sampled_from(("metric", "us"))),
        assumptions=draw(st.builds(Assumptions, lauric_counts=st.booleans(), starch_by_difference=st.booleans())),
        foods={food_id: draw(foods(food_id)) for food_id in food_ids},
        target_sets=tuple(
            TargetSet(id=set_id, name=draw(names), targets=draw(st.lists(targets, max_size=1).map(tuple)))
            for set_id in set_ids
        ),
        variants=tuple(made),
        plans=draw(st.lists(plan, max_size=1).map(tuple)),
        trials=draw(st.lists(trial, max_size=1).map(tuple)),
        notes=draw(words),
        avoid=draw(wishes),
    )
