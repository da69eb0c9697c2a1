"""Kinds of texture: every row of the data tells something apart, and a name says enough where a group is missing."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from workbench.composition.bundled import bundled_foods
from workbench.composition.table_file import CompositionError
from workbench.composition.textures import read_textures, same_texture, texture_of, textures

TABLE = bundled_foods()
HEAD = "key,title,groups,words,without,blends,source,note\n"


def _key(food_id: str) -> str:
    texture = texture_of(TABLE[food_id])
    return texture.key if texture is not None else ""


@pytest.mark.parametrize(
    ("food_id", "key"),
    [
        ("popcorn", "puffed"),
        ("buckwheat_groats_roasted", "grain"),
        ("oats_rolled", "flakes"),
        ("buckwheat_flour", "flour"),
        ("maize_meal_fine", "meal"),
        ("wheat_flour_whole", "flour"),  # “wholemeal” is no meal
        ("glucose_syrup", "syrup"),
        ("glucose_syrup_dried", "dry_sugar"),
        ("egg_boiled", "boiled_egg"),
        ("salt", ""),
    ],
)
def test_what_a_cook_would_say(food_id: str, key: str) -> None:
    assert _key(food_id) == key


def test_no_row_is_dead() -> None:
    found = {texture.key for food in TABLE.values() if (texture := texture_of(food)) is not None}
    assert {texture.key for texture in textures()} - found == set()


def test_without_a_group_the_name_decides_and_a_strange_name_is_not_known() -> None:
    own = replace(TABLE["oats_rolled"], group="", name="porridge flakes of the mill")
    assert same_texture(own, TABLE["oats_rolled"])
    strange = replace(own, name="the white bag")
    assert texture_of(strange) is None
    assert not same_texture(strange, TABLE["oats_rolled"])
    assert not same_texture(strange, strange), "of two strangers nothing is known"


def test_a_group_that_is_not_there_is_named(tmp_path: Path) -> None:
    (tmp_path / "textures.csv").write_text(HEAD + "flakes,flakes,dry grain,flakes,,,,\n", encoding="utf-8")
    with pytest.raises(CompositionError) as caught:
        read_textures(tmp_path, TABLE)
    assert "column groups" in caught.value.where
