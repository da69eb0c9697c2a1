"""What can become a line of the variant on screen: ingredients, and other variants of the project."""

from typing import TYPE_CHECKING, NamedTuple

from workbench.base.text import _
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.document.project import Project, Variant
from workbench.ui.session import Session, keep_out_of_collection

if TYPE_CHECKING:
    from workbench.composition.search import SearchIndex


class Choice(NamedTuple):
    """One result: an ingredient, or the id of another variant of the project."""

    what: Food | str
    shown: str


class IngredientChoices:
    """Everything that can become a line of the variant on screen."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._foods: object = None
        self._index: SearchIndex | None = None  # made when something is searched, not at the start

    def find(self, text: str) -> list[Choice]:
        """Variants of the project first, as they are few; then ingredients, best first."""
        from workbench.composition.search import SearchIndex, folded

        project = self._session.project
        if self._index is None or self._foods is not project.foods:
            self._foods = project.foods
            self._index = SearchIndex(self.foods().values())
            keep_out_of_collection()
        words = folded(text).split()
        found = [
            Choice(variant.id, _("{name}  ↺ variant of this project", name=variant.name))
            for variant in self.variants()
            if all(word in folded(variant.name) for word in words)
        ]
        for food in self._index.find(text):
            known = food.id in project.foods
            found.append(Choice(food, _("{name}  • in this project", name=food.name) if known else food.name))
        return found

    def foods(self) -> dict[str, Food]:
        """Every ingredient by its id; as the project has it, where it has it."""
        return {**bundled_foods(), **self._session.project.foods}

    def variants(self) -> list[Variant]:
        """The variants that would not come to contain themselves."""
        project, shown_id = self._session.project, self._session.variant_id
        return [variant for variant in project.variants if not _reaches(project, variant.id, shown_id)]


def _reaches(project: Project, from_id: str, to_id: str) -> bool:
    """Whether a variant is the other one, or contains it, at any depth."""
    seen: set[str] = set()
    ahead = [from_id]
    while ahead:
        variant_id = ahead.pop()
        if variant_id == to_id:
            return True
        if variant_id not in seen:
            seen.add(variant_id)
            variant = next((v for v in project.variants if v.id == variant_id), None)
            lines = variant.lines if variant else ()
            ahead += [line.food_ref.id for line in lines if line.food_ref.kind == "variant"]
    return False
