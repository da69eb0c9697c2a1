"""The one search of a window: bundled foods, those of the open project, and the library once something is typed."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from workbench.base import paths
from workbench.base.errors import WorkbenchError
from workbench.base.text import _
from workbench.composition.bundled import bundled_foods
from workbench.composition.food import Food
from workbench.composition.search_filter import SearchFilter
from workbench.ui.session import Session, keep_out_of_collection

if TYPE_CHECKING:
    from workbench.composition.search_all import FoodSearch
    from workbench.composition.search_ranking import Found

_PATIENCE_S = 0.02  # nobody waits for an import


class SharedSearch(QObject):
    """Made by the first search, not at the start; made anew where the project has other foods of its own."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._session = session
        self._foods: Mapping[str, Food] | None = None
        self._own: Mapping[str, Food] = {}  # foods of the project that are not just as the bundled table has them
        self._search: FoodSearch | None = None
        session.destroyed.connect(self.close)

    @staticmethod
    def of(session: Session) -> "SharedSearch":
        """The one that belongs to a session's window."""
        return session.findChild(SharedSearch) or SharedSearch(session)

    def close(self) -> None:
        """Let go of the library; the next search opens it again."""
        if self._search is not None:
            self._search.close()
            self._search = None

    def find(self, text: str, wanted: SearchFilter | None) -> "list[Found]":
        """Foods by words, best first."""
        foods = self._session.project.foods
        if self._search is None or foods is not self._foods:
            self._foods = foods
            bundled = bundled_foods()
            own = {key: food for key, food in foods.items() if bundled.get(key) != food}
            if self._search is None or own != self._own:
                return self._made_anew(own).find(text, filters=wanted)
        return self._search.find(text, filters=wanted)

    def _made_anew(self, own: Mapping[str, Food]) -> "FoodSearch":
        from workbench.composition.search_all import FoodSearch

        self.close()
        self._own = own
        self._search = FoodSearch(bundled_foods().values(), own.values(), paths.library())
        self._search.find("", 1)  # makes the index
        keep_out_of_collection()
        return self._search

    def library_tables(self) -> dict[str, str]:
        """Titles of the tables in the library, by the key that their figures cite; none where it cannot be read."""
        from workbench.composition.library.store import Library

        if not paths.library().exists():
            return {}
        try:
            with Library.open(readonly=True, patience_s=_PATIENCE_S) as library:
                return {key: info.title for key, info in library.tables().items()}
        except WorkbenchError:
            return {}  # a search says why

    @property
    def without_library(self) -> WorkbenchError | None:
        """Why the last search had to do without the library."""
        return self._search.without_library if self._search is not None else None

    def food(self, found: "Found") -> Food:
        """The food that was found.

        Raises
        ------
        LibraryError
            If it is in the library, and cannot be read there any more.
        """
        from workbench.composition.library.connection import LibraryError

        food = self._search.food(found) if self._search is not None else None
        if food is None:
            raise LibraryError(_("“{name}” is no longer in the library.", name=found.name), hint=_("Search again."))
        return food
