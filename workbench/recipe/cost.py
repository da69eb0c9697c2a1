"""Cost of ingredients from the packs they are bought in: per gram of edible part, in the one currency of a project."""

from collections import Counter
from collections.abc import Sequence

from workbench.base.errors import Place, Problem, ProblemKind
from workbench.base.text import N_
from workbench.composition.food import Food, Pack
from workbench.document.project import Project, Variant

OTHER_CURRENCY = ProblemKind(
    "other_currency",
    "notice",
    N_("costs are counted in {currency}, so the price of {foods} counts as not known."),
    N_("Give it a pack priced in {currency}."),
)


def _priced(food: Food) -> Sequence[Pack]:
    return [pack for pack in food.packs if pack.price is not None and pack.price >= 0 and pack.size_g > 0]


def project_currency(project: Project) -> str:
    """The currency that most foods are priced in, the first by alphabet among equals; "" without prices."""
    foods = project.foods.values()
    count = Counter(currency for food in foods for currency in {pack.currency for pack in _priced(food)})
    return min(count, key=lambda currency: (-count[currency], currency), default="")


def cost_per_gram(food: Food, currency: str) -> float | None:
    """Price of a gram of edible part, by the newest pack in this currency; None where there is none.

    A pack is weighed as bought, so what is trimmed off makes the edible part dearer.
    """
    packs = [pack for pack in _priced(food) if pack.currency == currency]
    if not packs or food.edible_fraction <= 0:
        return None
    newest = max(packs, key=lambda pack: pack.date)
    assert newest.price is not None
    return newest.price / newest.size_g / food.edible_fraction


def currency_problems(project: Project, variant: Variant, currency: str) -> tuple[Problem, ...]:
    """One notice on all ingredients of a variant whose packs are priced, but in another currency."""
    foods = (project.foods.get(x.food_ref.id) for x in variant.lines if x.food_ref.kind != "variant")
    others = [f.name for f in foods if f is not None and _priced(f) and cost_per_gram(f, currency) is None]
    if not others:
        return ()
    names = ", ".join(dict.fromkeys(others))
    return (OTHER_CURRENCY.at(Place("variant", variant.id, variant.name), currency=currency, foods=names),)
