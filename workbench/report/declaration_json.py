"""The declaration as plain data for other programs."""

import math
from typing import Any

from workbench.base.text import _
from workbench.composition.compounds import listed_inside
from workbench.recipe.ingredient_list import Listed
from workbench.recipe.list_words import plain
from workbench.recipe.nutrition_lines import NutritionLine
from workbench.recipe.pack_statement import PackStatement
from workbench.report.results_json import bound_data


def declaration_data(variant: str, said: PackStatement) -> dict[str, Any]:
    """What a pack has to say; ``null`` where a figure cannot be declared or has no limit."""
    return {
        "variant": variant,
        "title": said.title,
        "rules": said.rules,
        "ingredients": [_part(part) for part in said.parts],
        "ingredients_text": plain(said.ingredients),
        "allergens": list(said.named),
        "contains": list(said.contains),
        "watched": list(said.watched),
        "not_asked_for": list(said.left_out),
        "may_contain": list(said.may_contain),
        "not_opened": list(said.closed),
        "exempt": list(said.exempt),
        "not_stated": list(said.not_stated),
        "origin": said.origin,
        "piece_g": said.piece_g,
        "per_100g": [_line(line) for line in said.per_100g],
        "per_piece": [_line(line) for line in said.per_piece],
        "notes": list(said.notes),
    }


def _part(part: Listed) -> dict[str, Any]:
    data: dict[str, Any] = {"name": part.name, "mass_g": part.mass_g, "percent_of_finished": part.percent}
    if part.food and (typed := listed_inside(part.food)):
        data["made_of"] = typed
    return data | {"inside": [_part(each) for each in part.inside]} if part.inside else data


def _line(line: NutritionLine) -> dict[str, Any]:
    least, most = line.tolerance or (None, None)
    return {
        "key": line.key,
        "title": _(line.title),
        "unit": line.unit,
        "printed": line.printed.value if line.printed else None,
        "less_than": line.printed.less_than if line.printed else False,
        "text": line.text(),
        "least": least,
        "most": most if most is None or math.isfinite(most) else None,
        "computed": bound_data(line.bound),
    }
