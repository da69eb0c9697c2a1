"""Composite ingredients of the library follow the variant they were made from, and nothing else."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace

from tests.support import make_food, project_of
from workbench.composition.library.store import Library
from workbench.document.project import Project
from workbench.recipe.following import Files, Moment, changed_ingredients, composite_of, compute_anew, follow
from workbench.storage.project_file import decode_project, encode_project

FILES = Files(encode_project, lambda recipe: decode_project(recipe).project)
TODAY = Moment("2026-06-01")
NUTS = make_food("nuts", {"FAT": 50.0, "WATER": 4.0})
OIL = make_food("oil", {"FAT": 100.0, "WATER": 0.0})


def butter(oil_g: float, project_id: str = "spreads") -> Project:
    """Nut butter of 300 g nuts and some oil."""
    return replace(project_of([(300.0, NUTS), (oil_g, OIL)]), id=project_id)


@pytest.fixture
def library(tmp_path: Path) -> Iterator[Library]:
    with Library.open(tmp_path / "library.sqlite") as opened:
        food, made_from = composite_of(butter(100.0), butter(100.0).variants[0], "nut butter", TODAY.today, FILES)
        opened.put(food, made_from=made_from)
        opened.set_tags(food.id, ["mine"])
        yield opened


def fat(library: Library) -> float:
    return next(entry.food.values["FAT"].value for entry in library.entries() if entry.made_from is not None)


def test_a_changed_variant_changes_its_composite_in_one_step_that_can_be_taken_back(library: Library) -> None:
    assert fat(library) == pytest.approx(62.5)  # (150 + 100) of 400 g
    assert follow(butter(100.0), library, TODAY, FILES).names == (), "nothing has changed"
    followed = follow(butter(200.0), library, TODAY, FILES)
    assert followed.names == ("nut butter",) and followed.failed == ()
    assert fat(library) == pytest.approx(70.0)  # (150 + 200) of 500 g
    (entry,) = library.entries()
    assert (entry.food.name, entry.tags) == ("nut butter", ("mine",)), "what the user said of it stays"
    step = library.undo()
    assert step is not None and step.words == "“nut butter” follows its recipe"
    assert fat(library) == pytest.approx(62.5)


def test_what_was_taken_back_stays_so_until_the_recipe_changes_again(library: Library) -> None:
    recipes = follow(butter(200.0), library, TODAY, FILES).recipes
    library.undo()
    saved_again = TODAY._replace(recipes=recipes)
    assert follow(butter(200.0), library, saved_again, FILES).names == ()
    opened_again = TODAY._replace(saved="2999-01-01T00:00:00+00:00")
    assert follow(butter(200.0), library, opened_again, FILES).names == ()
    assert follow(butter(600.0), library, saved_again, FILES).names == ("nut butter",)
    assert fat(library) == pytest.approx(100.0 * 750.0 / 900.0)


def test_an_old_copy_of_the_file_and_another_project_change_nothing(library: Library) -> None:
    old = TODAY._replace(saved="2001-01-01T00:00:00+00:00")
    assert follow(butter(200.0), library, old, FILES).names == ()
    assert follow(butter(200.0, "other"), library, TODAY, FILES).names == ()
    assert fat(library) == pytest.approx(62.5)


def test_a_variant_without_a_valid_result_is_named_and_the_composite_stays(library: Library) -> None:
    broken = butter(200.0)
    variant = broken.variants[0]
    lines = tuple(replace(line, amount_g=0.0) for line in variant.lines)
    followed = follow(replace(broken, variants=(replace(variant, lines=lines),)), library, TODAY, FILES)
    assert followed.names == () and [name for name, _error in followed.failed] == ["nut butter"]
    assert fat(library) == pytest.approx(62.5)


def test_ingredients_that_read_otherwise_count_on_request_and_are_not_lost_by_saving(library: Library) -> None:
    fatter = replace(NUTS, values=NUTS.values | {"FAT": replace(NUTS.values["FAT"], value=60.0)}, taken_from=None)
    library.put(fatter)
    (entry,) = [entry for entry in library.entries() if entry.made_from is not None]
    assert entry.made_from is not None and list(changed_ingredients(entry.made_from, library)) == ["nuts"]
    assert fat(library) == pytest.approx(62.5), "told, not done"
    compute_anew(entry.food.id, library, TODAY.today, FILES)
    assert fat(library) == pytest.approx(70.0)  # (180 + 100) of 400 g
    noted = replace(butter(100.0).variants[0], notes="roast them first")
    follow(replace(butter(100.0), variants=(noted,)), library, TODAY, FILES)
    assert fat(library) == pytest.approx(70.0), "words do not change a recipe"
