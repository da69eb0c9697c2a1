"""One search for the bundled table, a project's own foods and the library.

The first two are held in memory; the library is opened by the first search, not at the start, and searched by its
index.  What both find is merged by one rank.  A library that cannot be read leaves the search as it is without one.
"""

import contextlib
import sqlite3
from collections.abc import Iterable
from pathlib import Path

from workbench.base.errors import WorkbenchError
from workbench.composition.food import Food
from workbench.composition.library.connection import LibraryBusy, in_words
from workbench.composition.library.index import LibraryIndex
from workbench.composition.library.store import Library
from workbench.composition.search import SearchIndex
from workbench.composition.search_filter import SearchFilter
from workbench.composition.search_ranking import BUNDLED, Found, Typed, forgiving, typed_words
from workbench.composition.synonyms import Synonyms

_PATIENCE_S = 0.02  # a keystroke does not wait for an import


class FoodSearch:
    """Everything that can be found.

    Parameters
    ----------
    bundled : iterable of Food
        Foods of the program; one that the library has too is found as the library has it.
    project : iterable of Food
        Foods of a project, which count before all others of the same id.
    library : Path, optional
        The library's file, which need not exist.

    Attributes
    ----------
    without_library : WorkbenchError or None
        Why the last search had to do without the library, in words.
    """

    def __init__(
        self,
        bundled: Iterable[Food],
        project: Iterable[Food] = (),
        library: Path | None = None,
        synonyms: Synonyms | None = None,
    ) -> None:
        self.without_library: WorkbenchError | None = None
        self._bundled = {food.id: food for food in bundled}
        self._project = {food.id: food for food in project}
        self._path = library
        self._synonyms = synonyms
        self._library: Library | None = None
        self._memory: SearchIndex | None = None
        self._shared: frozenset[str] = frozenset()
        self._seen_change = -1

    def close(self) -> None:
        """Close the library, if it was opened."""
        if self._library is not None:
            self._library.close()
            self._library = None
            self._seen_change = -1  # the number of one connection says nothing to another

    def find(self, text: str, limit: int = 200, filters: SearchFilter | None = None) -> list[Found]:
        """Foods in which every word of ``text`` occurs, best first.

        Parameters
        ----------
        text : str
            What was typed; nothing typed finds everything, in alphabetical order.
        limit : int
            The most foods to return.
        filters : SearchFilter, optional
            What else the foods must be.
        """
        typed = typed_words(text)
        return forgiving(
            lambda similar: self._both(typed, limit, filters, similar=similar),
            lambda: typed.is_short or bool(self._both(typed, 1, None, similar=False)),
        )

    def food(self, found: Found) -> Food | None:
        """The food that was found; None if it has gone from the library meanwhile.

        Raises
        ------
        LibraryError
            If it is in the library and that cannot be read any more.
        """
        if found.source == BUNDLED:
            return self._index().food(found.id)
        return None if self._library is None else self._library.food(found.id)

    def _index(self) -> SearchIndex:
        if self._memory is None:
            bundled = {food_id: food for food_id, food in self._bundled.items() if food_id not in self._shared}
            self._memory = SearchIndex((bundled | self._project).values(), self._synonyms)
        return self._memory

    def _both(self, typed: Typed, limit: int, filters: SearchFilter | None, *, similar: bool) -> list[Found]:
        theirs = self._in_library(typed, limit, filters, similar=similar)
        mine = self._index().found(typed, limit, filters, similar=similar)
        return sorted((*mine, *theirs))[:limit] if theirs else mine

    def _in_library(self, typed: Typed, limit: int, filters: SearchFilter | None, *, similar: bool) -> list[Found]:
        self.without_library = None
        if self._path is None or (self._library is None and not self._path.exists()):
            return []
        try:
            if self._library is None:
                self._library = Library.open(self._path, readonly=True, patience_s=_PATIENCE_S)
            index = self._library.index
            self._notice_changes(self._library, index)
            found = index.found(typed, limit + len(self._project), filters, similar=similar)
        except sqlite3.Error as error:
            self.without_library = in_words(error, self._path)
        except WorkbenchError as error:
            self.without_library = error
        else:
            return [food for food in found if food.id not in self._project]
        if not isinstance(self.without_library, LibraryBusy):
            with contextlib.suppress(sqlite3.Error):
                self.close()
        return []

    def _notice_changes(self, library: Library, index: LibraryIndex) -> None:
        """See anew which bundled foods the library has too, when it has changed."""
        change = library.change_number()
        if change != self._seen_change:
            shared = frozenset(index.having(list(self._bundled)))
            if shared != self._shared:
                self._shared, self._memory = shared, None
            self._seen_change = change
