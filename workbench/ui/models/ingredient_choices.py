"""What can become a line of the variant on screen: ingredients, and other variants of the project."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.search_filter import SearchFilter
from workbench.document.project import Project, Variant
from workbench.recipe.food_words import source_words
from workbench.ui.models.shared_search import SharedSearch
from workbench.ui.session import Session

if TYPE_CHECKING:
    from workbench.composition.search_ranking import Found


class Choice:
    """One result: an ingredient, or another variant of the project.

    Parameters
    ----------
    key : str
        Id of the ingredient or the variant.
    shown : str
        What the result reads.
    take : callable
        Gives the ingredient, or the id of the variant; one from the library is read only then.
    """

    __slots__ = ("_take", "key", "shown")

    def __init__(self, key: str, shown: str, take: Callable[[], Food | str]) -> None:
        self.key, self.shown, self._take = key, shown, take

    @classmethod
    def of(cls, what: Food | str, shown: str) -> "Choice":
        """A choice of something that is at hand."""
        return cls(what if isinstance(what, str) else what.id, shown, lambda: what)

    @property
    def what(self) -> Food | str:
        """The ingredient, or the id of a variant.

        Raises
        ------
        LibraryError
            If it is in the library, and cannot be read there any more.
        """
        return self._take()


class IngredientChoices:
    """Everything that can become a line of the variant on screen."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._search = SharedSearch.of(session)

    @property
    def without_library(self) -> WorkbenchError | None:
        """Why the last search had to do without the library."""
        return self._search.without_library

    def find(self, text: str, wanted: SearchFilter | None = None) -> list[Choice]:
        """Variants of the project first, as they are few; then ingredients, best first."""
        from workbench.composition.words import folded

        project, search = self._session.project, self._search
        words = folded(text).split()
        variants = [
            Choice.of(variant.id, _("{name}  ↺ variant of this project", name=variant.name))
            for variant in self.variants()
            if all(word in folded(variant.name) for word in words) and _admits(project, variant, wanted)
        ]
        return [*variants, *map(self._choice, search.find(text, wanted))]

    def sure(self, text: str) -> Choice | None:
        """The one ingredient that typed words surely mean: it bears all of them, and nothing else is as near."""
        from workbench.composition.search_ranking import typed_words
        from workbench.composition.words import split

        first, *others = self._search.find(text, None)[:2] or (None,)
        words = typed_words(text).words
        if first is None or any(set(words) <= set(split(variant.name)) for variant in self.variants()):
            return None
        nearest = all(first.rank.distance < other.rank.distance for other in others)
        named = first.rank.distance < 0 or set(words) <= set(split(first.name))
        return self._choice(first) if nearest and named else None

    def _choice(self, found: "Found") -> Choice:
        shown = _shown(found, found.id in self._session.project.foods)
        return Choice(found.id, shown, partial(self._search.food, found))

    def foods(self) -> dict[str, Food]:
        """Every ingredient by its id; as the project has it, where it has it."""
        return {**bundled_foods(), **self._session.project.foods}

    def variants(self) -> list[Variant]:
        """The variants that would not come to contain themselves."""
        project, shown_id = self._session.project, self._session.variant_id
        return [variant for variant in project.variants if not _reaches(project, variant.id, shown_id)]


def _shown(found: "Found", in_project: bool) -> str:
    """A result in words, with where it comes from if that is not the bundled table."""
    if in_project:
        return _("{name}  • in this project", name=found.name)
    if found.source == "bundled":
        return found.name
    if found.source:
        return _("{name}  ▤ {table}", name=found.name, table=source_words(found.source, ""))
    return _("{name}  ▤ your library", name=found.name)


def _admits(project: Project, variant: Variant, wanted: SearchFilter | None) -> bool:
    """Whether everything in a variant may be shown; it has no role and no source of its own."""
    if not wanted:
        return True
    if wanted.role or wanted.source:
        return False
    inside = {v.id: v for v in project.variants if v.id == variant.id or _reaches(project, variant.id, v.id)}
    refs = [line.food_ref for v in inside.values() for line in v.lines if line.food_ref.kind != "variant"]
    return all(ref.id in project.foods and wanted.admits(project.foods[ref.id]) for ref in refs)


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
