"""A folder in the shape of FoodData Central's CSV files, of any size, with figures of no food."""

import csv
import random
from pathlib import Path

from workbench.composition.imports.header_words import FDC_IDS

UNITS = {"208": "KCAL", "958": "KCAL", "957": "KCAL", "268": "kJ", "262": "MG", "601": "MG"}


def write_folder(folder: Path, n_foods: int, n_nutrients: int, seed: int = 1) -> Path:
    """Write the files, every cell quoted as they are published; every food has every nutrient."""
    dice = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    known = [(fdc_id, nbr) for fdc_id, nbr in FDC_IDS.items() if nbr not in ("298", "957", "958", "293", "269.3")]
    others = [(str(3000 + k), str(800 + k)) for k in range(n_nutrients - len(known))]
    nutrients = (known + others)[:n_nutrients]
    _write(
        folder / "nutrient.csv",
        ("id", "name", "unit_name", "nutrient_nbr", "rank"),
        [
            (fdc_id, f"nutrient {nbr}", UNITS.get(nbr, "MG" if nbr.startswith("30") else "G"), nbr, k)
            for k, (fdc_id, nbr) in enumerate(nutrients)
        ],
    )
    _write(folder / "food_category.csv", ("id", "code", "description"), [("1", "0100", "Invented foods")])
    _write(folder / "measure_unit.csv", ("id", "name"), [("1000", "cup"), ("9999", "undetermined")])
    _write(folder / "food_nutrient_derivation.csv", ("id", "code", "description"), [("1", "A", "Analytical")])
    codes = [str(500_000 + k) for k in range(n_foods)]
    _write(
        folder / "food.csv",
        ("fdc_id", "data_type", "description", "food_category_id", "publication_date"),
        [
            (code, "sr_legacy_food", f"Invented food {k % 97}, kind {k // 97}, raw", "1", "2026-01-01")
            for k, code in enumerate(codes)
        ],
    )
    portions = (
        "id",
        "fdc_id",
        "seq_num",
        "amount",
        "measure_unit_id",
        "portion_description",
        "modifier",
        "gram_weight",
    )
    _write(
        folder / "food_portion.csv",
        portions,
        [(str(k), code, "1", "1.0", "1000", "", "", f"{dice.uniform(50, 250):.1f}") for k, code in enumerate(codes)],
    )
    columns = (
        "id", "fdc_id", "nutrient_id", "amount", "data_points", "derivation_id", "min", "max", "median", "footnote",
        "min_year_acquired",
    )  # fmt: skip
    rows = (
        (str(k * n_nutrients + j), code, fdc_id, *_figures(dice), "", "", "")
        for k, code in enumerate(codes)
        for j, (fdc_id, _nbr) in enumerate(nutrients)
    )
    _write(folder / "food_nutrient.csv", columns, rows)
    return folder


def _figures(dice: random.Random) -> tuple[object, ...]:
    """Amount, samples, derivation, and a range where there were several samples."""
    amount, n = dice.uniform(0, 2), dice.randrange(0, 9)
    spread = (f"{0.8 * amount:.3f}", f"{1.2 * amount:.3f}") if n > 1 else ("", "")
    return f"{amount:.3f}", n, "1", *spread


def _write(path: Path, header: tuple[str, ...], rows: object) -> None:
    with path.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, quoting=csv.QUOTE_ALL, lineterminator="\n")
        writer.writerow(header)
        writer.writerows(rows)  # type: ignore[arg-type]  # rows of mixed cells
