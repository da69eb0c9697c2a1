"""The rows of a table by id, finished one by one."""

from collections.abc import Callable, Iterator, Mapping

from workbench.composition.food import Food


class Table(Mapping[str, Food]):
    """Rows by id, never changed.

    A row is stamped with its hash when it is first asked for: the hashes of all of them cost a quarter of the time of
    reading, and most recipes use a handful.
    """

    def __init__(self, foods: Mapping[str, Food], stamped: Callable[[Food], Food]) -> None:
        self._foods = foods
        self._stamp = stamped
        self._stamped: dict[str, Food] = {}

    def __getitem__(self, food_id: str) -> Food:
        found = self._stamped.get(food_id)
        if found is None:
            found = self._stamped[food_id] = self._stamp(self._foods[food_id])
        return found

    def __contains__(self, food_id: object) -> bool:
        return food_id in self._foods

    def __iter__(self) -> Iterator[str]:
        return iter(self._foods)

    def __len__(self) -> int:
        return len(self._foods)
