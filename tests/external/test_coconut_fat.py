"""Medium-chain fatty acids of coconut and milk fat: USDA SR26 rows by NDB number, and the weight of the triglyceride.

Greenfield & Southgate, "Food composition data", FAO 2003, table A5.1 prints 0.942 g fatty acids per g coconut oil.
"""

import pytest

from tests.support import bundled_by_code, evaluation_of
from workbench.document.project import Assumptions
from workbench.science.fats import GLYCERYL, oil_per_acid


@pytest.mark.parametrize(
    ("code", "to_c10", "to_c12"),
    [
        ("4047", 14.1, 58.7),  # coconut oil
        ("4513", 7.2, 54.2),  # palm kernel oil
        ("4534", 11.7, 55.2),  # babassu oil
        ("12108", 8.479, 37.104),  # desiccated coconut
        ("12177", 9.079, 39.725),  # creamed coconut
        ("12117", 3.133, 13.709),  # raw coconut milk
        ("12115", 4.558, 19.943),  # raw coconut cream
        ("1145", 5.726, 8.313),  # butter; as truth within 25 %, its C6:0 differs from that of butter oil
    ],
)
def test_medium_chain_acids_in_100_g(code: str, to_c10: float, to_c12: float) -> None:
    result = evaluation_of([(100.0, bundled_by_code(code))])
    assert result.bound("mct_c6_c10", "per_100g").value == pytest.approx(to_c10, abs=0.001)
    assert result.bound("mct_c6_c12", "per_100g").value == pytest.approx(to_c12, abs=0.001)


def test_the_switch_decides_whether_lauric_acid_counts() -> None:
    """A factor of four for coconut oil (SR26 4047): both definitions are in use, so the shown one must be named."""
    oil = [(100.0, bundled_by_code("4047"))]
    assert evaluation_of(oil).bound("medium_chain", "batch").value == pytest.approx(14.1)
    lauric = evaluation_of(oil, assumptions=Assumptions(lauric_counts=True))
    assert lauric.bound("medium_chain", "batch").value == pytest.approx(58.7)


def test_study_doses_are_grams_of_oil() -> None:
    """14.1 g acids of 100 g coconut oil are 15.27 g as triglyceride (by molar masses)."""
    oil = evaluation_of([(100.0, bundled_by_code("4047"))])
    assert oil.bound("mct_oil", "batch").value == pytest.approx(15.27, abs=0.02)


@pytest.mark.parametrize(
    ("acid", "ratio"), [("F4D0", 1.1440), ("F6D0", 1.1092), ("F8D0", 1.0879), ("F10D0", 1.0736), ("F12D0", 1.0633)]
)
def test_triglyceride_per_acid(acid: str, ratio: float) -> None:
    """1 + 38.048 / (3 x molar mass): glycerol less three water."""
    assert oil_per_acid(acid) == pytest.approx(ratio, abs=0.0002)


def test_acids_per_fat_of_coconut_oil() -> None:
    """SR26 4047: 94.1 g acids make 99.9 g triglyceride, 0.9420, as the FAO table has it; longer acids by their mass."""
    grams = {"F6D0": 0.6, "F8D0": 7.5, "F10D0": 6.0, "F12D0": 44.6}
    longer = {228.376: 16.8, 256.430: 8.2, 284.484: 2.8, 282.468: 5.8, 280.452: 1.8}  # C14, C16, C18, C18:1, C18:2
    acids = sum(grams.values()) + sum(longer.values())
    oil = sum(g * oil_per_acid(acid) for acid, g in grams.items())
    oil += sum(g * (1 + GLYCERYL / (3 * mass)) for mass, g in longer.items())
    assert acids == pytest.approx(94.1, abs=0.05)
    assert acids / oil == pytest.approx(0.9420, abs=0.0005)
