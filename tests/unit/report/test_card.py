"""The kitchen card: one page where it can be read, everything on the paper, nothing lost."""

from pathlib import Path

import pytest

from tests.support import evaluated, make_food, make_line, make_project, make_variant
from tests.unit.report.paper import edges
from workbench.base.errors import FileError
from workbench.document.project import ByCount, Stage
from workbench.recipe.kitchen_card import KitchenCard, kitchen_card
from workbench.report.card.layout import card_pages, write_cards
from workbench.report.pdf.page import PAGE_SIZES, Page, Text


def made(n_lines: int, name: str = "ingredient {k}", **facts: object) -> KitchenCard:
    foods = [
        make_food(f"f{k}", {"WATER": 50.0}, name=name.format(k=k), origin="plant", contains=()) for k in range(n_lines)
    ]
    lines = [make_line(food, 101.0 + k) for k, food in enumerate(foods)]
    stages = (Stage(id="s1", name="mix", minutes=12, text="Stir well. " * 8), Stage(id="s2", name="press"))
    shape = {"stages": stages, "portioning": ByCount(count=20), "purpose": "race", **facts}
    project = make_project(foods, make_variant(*lines, **shape), title="maize squares")  # type: ignore[arg-type]
    return kitchen_card(project, evaluated(project))


def texts(pages: tuple[Page, ...]) -> list[str]:
    return [mark.text for page in pages for mark in page.marks if isinstance(mark, Text)]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("n_lines", [1, 12, 30, 60])
def test_nothing_stands_beyond_the_margins(n_lines: int, paper: str) -> None:
    size = PAGE_SIZES[paper]
    for page in card_pages(made(n_lines), paper).pages:
        for x, y in edges(page):
            assert 9.0 <= x <= size.width_mm - 9.0, "printers need a margin"
            assert 9.0 <= y <= size.height_mm - 9.0


@pytest.mark.parametrize(("n_lines", "pages"), [(12, 1), (25, 1), (60, 2)])
def test_one_page_unless_it_could_not_be_read(n_lines: int, pages: int) -> None:
    found = card_pages(made(n_lines))
    assert len(found.pages) == pages
    assert [problem.code for problem in found.problems] == ["card_takes_pages"] * (pages > 1)
    weights = [m for page in found.pages for m in page.marks if isinstance(m, Text) and m.text in ("101", "102")]
    assert min(mark.size_pt for mark in weights) >= 11.0, "read from a step away"


def test_every_ingredient_is_on_the_card_with_its_half() -> None:
    shown = texts(card_pages(made(60)).pages)
    for k in range(60):
        assert f"ingredient {k}" in shown
        assert f"{101 + k}" in shown
        assert f"{(101 + k) / 2:.1f}".removesuffix(".0") in shown
    assert shown.count("write down") == 1
    assert {"page 2 of 2", "12 min", "RACE"} <= set(shown)


def test_a_name_without_end_is_cut_and_reported() -> None:
    found = card_pages(made(3, "=x" * 2500 + "{k}"))
    assert len(found.pages) == 1
    assert "text_cut" in {problem.code for problem in found.problems}


def test_signs_without_a_glyph_are_reported_once_for_the_card() -> None:
    found = card_pages(made(8, "玉米 {k}"))
    assert [problem.code for problem in found.problems] == ["characters_replaced"]
    assert "□□ 3" in texts(found.pages)


def test_allergens_and_animal_origin_stand_in_the_frame() -> None:
    butter = make_food("butter", {"WATER": 16.0}, origin="dairy", contains=("milk",), may_contain=("egg",))
    own = make_food("own", {"WATER": 16.0}, name="a spread")
    project = make_project([butter, own], make_variant(make_line(butter, 10.0), make_line(own, 5.0)))
    found = card_pages(kitchen_card(project, evaluated(project)))
    bold = {mark.text for mark in found.pages[0].marks if isinstance(mark, Text) and mark.bold}
    assert {"MILK", "egg", "allergens not stated, a risk:"} <= bold
    assert "a spread" in texts(found.pages)


def test_us_law_names_fewer_allergens_and_the_cook_reads_the_others_all_the_same() -> None:
    # Federal Food, Drug, and Cosmetic Act, section 201(qq): neither oats nor celery are major allergens.
    mix = make_food("mix", {"WATER": 9.0}, origin="plant", contains=("gluten_wheat", "gluten_oats", "celery"))
    project = make_project([mix], make_variant(make_line(mix, 100.0)))
    said = " ".join(texts(card_pages(kitchen_card(project, evaluated(project), rules="us")).pages))
    assert "contains WHEAT (GLUTEN) also inside, though US law does not ask for it: oats (gluten), celery" in said
    assert "also inside" not in " ".join(texts(card_pages(kitchen_card(project, evaluated(project))).pages))


def test_files_are_the_same_each_time_and_whole_or_not_at_all(tmp_path: Path) -> None:
    cards = [made(5), made(7)]
    for name in ("a.pdf", "b.pdf"):
        assert write_cards(cards, tmp_path / name) == ()
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()
    with pytest.raises(FileError):
        write_cards(cards, tmp_path / "nowhere" / "card.pdf")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.pdf", "b.pdf"]
