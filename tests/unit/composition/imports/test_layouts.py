"""Each layout as its publishers write it, with the oddities they are known for."""

import json
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tests.unit.composition.imports.tables import FDC, amounts, read_all, write_files
from workbench.composition.food import Measure
from workbench.composition.imports import findings
from workbench.composition.imports.detection import detect, make_plan
from workbench.composition.imports.layout import Conventions, ImportFailure

KJ = 4.184


def _fdc(tmp_path: Path, *, packed: bool) -> Path:
    if not packed:
        return write_files(tmp_path / "fdc", FDC)
    path = tmp_path / "fdc.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in FDC.items():
            archive.writestr(f"FoodData_Central_csv_2026/{name}", text)
    return path


@pytest.mark.parametrize("packed", [False, True])
def test_fooddata_central_with_its_oddities(tmp_path: Path, packed: bool) -> None:
    foods, tally = read_all(_fdc(tmp_path, packed=packed), key="fdc")
    assert set(foods) == {"1", "2"}  # not the sample, not the second 2, not the drink without a density
    oats, figs = foods["1"], foods["2"]
    assert amounts(oats) == pytest.approx({"PROCNT": 13.16, "FAT": 6.52, "NA": 6.0, "ENERC_KCAL": 1586 / KJ})
    assert (oats.values["PROCNT"].n, oats.values["PROCNT"].kind, oats.values["PROCNT"].source) == (8, "measured", "fdc")
    assert (oats.group, oats.measures) == ("Cereal Grains", (Measure("cup", 81.0, "fdc", "1"),))
    assert figs.name == 'Figs, "Smyrna", sun-dried'
    assert amounts(figs) == {"PROCNT": 3.30, "CHOCDF": 63.87}  # the first of two proteins, fibre in IU left out
    assert figs.values["PROCNT"].kind == "calculated"
    assert figs.measures == (Measure("fig", 8.4, "fdc", "2"),)
    met = {kind: tally.count(kind) for kind in (
        findings.SAME_CODE, findings.NOT_FOODS, findings.PER_MILLILITRE, findings.UNKNOWN_FOOD, findings.SAME_VALUE,
        findings.UNREADABLE, findings.NO_GRAMS,
    )}  # fmt: skip
    assert set(met.values()) == {1}, met
    assert tally.blanks == 1


def test_a_drink_per_100_ml_comes_in_with_a_density(tmp_path: Path) -> None:
    foods, _tally = read_all(_fdc(tmp_path, packed=False), Conventions(density_g_per_ml=1.03))
    assert foods["4"].values["PROCNT"].value == pytest.approx(1.0)
    assert foods["4"].values["PROCNT"].kind == "label"
    assert foods["4"].also == ("A MILL",)


def test_plain_and_quoted_lines_are_read_alike(tmp_path: Path) -> None:
    """The quick way through long files and the csv module must agree: quotes or none, line ends of Windows or not."""
    header = "fdc_id,nutrient_id,amount,data_points\n"
    lines = "1,1003,13.16,8\n1,1004,6.52,\n2,1003,.5,1\n2,1004,0,3\n"
    quoted = "".join(",".join(f'"{cell}"' for cell in line.split(",")) + "\n" for line in lines.splitlines())
    results = []
    for k, text in enumerate((lines, quoted, lines.replace("\n", "\r\n"), lines + '2,1093,"1e1",\n')):
        files = {**FDC, "food_nutrient.csv": header + text}
        foods, _tally = read_all(write_files(tmp_path / str(k), files))
        results.append([{tag: v for tag, v in food.values.items() if tag != "NA"} for food in foods.values()])
        assert ("NA" in foods["2"].values) == (k == 3)
    assert results[0] == results[1] == results[2] == results[3]
    assert results[0][0]["PROCNT"].n == 8


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "fdc", {name: text for name, text in FDC.items() if name != "food_nutrient.csv"})
    with pytest.raises(ImportFailure, match=r"food_nutrient\.csv"):
        detect(folder)


OATS = {
    "fdcId": 7, "description": "Oats, rolled", "dataType": "Foundation", "foodCategory": {"description": "Cereals"},
    "nutrientConversionFactors": [{"type": ".ProteinConversionFactor", "value": 5.83}],
    "foodNutrients": [
        {"nutrient": {"id": 1003, "number": "203", "name": "Protein", "unitName": "g"}, "amount": 13.2,
         "dataPoints": 8},
        {"nutrient": {"id": 2047, "number": "957", "name": "Energy (general)", "unitName": "kcal"}, "amount": 380},
        {"nutrient": {"id": 2048, "number": "958", "name": "Energy (specific)", "unitName": "kcal"}, "amount": 382.5},
        {"nutrient": {"id": 1093, "number": "307", "name": "Sodium, Na", "unitName": "mg"}},
    ],
    "foodPortions": [{"measureUnit": {"name": "cup"}, "amount": 1.0, "gramWeight": 81.0}],
}  # fmt: skip
SEARCHED = {
    "fdcId": 8, "description": "Oat drink", "dataType": "Branded", "servingSizeUnit": "ml",
    "foodNutrients": [
        {"nutrientId": 1003, "nutrientNumber": "203", "nutrientName": "Protein", "unitName": "G", "value": 1},
    ],
}  # fmt: skip


@pytest.mark.parametrize("wrap", [lambda foods: foods, lambda foods: {"FoundationFoods": foods}], ids=["list", "named"])
def test_fooddata_central_json_in_its_shapes(tmp_path: Path, wrap: object) -> None:
    path = tmp_path / "foods.json"
    assert callable(wrap)
    path.write_text(json.dumps(wrap([OATS, SEARCHED])), encoding="utf-8")
    foods, tally = read_all(path, Conventions(density_g_per_ml=1.0, protein_factor=6.25))
    assert foods["7"].values["ENERC_KCAL"].value == 382.5  # specific factors before general ones
    assert foods["7"].values["PROCNT"].value == pytest.approx(13.2 * 6.25 / 5.83)
    assert (foods["7"].values["PROCNT"].n, foods["7"].group, tally.blanks) == (8, "Cereals", 1)
    assert foods["7"].measures[0].grams == 81.0
    assert foods["8"].values["PROCNT"].kind == "label"


SR = {
    "FOOD_DES.txt": (
        "~01001~^~0100~^~Butter, salted~^~BUTTER~^~~^~~^~Y~^~~^0^~~^6.38^4.27^8.79^3.87\n"
        "~09040~^~0900~^~Bananas, Jalape\xf1a^raw~^~BANANAS~^~~^~~^~Y~^~Skin~^36^~Musa acuminata~^6.25^3.36^8.37^3.60\n"
    ),
    "FD_GROUP.txt": "~0100~^~Dairy and Egg Products~\n~0900~^~Fruits~\n",
    "NUTR_DEF.txt": (
        "~203~^~g~^~PROCNT~^~Protein~^~2~^~600~\n~268~^~kJ~^~ENERC_KJ~^~Energy~^~0~^~400~\n"
        "~291~^~g~^~FIBTG~^~Fiber, total dietary~^~1~^~1200~\n~401~^~mg~^~VITC~^~Vitamin C~^~1~^~6300~\n"
    ),
    "NUT_DATA.txt": (
        "~01001~^~203~^0.85^16^0.074^~1~^~~^~~^~~^^^^^^^~~^11/1976^\n"
        "~01001~^~291~^0.0^0^^~7~^~Z~^~~^~~^^^^^^^~~^11/1976^\n"
        "~09040~^~203~^1.09^5^0.300^~1~^~A~^~~^~~^1^1.00^1.17^4^1.0^1.2^~~^05/2002^\n"
        "~09040~^~268~^371^0^^~4~^~NC~^~~^~~^^^^^^^~~^08/2010^\n"
    ),
    "WEIGHT.txt": '~01001~^1^1^~pat (1" sq, 1/3" high)~^5.0^^\n~09040~^1^0.5^~cup, mashed~^112.5^^\n',
}


def test_standard_reference_text_files(tmp_path: Path) -> None:
    foods, tally = read_all(write_files(tmp_path / "sr", SR, "iso-8859-1"), key="sr")
    butter, banana = foods["01001"], foods["09040"]
    assert banana.name == "Bananas, Jalapeña^raw"
    assert (butter.nitrogen_factor, banana.nitrogen_factor) == (6.38, 6.25)
    assert butter.values["PROCNT"].sd == pytest.approx(0.074 * 4)  # SE x sqrt(16)
    # The standard error of 0.3 would give SD 0.67; a range of 1.00 to 1.17 allows 0.095 (SD <= range/2 x sqrt(5/4)).
    assert banana.values["PROCNT"].sd == pytest.approx(0.17 / 2 * (5 / 4) ** 0.5)
    assert butter.values["FIBTG"].kind == "assumed_zero"
    assert banana.values["ENERC_KCAL"].value == pytest.approx(371 / KJ)
    assert (banana.edible_fraction, banana.bought_as) == (0.64, "with Skin")
    assert banana.measures == (Measure("cup, mashed", 225.0, "sr", "09040"),)
    assert butter.measures[0].name == 'pat (1" sq, 1/3" high)'
    assert not tally.problems()


LABORATORY = (
    "Nährwerte je 100 g;;;;;;\nLebensmittel;Energie;Eiweiß;Fett;Kohlenhydrate;Ballaststoffe;Natrium;Vitamin C\n"
    ";kJ;g;g;g;g;g;mg\nGetreide;;;;;;;\nMaisgrieß;1475;8,7;1,1;71,1;5,0;0,001;1\nHafer;1475;13,5;7,0;58,7;10,0;tr;-\n"
    "Reis;1480;<0,5;(0,6);77,0;N;0,002;?\n"
)


def test_wide_table_with_plain_german_titles_units_below_and_windows_letters(tmp_path: Path) -> None:
    path = tmp_path / "labor.csv"
    path.write_bytes(LABORATORY.encode("cp1252"))
    foods, tally = read_all(path, Conventions(carbohydrate="without_fibre"))
    assert set(foods) == {"Maisgrieß", "Hafer", "Reis"}  # not the heading
    assert amounts(foods["Maisgrieß"]) == pytest.approx(
        {"ENERC_KCAL": 1475 / KJ, "PROCNT": 8.7, "FAT": 1.1, "CHOAVLDF": 71.1, "FIBTG": 5.0, "NA": 1.0}
    )
    assert foods["Hafer"].limits == {"NA": 1.0}  # a trace: below the last place that is shown
    assert foods["Reis"].limits == {"PROCNT": 0.5}
    assert foods["Reis"].values["FAT"].kind == "borrowed"
    assert "FIBTG" not in foods["Reis"].values
    assert tally.count(findings.TRACES) == tally.count(findings.ESTIMATES) == 1
    assert tally.count(findings.NOT_TEXT) == 3


def test_numbers_of_a_workbook_keep_their_points_beside_texts_with_commas(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in ("food", "fat (g)", "sodium (mg)"), ("oats", "7,1", "2,5"), ("figs", "0,9", "1,234"), ("rice", 1, 1.234):
        book.active.append(row)
    book.save(tmp_path / "t.xlsx")
    foods, tally = read_all(tmp_path / "t.xlsx")
    assert amounts(foods["oats"]) == {"FAT": 7.1, "NA": 2.5}
    assert amounts(foods["rice"]) == {"FAT": 1.0, "NA": 1.234}
    assert "NA" not in foods["figs"].values, "1,234 may be either, and is not guessed"
    assert tally.count(findings.AMBIGUOUS) == 1


def test_an_open_question_is_asked_and_figures_answer_it_where_they_can(tmp_path: Path) -> None:
    path = tmp_path / "labor.csv"
    path.write_bytes(LABORATORY.encode())
    assert [question.field for question in make_plan(path, detect(path)).questions] == ["carbohydrate"]
    with pytest.raises(ImportFailure, match="fibre"):
        read_all(path)
    # USDA SR26 20060, 12006 and 16014 close to 100 g with the fibre inside.
    closing = (
        "food,water,protein,fat,carbohydrate,fibre,ash,energy\nrice bran,6.13,13.35,20.85,49.69,21.0,9.98,316\n"
        "chia seeds,5.80,16.54,30.74,42.12,34.4,4.80,486\nblack beans,11.02,21.60,1.42,62.36,15.5,3.60,341\n"
    )
    path.write_text(closing)
    plan = make_plan(path, detect(path))
    assert (plan.chosen.carbohydrate, plan.chosen.energy, plan.questions) == ("with_fibre", "kcal", ())
    assert "100 g" in plan.said[0]


def test_long_table_with_units_and_spread_in_any_order(tmp_path: Path) -> None:
    path = tmp_path / "long.tsv"
    path.write_text(
        "food\tcode\tcomponent\tvalue\tunit\tn\tsd\nOats\tA1\tPROCNT\t13.5\tg\t6\t0.4\nFigs\tA2\tFAT\t<0.1\tg\t\t\n"
        "Oats\tA1\tsodium\t0.006\tg\t\t\nOats\tA1\tvitamin C\t0\tmg\t\t\nOats\tA1\tPROCNT\t14\tg\t\t\n"
        "Oats\tA1\tFAT\t4\tkJ\t\t\n",
        encoding="utf-16",
    )
    foods, tally = read_all(path)
    assert amounts(foods["A1"]) == pytest.approx({"PROCNT": 13.5, "NA": 6.0})
    assert (foods["A1"].values["PROCNT"].n, foods["A1"].values["PROCNT"].sd) == (6, 0.4)
    assert foods["A2"].limits == {"FAT": 0.1}
    assert [tally.count(kind) for kind in (findings.SAME_VALUE, findings.UNKNOWN_COMPONENT)] == [1, 1]
    assert tally.count(findings.UNIT_DOES_NOT_FIT) == 1


SYRUP = (
    ("Technical data sheet", None, None), ("Product", "Rice syrup DE 60", None), ("Article number", "RS-60", None),
    ("Nutrition", "per portion (20 g)", "per 100 g"), ("Energy", "268 kJ / 63 kcal", "1340 kJ / 316 kcal"),
    ("Fat", "0 g", "< 0,5 g"), ("- of which saturates", "0 g", "0,1 g"), ("Carbohydrate", "15,8 g", "79,0 g"),
    ("of which sugars", "8,8 g", "44 g"), ("Fibre", None, None), ("Protein", "0 g", "0,2 g"), ("Salt", "0 g", "0,03 g"),
    ("Dry matter", None, "80 %"), ("pH", None, "5,2"),
)  # fmt: skip


def test_a_suppliers_sheet_of_one_product(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in SYRUP:
        book.active.append(row)
    path = tmp_path / "syrup.xlsx"
    book.save(path)
    foods, _tally = read_all(path)
    syrup = foods["RS-60"]
    assert syrup.name == "Rice syrup DE 60"
    assert amounts(syrup) == pytest.approx(
        {"ENERC_KCAL": 316, "FASAT": 0.1, "CHOAVLDF": 79.0, "SUGAR": 44, "PROCNT": 0.2, "NA": 12.0, "WATER": 20.0}
    )  # sodium: salt / 2.5 (Regulation (EU) No 1169/2011, Annex I)
    assert syrup.limits == {"FAT": 0.5}
    assert {value.kind for value in syrup.values.values()} == {"label"}


def test_a_sheet_per_100_ml_asks_for_a_density(tmp_path: Path) -> None:
    path = tmp_path / "drink.csv"
    path.write_text("Nutrition;per 100 ml\nFat;1,5 g\nCarbohydrate;6,6 g\nProtein;1,0 g\n")
    foods, tally = read_all(path)
    assert not foods
    assert tally.count(findings.PER_MILLILITRE) == 1
    foods, _tally = read_all(path, Conventions(density_g_per_ml=1.03))
    assert foods["drink"].values["FAT"].value == pytest.approx(1.5 / 1.03)
