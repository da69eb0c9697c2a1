"""Explanations, added up again by hand: from foods and lines, with the formulas as the trade writes them.

Nothing here reads the matrix: content of each ingredient, weights through the stages and the way to a piece are worked
out anew, in plain sums, for random recipes of bundled foods.
"""

import math
from collections.abc import Mapping

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, composite
from msgspec.structs import replace

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from workbench.composition.bundled import bundled_foods, digestibility_groups
from workbench.composition.derive import fill_gaps
from workbench.composition.food import Food
from workbench.composition.nitrogen import nitrogen_factor
from workbench.document.project import (
    ByCount,
    ByWeight,
    FinalWater,
    Line,
    Loss,
    Project,
    Stage,
    Typical,
    Unchanged,
    Variant,
    WaterLost,
    Weighed,
)
from workbench.recipe.explanation import explain
from workbench.recipe.explanation_words import explanation_text
from workbench.recipe.quantities import BASES, LINEAR, QUANTITIES

SUGARS = ("GLUS", "FRUS", "GALS", "SUCS", "LACS", "MALS")
HALVES = {"SUCS": ("GLUS", "FRUS"), "LACS": ("GLUS", "GALS")}
MEDIUM = ("F6D0", "F8D0", "F10D0")
OIL = {"F6D0": 1.1092, "F8D0": 1.0879, "F10D0": 1.0736}  # triglyceride per fatty acid, by molar masses
WHOLES = {
    "FASAT": ("F4D0", *MEDIUM, "F12D0", "F14D0", "F16D0", "F18D0"),
    "FAT": ("FASAT", "FAMS", "FAPU"),
    "FIBTG": ("FIBSOL", "FIBINS"),
    "SUGAR": SUGARS,
}

# --- what 100 g of a food hold, known part, as a textbook would add it up -------------------------------------------


def content(food: Food, kept: Mapping[str, float]) -> dict[str, float]:
    """Known part of every linear quantity in 100 g."""
    v = {tag: value.value * kept.get(tag, 1.0) for tag, value in fill_gaps(food).values.items()}
    g = {tag: v.get(tag, 0.0) for tag in (q.key for q in LINEAR)}
    for whole, parts in WHOLES.items():  # a whole without a figure is at least what its parts amount to
        if whole not in v:
            g[whole] = sum(g[tag] for tag in parts)
    if "CHOCDF" in v and "CHOAVLDF" not in v:
        g["CHOAVLDF"] = max(g["CHOCDF"] - g["FIBTG"], 0.0)
    g |= _split_of_carbohydrate(v, g)
    g |= _fat(v, g)
    g |= _energy_and_residue(food, v, g)
    g["salt"] = 2.5 * g["NA"] / 1000
    g["protein_label"] = g["PROCNT"] * 6.25 / (nitrogen_factor(food) or 6.25)
    g["carbohydrate_label"] = max(g["CHOAVLDF"] + g["PROCNT"] - g["protein_label"], 0.0)
    g["weight"] = 100.0
    g["fibre_unsplit"] = max(g["FIBTG"] - g["FIBSOL"] - g["FIBINS"], 0.0)
    return g


def _split_of_carbohydrate(v: Mapping[str, float], g: Mapping[str, float]) -> dict[str, float]:
    """By mass: sucrose and lactose in halves, starch, maltodextrin and maltose to glucose."""
    single = sum(g[tag] for tag in SUGARS)
    missing = [tag for tag in SUGARS if tag not in v]
    unsplit = max(g["SUGAR"] - single, 0.0) if missing else 0.0

    def share(tag: str, of: str) -> float:
        if tag in HALVES:
            return 0.5 if of in HALVES[tag] else 0.0
        return 1.0 if of == {"MALS": "GLUS", "STARCH": "GLUS", "DEXTN": "GLUS"}.get(tag, tag) else 0.0

    def type_of(of: str, water: Mapping[str, float]) -> float:
        known = sum(g[tag] * share(tag, of) * water.get(tag, 1.0) for tag in (*SUGARS, "STARCH", "DEXTN"))
        return known + unsplit * min((share(tag, of) * water.get(tag, 1.0) for tag in missing), default=0.0)

    # Hydrolysis adds water: 1.0526 g from 1 g disaccharide, 1.111 g from 1 g starch (FAO Food and Nutrition Paper 77).
    taken_up = {"SUCS": 1.0526, "LACS": 1.0526, "MALS": 1.0526, "STARCH": 1.1111, "DEXTN": 1.1111}
    glucose, fructose, galactose = (type_of(tag, {}) for tag in ("GLUS", "FRUS", "GALS"))
    return {
        "glucose_type": glucose,
        "fructose_type": fructose,
        "galactose": galactose,
        "other_carbohydrate": max(g["CHOAVLDF"] - glucose - fructose - galactose, 0.0),
        "glucose_hydrolysed": type_of("GLUS", taken_up),
        "fructose_hydrolysed": type_of("FRUS", taken_up),
    }


def _fat(v: Mapping[str, float], g: dict[str, float]) -> dict[str, float]:
    medium = sum(g[tag] for tag in MEDIUM)
    return {
        "mct_c6_c10": medium,
        "mct_c6_c12": medium + g["F12D0"],
        "medium_chain": medium,
        "mct_oil": sum(g[tag] * OIL[tag] for tag in MEDIUM),
        "other_saturated": max(g["FASAT"] - medium - g["F12D0"], 0.0),
        "unsaturated": g["FAMS"] + g["FAPU"],
        "fat_rest": max(g["FAT"] - g["FASAT"] - g["FAMS"] - g["FAPU"], 0.0),
    }


def _energy_and_residue(food: Food, v: Mapping[str, float], g: Mapping[str, float]) -> dict[str, float]:
    """Regulation (EU) 1169/2011, Annex XIV; coefficients of USDA Agriculture Handbook 74."""
    carbohydrate = g["CHOAVLDF"]
    polyols, acids = g["POLYL"], g["OA"]
    sugar_and_starch = carbohydrate - polyols - acids
    kj = 17 * g["PROCNT"] + 37 * g["FAT"] + 17 * sugar_and_starch + 10 * polyols + 13 * acids
    kcal = 4 * g["PROCNT"] + 9 * g["FAT"] + 4 * sugar_and_starch + 2.4 * polyols + 3 * acids
    kj -= 10 * g["ERYTHL"]
    kcal -= 2.4 * g["ERYTHL"]
    kj += 8 * g["FIBTG"] + 29 * g["ALC"]
    kcal += 2 * g["FIBTG"] + 7 * g["ALC"]
    oil = sum(g[tag] * OIL[tag] for tag in MEDIUM)
    group = digestibility_groups().get(food.digestibility)
    eaten = {"protein": g["PROCNT"], "fat": g["FAT"], "carbohydrate": g["CHOCDF"]}
    lost = dict.fromkeys(eaten, 0.0)
    specific = 0.0
    if group is not None:
        specific = 6.93 * g["ALC"]
        for name, grams in eaten.items():
            digested, factor = getattr(group, f"d_{name}"), getattr(group, f"kcal_{name}")
            lost[name] = grams * (1 - digested) if digested is not None else 0.0
            specific += grams * factor if factor is not None else 0.0
    return {
        "energy_kj": max(kj, 0.0),
        "energy_kcal": max(kcal, 0.0),
        "energy_medium_chain_kcal": max(max(kcal, 0.0) - 0.6 * oil, 0.0),
        "energy_specific_kcal": specific,
        "residue_organic": sum(lost.values()),
        "residue_fibre_based": g["FIBTG"] + lost["protein"] + lost["fat"],
    }


# --- recipes --------------------------------------------------------------------------------------------------------

# A total carbohydrate that a label gives without fibre is worked out elsewhere; see test_label.
_FOODS = sorted(
    food_id for food_id, food in bundled_foods().items() if "CHOCDF" in food.values and "WATER" in food.values
)
_weights = st.sampled_from(
    (Unchanged(), Weighed(in_g=1000, out_g=850), WaterLost(amount=12.0, unit="%"), WaterLost(amount=30.0), Typical())
)
_losses = st.sampled_from(((), (), (Loss(kind="fat_left", percent=8.0),), (Loss(kind="drained", percent=5.0),)))


@composite
def recipes(draw: DrawFn) -> Project:
    """One to five bundled foods and enough water, in one to three stages."""
    n = draw(st.integers(1, 5))
    foods = [bundled_foods()[key] for key in draw(st.permutations(_FOODS))[:n]]
    water = make_food(
        "cooking water", dict.fromkeys(QUANTITIES.keys() & foods[0].values.keys(), 0.0) | {"WATER": 100.0}
    )
    stages = tuple(
        Stage(id=f"s{k}", weight=draw(_weights), losses=draw(_losses)) for k in range(draw(st.integers(1, 3)))
    )
    at = st.sampled_from([stage.id for stage in stages])
    grams = st.integers(0, 900).map(float)
    lines = [
        make_line(food, draw(grams), f"l{k}", stage_id=draw(at), as_bought=draw(st.booleans()), retention=draw(_kept))
        for k, food in enumerate(foods)
    ]
    lines.append(make_line(water, 500.0, stage_id="s0", cooking_water=draw(st.booleans())))
    portioning = draw(st.sampled_from((ByCount(count=12), ByWeight(piece_g=35.0, trimmings_percent=4.0))))
    return make_project([*foods, water], make_variant(*lines, stages=stages, portioning=portioning))


_kept = st.sampled_from(({}, {}, {"K": 0.8, "FRUS": 0.9}))


def worked_by_hand(project: Project) -> tuple[dict[str, float], float]:
    """Everything the batch holds, and its finished weight, in plain sums."""
    variant = project.variants[0]
    order = [stage.id for stage in variant.stages]
    batch = dict.fromkeys((q.key for q in LINEAR), 0.0)
    entering: dict[str, list[tuple[Line, Food, float, dict[str, float]]]] = {key: [] for key in order}
    for line in variant.lines:
        food = project.foods[line.food_ref.id]
        edible = line.amount_g * (food.edible_fraction if line.as_bought else 1.0)
        fat_kept = math.prod(
            1 - loss.percent / 100
            for stage in variant.stages[order.index(line.stage_id) :]
            for loss in stage.losses
            if loss.kind == "fat_left"
        )
        fats = ("FAT", "FASAT", "FAMS", "FAPU", "FATRN", "F4D0", *MEDIUM, "F12D0", "F14D0", "F16D0", "F18D0")
        kept = dict(line.retention)
        if fat_kept < 1:
            kept |= {tag: kept.get(tag, 1.0) * fat_kept for tag in fats}
        held = content(food, kept)
        entering[line.stage_id].append((line, food, edible, held))
        for key, amount in held.items():
            batch[key] += edible * amount / 100
    weight = water = 0.0
    fat = 0.0  # in the pot, before what this stage and the later ones keep
    for k, stage in enumerate(variant.stages):
        new = entering[stage.id]
        into = weight + sum(edible for _line, _food, edible, _held in new)
        left = 0.0
        here = math.prod(1 - x.percent / 100 for x in stage.losses if x.kind == "fat_left")
        if here < 1:
            fat = sum(
                edible
                * content(food, line.retention)["FAT"]
                / 100
                * _fat_before(variant, order.index(line.stage_id), k)
                for lines in entering.values()
                for line, food, edible, _held in lines
                if order.index(line.stage_id) <= k
            )
            left = fat * (1 - here)
        out = _weight_out(stage, weight, into, new, left)
        water += out - into + left
        weight = out
    batch["WATER"] += water
    batch["weight"] = weight
    return batch, weight


def _fat_before(variant: Variant, entered: int, k: int) -> float:
    return math.prod(
        1 - loss.percent / 100
        for stage in variant.stages[entered:k]
        for loss in stage.losses
        if loss.kind == "fat_left"
    )


def _weight_out(stage: Stage, before: float, into: float, new: list, fat_left: float) -> float:
    choice = stage.weight
    lost = fat_left + into * sum(x.percent for x in stage.losses if x.kind == "drained") / 100
    if isinstance(choice, Weighed):
        return into * choice.out_g / choice.in_g  # the scale knows every loss
    if isinstance(choice, WaterLost):
        return into - lost - (choice.amount if choice.unit == "g" else into * choice.amount / 100)
    if isinstance(choice, Typical):
        grains = [(food, edible) for line, food, edible, _held in new if not line.cooking_water]
        return before + sum(edible * (food.typical_yield or 1.0) for food, edible in grains) - lost
    return into - lost


@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(recipes())
def test_every_explanation_adds_up_to_what_is_worked_out_by_hand(project: Project) -> None:
    evaluation = evaluated(project)
    if not evaluation.valid:
        return
    batch, finished = worked_by_hand(project)
    variant = evaluation.variant
    assert evaluation.finished_g == pytest.approx(finished)
    if isinstance(variant.portioning, ByCount):
        piece = finished / variant.portioning.count
    else:
        piece = variant.portioning.piece_g
    factors = {
        "batch": 1.0,
        "portion": piece / finished,
        "per_100g": 100.0 / finished,
        "per_hour": piece / finished * variant.pace_per_hour,
        "per_25g_carbohydrate": 25.0 / batch["CHOAVLDF"] if batch["CHOAVLDF"] > 1e-9 else math.nan,
    }
    for quantity in LINEAR:
        for basis in BASES:
            e = explain(project, evaluation, quantity.key, basis)
            wanted = max(batch[quantity.key], 0.0) * factors[basis]
            if math.isnan(wanted) or math.isnan(e.bound.value):
                continue
            place = f"{quantity.key} {basis}"
            close = pytest.approx(wanted, rel=2e-4, abs=1e-6)  # conversion factors are printed with four digits
            assert e.bound.value == close, place
            last = e.steps[-1].result if e.steps else e.total
            assert last == pytest.approx(e.bound.value, rel=1e-9, abs=1e-9), place
            assert sum(term.brings for term in e.terms) == pytest.approx(e.total), place
            for term in e.terms:
                assert term.brings == pytest.approx(term.amount_g * term.edible_fraction * term.per_100g / 100), place


# --- words ----------------------------------------------------------------------------------------------------------


def _oats() -> Food:
    food = make_food("oats", {"CHOCDF": 60.0, "FIBTG": 10.0, "WATER": 10.0, "SUGAR": 1.0})
    return replace(food, edible_fraction=0.5)


def _project(*foods: Food, weight: object = None) -> Project:
    lines = [make_line(food, 100.0, as_bought=True) for food in foods]
    return make_project(foods, make_variant(*lines, weight=weight, portioning=ByCount(count=4)))


def test_the_text_shows_every_step_of_a_sum_done_in_the_head() -> None:
    project = _project(_oats())
    text = explanation_text(explain(project, evaluated(project), "CHOAVLDF", "per_hour"))
    assert "carbohydrate (without fibre), hour: 18.8 g" in text.splitlines()[0]  # 50 g x 0.5 / 4 x 3 an hour
    for part in (
        "oats: 100.0 g × 0.5 × 50.000 g/100 g = 25.000 g",
        "total carbohydrate (with fibre) 60 g, from a label",
        "÷ 4 pieces = 6.2500 g",
        "× 3 pieces an hour = 18.7500 g",
        "50.0 g in, 50.0 g out",
    ):
        assert part in text


def test_water_says_what_cooking_took_away() -> None:
    project = _project(make_food("porridge", {"WATER": 80.0, "SUGAR": 0.0}), weight=WaterLost(amount=30.0))
    e = explain(project, evaluated(project), "WATER", "batch")
    assert (e.total, e.bound.value) == (80.0, 50.0)
    assert "water given off in all stages: 30.0 g = 50.0000 g" in explanation_text(e)


def test_what_is_missing_is_named_and_is_not_a_zero() -> None:
    bran = make_food("bran", {"WATER": 10.0})
    project = _project(_oats(), bran)
    e = explain(project, evaluated(project), "FIBTG", "batch")
    line = next(line for line in explanation_text(e).splitlines() if line.strip().startswith("bran"))
    assert "not known" in line
    assert "0.000" not in line
    assert "sum of what is known: 5.000 g" in explanation_text(e)
    assert "because of: bran" in explanation_text(e)


def test_a_ratio_shows_both_its_parts_and_has_no_figure_where_one_is_not_known() -> None:
    syrup = make_food("syrup", {"GLUS": 40.0, "FRUS": 20.0, "WATER": 40.0, "CHOCDF": 60.0, "FIBTG": 0.0, "SUGAR": 60.0})
    known = _project(syrup)
    e = explain(known, evaluated(known), "fructose_to_glucose")
    assert [part.quantity.key for part in e.parts] == ["fructose_type", "glucose_type"]
    assert e.steps[-1].result == pytest.approx(0.5)
    blank = _project(make_food("jam", {"CHOCDF": 60.0, "FIBTG": 1.0, "WATER": 30.0}))
    text = explanation_text(explain(blank, evaluated(blank), "fructose_to_glucose"))
    assert "fructose to glucose, by mass: not known" in text
    assert "fructose-type carbohydrate ÷ glucose-type carbohydrate = –" in text


def test_a_term_names_only_values_that_it_rests_on() -> None:
    """Sugars as a sum say nothing where each single sugar is known; where one is missing they limit it."""
    figs = bundled_foods()["figs_dried"]
    project = _project(figs)
    (term,) = explain(project, evaluated(project), "glucose_type").terms
    assert [given.tag for given in term.inputs] == ["GLUS", "STARCH", "SUCS"]
    fewer = replace(figs, values={tag: value for tag, value in figs.values.items() if tag != "GLUS"})
    project = _project(fewer)
    (term,) = explain(project, evaluated(project), "glucose_type").terms
    assert "SUGAR" in [given.tag for given in term.inputs]


def test_fat_left_in_the_pan_is_said() -> None:
    butter = bundled_foods()["butter"]
    stage = Stage(id="s1", name="fry", losses=(Loss(kind="fat_left", percent=20.0),))
    project = make_project([butter], make_variant(make_line(butter, 100.0), stages=(stage,)))
    (term,) = explain(project, evaluated(project), "FAT", "batch").terms
    assert term.brings == pytest.approx(0.8 * butter.values["FAT"].value)
    assert "80 % of the fat is kept" in term.note


def test_an_index_names_the_coefficients_and_their_source() -> None:
    project = _project(bundled_foods()["oats_rolled"])
    text = explanation_text(explain(project, evaluated(project), "residue_organic"))
    assert "oatmeal" in text
    assert "USDA Agriculture Handbook 74" in text or "Merrill" in text


def test_final_water_reaches_its_percentage() -> None:
    project = _project(make_food("mash", {"WATER": 80.0, "SUGAR": 0.0}), weight=FinalWater(percent=50.0))
    e = explain(project, evaluated(project), "WATER", "per_100g")
    assert e.bound.value == pytest.approx(50.0)
    assert e.steps[-1].result == pytest.approx(50.0)
