"""Small foreign tables, written as their publishers write them, and the shortest way to read one."""

from collections.abc import Mapping
from pathlib import Path

from workbench.base.progress import Progress
from workbench.composition.food import Food
from workbench.composition.imports.detection import detect, make_plan
from workbench.composition.imports.layout import Conventions
from workbench.composition.imports.running import read
from workbench.composition.imports.tally import Tally

FDC = {
    "food.csv": (
        '"fdc_id","data_type","description","food_category_id","publication_date"\n'
        '"1","foundation_food","Oats, rolled","20","2026-01-01"\n'
        '"2","sr_legacy_food","Figs, ""Smyrna"",\nsun-dried","9","2026-01-01"\n'
        '"3","sample_food","Oats, lot 7","20","2026-01-01"\n'
        '"2","sr_legacy_food","Figs once more","9","2026-01-01"\n'
        '"4","branded_food","Oat drink","","2026-01-01"\n'
    ),
    "nutrient.csv": (
        '"id","name","unit_name","nutrient_nbr","rank"\n'
        '"1003","Protein","G","203","600"\n"1004","Total lipid (fat)","G","204","800"\n'
        '"1005","Carbohydrate, by difference","G","205","1110"\n"1008","Energy","KCAL","208","300"\n'
        '"1062","Energy","kJ","268","400"\n"1093","Sodium, Na","UG","307","5800"\n'
        '"1104","Vitamin A, IU","IU","318","7500"\n'
        '"1079","Fiber, total dietary","IU","291","1200"\n'
    ),
    "food_nutrient.csv": (
        '"id","fdc_id","nutrient_id","amount","data_points","derivation_id","min","max","median","footnote"\n'
        '"1","1","1003","13.16","8","1","","","",""\n"2","1","1004","6.52","8","1","","","",""\n'
        '"3","1","1093","6000","3","1","","","",""\n"4","1","1062","1586","","","","","",""\n'
        '"5","2","1003","3.30","","49","","","","one, of\ntwo ""lots"""\n"6","2","1005","63.87","0","49","","","",""\n'
        '"7","1","1005","","","","","","",""\n"8","9","1003","1.0","","","","","",""\n'
        '"9","3","1003","13.0","","","","","",""\n"10","2","1003","3.31","","49","","","",""\n'
        '"11","2","1104","10","","","","","",""\n"12","2","1079","9.8","","","","","",""\n'
        '"13","4","1003","1.03","","2","","","",""\n"14","1","1003","oops","","","","","",""\n'
    ),
    "food_category.csv": '"id","code","description"\n"20","2000","Cereal Grains"\n"9","0900","Fruits"\n',
    "food_nutrient_derivation.csv": (
        '"id","code","description"\n"1","A","Analytical"\n"49","NC","Calculated"\n"2","LCCS","From a label"\n'
    ),
    "measure_unit.csv": '"id","name"\n"1000","cup"\n"9999","undetermined"\n',
    "food_portion.csv": (
        '"id","fdc_id","seq_num","amount","measure_unit_id","portion_description","modifier","gram_weight"\n'
        '"1","1","1","2","1000","","","162"\n"2","2","1","","9999","1 fig","","8.4"\n"3","2","2","1","1000","","","0"\n'
    ),
    "branded_food.csv": '"fdc_id","brand_owner","serving_size","serving_size_unit"\n"4","A MILL","240","ml"\n',
}


def write_files(folder: Path, files: Mapping[str, str], encoding: str = "utf-8") -> Path:
    """Write these files into a new folder."""
    folder.mkdir(parents=True)
    for name, text in files.items():
        (folder / name).write_bytes(text.encode(encoding))
    return folder


def read_all(
    path: Path, chosen: Conventions | None = None, mapping: Mapping[str, str] | None = None, key: str = "t"
) -> tuple[dict[str, Food], Tally]:
    """Every food of a table by its code, and what was met."""
    tally = Tally()
    plan = make_plan(path, detect(path), chosen, mapping, key)
    return {food.id: food for food in read(plan, tally, Progress())}, tally


def amounts(food: Food) -> dict[str, float]:
    """The figures of a food."""
    return {tag: value.value for tag, value in food.values.items()}
