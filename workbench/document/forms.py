"""Typical forms of portable food, as data, and the project that begins with one.

The amounts are a starting point to drag from, common practice without a source, and every line says so.  The stages are
what the form needs; the weight after cooking is the typical one of the grain until a batch was weighed.
"""

from collections.abc import Mapping
from typing import NamedTuple

from workbench.base.text import N_, _
from workbench.composition.food import Food
from workbench.document.project import (
    ByWeight,
    FoodRef,
    Line,
    Project,
    Stage,
    StageKind,
    Typical,
    Unchanged,
    Variant,
    WaterLost,
    WeightChoice,
    new_id,
)

STARTING_POINT = N_("starting point; common practice, no source")


class FormLine(NamedTuple):
    """An ingredient of the bundled table, and how much of it."""

    food: str
    grams: float
    cooking_water: bool = False


class FormStage(NamedTuple):
    """A step with what goes into it."""

    name: str  # marked for translation
    kind: StageKind
    weight: WeightChoice
    lines: tuple[FormLine, ...] = ()
    text: str = ""  # marked for translation


class Form(NamedTuple):
    """One kind of piece."""

    key: str
    title: str  # marked for translation
    about: str  # one line, marked for translation
    piece_g: float
    stages: tuple[FormStage, ...]


_COOLED = N_("cool fast; 5 °C or below")

FORMS: tuple[Form, ...] = (
    Form(
        "cooked_grain_square",
        N_("cooked-grain square"),
        N_("grain cooked soft, something folded in, pressed flat and cut: moist, easy to chew, kept cold"),
        70.0,
        (
            FormStage(
                N_("cook the grain"),
                "cook",
                Typical(),
                (
                    FormLine("rice_long_grain", 300.0),
                    FormLine("water", 540.0, cooking_water=True),
                    FormLine("salt", 4.0),
                ),
            ),
            FormStage(
                N_("fold in"), "fold_in", Unchanged(), (FormLine("sugar_white", 60.0), FormLine("coconut_cream", 60.0))
            ),
            FormStage(N_("press and cool"), "press", Unchanged(), text=_COOLED),
        ),
    ),
    Form(
        "pressed_bar",
        N_("pressed bar"),
        N_("dry grain and fruit bound with warm syrup, pressed, baked until it holds, cut: dry, keeps for days"),
        50.0,
        (
            FormStage(
                N_("warm the binder"),
                "mix",
                Unchanged(),
                (FormLine("glucose_syrup", 120.0), FormLine("sunflower_oil", 30.0), FormLine("salt", 2.0)),
            ),
            FormStage(
                N_("mix in"),
                "mix",
                Unchanged(),
                (FormLine("oats_rolled", 200.0), FormLine("rice_puffed", 40.0), FormLine("raisins", 120.0)),
            ),
            FormStage(N_("press and bake"), "bake", WaterLost(amount=5.0, unit="%")),
        ),
    ),
    Form(
        "rolled_ball",
        N_("rolled ball"),
        N_("dried fruit and nuts ground to a paste and rolled, nothing cooked: rich, small, quick to make"),
        25.0,
        (
            FormStage(
                N_("grind"),
                "mix",
                Unchanged(),
                (
                    FormLine("dates", 200.0),
                    FormLine("almond_butter", 60.0),
                    FormLine("oats_rolled", 60.0),
                    FormLine("salt", 1.0),
                ),
            ),
            FormStage(N_("roll"), "other", Unchanged(), (FormLine("coconut_desiccated", 15.0),)),
            FormStage(N_("cool"), "cool", Unchanged(), text=_COOLED),
        ),
    ),
)


def new_from_form(form: Form, foods: Mapping[str, Food]) -> Project:
    """A project with one variant of this form; ``foods`` is the bundled table."""
    stages, lines, used = [], [], {}
    for step in form.stages:
        stage = Stage(id=new_id(), name=_(step.name), kind=step.kind, weight=step.weight, text=_(step.text))
        stages.append(stage)
        for given in step.lines:
            used[given.food] = foods[given.food]
            lines.append(
                Line(
                    id=new_id(),
                    stage_id=stage.id,
                    food_ref=FoodRef(kind="bundled", id=given.food),
                    amount_g=given.grams,
                    cooking_water=given.cooking_water,
                    note=_(STARTING_POINT),
                )
            )
    variant = Variant(
        id=new_id(),
        name=_("original"),
        purpose="original",
        lines=tuple(lines),
        stages=tuple(stages),
        portioning=ByWeight(piece_g=form.piece_g),
        notes=_(STARTING_POINT),
    )
    return Project(id=new_id(), title=_(form.title), foods=used, variants=(variant,))
