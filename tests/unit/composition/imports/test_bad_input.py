"""Files that nobody vouches for: one clear finding each, in bounded time and memory, and never a traceback."""

import gzip
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from tests.unit.composition.imports.tables import FDC, read_all, write_files
from workbench.composition.imports import bundle, findings, text_rows
from workbench.composition.imports.detection import detect, make_plan
from workbench.composition.imports.layout import ImportFailure

WIDE = "food,protein (g),fat (g)\noats,13.5,7\nfigs,3.3,0.9\n"


def _zip(path: Path, files: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return path


def _bomb(folder: Path) -> Path:
    return _zip(folder / "t.zip", {"food.csv": b"x" * 40_000_000, "food_nutrient.csv": b"", "nutrient.csv": b""})


def _escape(folder: Path) -> Path:
    files = {name: text.encode() for name, text in FDC.items()}
    return _zip(folder / "t.zip", {"../../evil/food.csv": b"fdc_id,description\n1,a\n"} | files)


def _empty(folder: Path) -> Path:
    path = folder / "t.csv"
    path.touch()
    return path


def _many(folder: Path) -> Path:
    return _zip(folder / "t.zip", {f"{k}.csv": b"" for k in range(bundle.MOST_ENTRIES + 1)})


def _cut_off(folder: Path) -> Path:
    whole = _zip(folder / "whole.zip", {name: text.encode() for name, text in FDC.items()}).read_bytes()
    path = folder / "t.zip"
    path.write_bytes(whole[: len(whole) // 2])
    return path


def _damaged_gz(folder: Path) -> Path:
    path = folder / "t.csv.gz"
    path.write_bytes(gzip.compress(WIDE.encode() * 1000)[:-40])
    return path


def _overwritten(packed: Path) -> Path:
    """The same with some of what was packed lost, though its length is right."""
    data = bytearray(packed.read_bytes())
    data[100:140] = b"\xff" * 40
    packed.write_bytes(data)
    return packed


def _many_foods() -> bytes:
    return ("food,protein (g),fat (g)\n" + "".join(f"food {k},{k % 90},{k % 7}\n" for k in range(5000))).encode()


def _overwritten_gz(folder: Path) -> Path:
    path = folder / "t.csv.gz"
    path.write_bytes(gzip.compress(_many_foods()))
    return _overwritten(path)


def _overwritten_workbook(folder: Path) -> Path:
    return _overwritten(_zip(folder / "t.xlsx", {"xl/worksheets/sheet1.xml": _many_foods()}))


def _long_line(folder: Path) -> Path:
    path = folder / "t.csv.gz"  # 200 MB without an end, in 200 kB
    with gzip.open(path, "wb", 1) as handle:
        handle.write(b"food,protein,fat\n")
        for _ in range(200):
            handle.write(b"9" * 1_000_000)
    return path


def _open_quote(folder: Path) -> Path:
    path = folder / "t.csv"
    path.write_text("food,protein,fat\n" + '"oats,13.5,7\n' + "figs,3.3,0.9\n" * 60_000)
    return path


def _binary(folder: Path) -> Path:
    path = folder / "t.csv"
    path.write_bytes(bytes(range(256)) * 50)
    return path


def _nothing_known(folder: Path) -> Path:
    path = folder / "t.csv"
    path.write_text("colour,price\nred,3\n")
    return path


def _no_workbook(folder: Path) -> Path:
    path = folder / "t.xlsx"
    path.write_bytes(b"\xd0\xcf\x11\xe0 an old or protected workbook" * 100)
    return path


def _entities(folder: Path) -> Path:
    types = '<!DOCTYPE w [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'
    bomb = f'<?xml version="1.0"?><!-- c -->{types}<worksheet>&b;</worksheet>'
    return _altered(folder, lambda name, data: bomb.encode("utf-16") if name == "xl/worksheets/sheet1.xml" else data)


def _deep_json(folder: Path) -> Path:
    path = folder / "t.json"
    path.write_text('[{"foodNutrients":' + "[" * 200_000)
    return path


def _cut_off_json(folder: Path) -> Path:
    path = folder / "t.json"
    path.write_text(json.dumps([{"fdcId": k, "foodNutrients": []} for k in range(9)])[:-30])
    return path


def _altered(folder: Path, change: Callable[[str, bytes], bytes], more: dict[str, bytes] | None = None) -> Path:
    """A workbook of the wide table with some part changed."""
    book, plain = openpyxl.Workbook(), io.BytesIO()
    for row in ("food", "protein (g)", "fat (g)"), ("oats", 13.5, 7), ("figs", 3.3, 0.9):
        book.active.append(row)
    book.save(plain)
    with zipfile.ZipFile(plain) as archive:
        parts = {name: change(name, archive.read(name)) for name in archive.namelist()}
    return _zip(folder / "t.xlsx", parts | (more or {}))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (_bomb, "times its size"),
        (_escape, "outside itself"),
        (_many, "no table is that large"),
        (_cut_off, "layout of this table is not known|no text file"),
        (_damaged_gz, "cannot be read"),
        (_overwritten_gz, "cannot be read"),
        (lambda folder: _overwritten(_zip(folder / "t.zip", {"t.csv": _many_foods()})), "cannot be read"),
        (_overwritten_workbook, "no XLSX workbook"),
        (_long_line, "line is longer"),
        (_open_quote, "cannot be told apart"),
        (_binary, "no text file"),
        (_nothing_known, "layout of this table is not known"),
        (_empty, "nothing in it"),
        (_no_workbook, "no XLSX workbook"),
        (_entities, "document type"),
        (_deep_json, "nested too deeply"),
        (_cut_off_json, "JSON cannot be read"),
        (lambda folder: folder / "nowhere.csv", "no such file"),
    ],
)
def test_each_is_refused_in_words_with_a_way_on(tmp_path: Path, make: Callable[[Path], Path], words: str) -> None:
    with pytest.raises(ImportFailure, match=words) as refused:
        read_all(make(tmp_path))
    assert refused.value.hint
    assert refused.value.where


def test_a_line_of_any_length_costs_no_more_than_its_bound(tmp_path: Path) -> None:
    import tracemalloc

    path = _long_line(tmp_path)
    tracemalloc.start()
    with pytest.raises(ImportFailure):
        detect(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 20 * text_rows.LONGEST_LINE


def test_formulas_macros_links_and_merged_cells_are_said_and_not_followed(tmp_path: Path) -> None:
    def change(name: str, data: bytes) -> bytes:
        if name != "xl/worksheets/sheet1.xml":
            return data
        data = data.replace(b'<c r="B2" t="n"><v>13.5</v></c>', b'<c r="B2"><f>6.5+7</f><v>13.5</v></c>')
        data = data.replace(b'<c r="C2" t="n"><v>7</v></c>', b'<c r="C2"><f>WEBSERVICE("http://x")</f></c>')
        return data.replace(b"</sheetData>", b'</sheetData><mergeCells count="1"><mergeCell ref="A5:B6"/></mergeCells>')

    more = {"xl/vbaProject.bin": b"no program", "xl/externalLinks/externalLink1.xml": b"<externalLink/>"}
    foods, tally = read_all(_altered(tmp_path, change, more))
    assert foods["oats"].values["PROCNT"].value == 13.5
    assert "FAT" not in foods["oats"].values
    assert foods["figs"].values["FAT"].value == 0.9
    for kind in (findings.NO_STORED_RESULT, findings.FORMULAS, findings.MACROS, findings.LINKS, findings.MERGED):
        assert tally.count(kind) == 1, kind.code


def test_a_workbook_that_lies_about_its_size_is_read_as_far_as_it_goes(tmp_path: Path) -> None:
    def change(name: str, data: bytes) -> bytes:
        return data.replace(b'<dimension ref="A1:C3"', b'<dimension ref="A1:XFD1048576"')

    foods, _tally = read_all(_altered(tmp_path, change))
    assert set(foods) == {"oats", "figs"}


def test_duplicate_codes_and_names_without_code_are_told_apart(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text("code,food,protein,fat\n1,oats,13,7\n1,figs,3,1\n2,,5,5\n,rice,7,1\n")
    foods, tally = read_all(path)
    assert set(foods) == {"1", "rice"}
    assert tally.count(findings.SAME_CODE) == tally.count(findings.NO_NAME) == 1


def test_a_folder_of_nothing_and_a_wrong_layout(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "empty", {})
    with pytest.raises(ImportFailure, match="no table here"):
        detect(folder)
    path = tmp_path / "t.csv"
    path.write_text(WIDE)
    with pytest.raises(ImportFailure, match="not laid out so"):
        detect(path, "long")


def test_a_folder_of_many_tables_is_not_searched_and_a_file_beside_the_table_is_no_matter(tmp_path: Path) -> None:
    many = write_files(tmp_path / "many", {f"{k}.csv": WIDE for k in range(30)})
    with pytest.raises(ImportFailure, match="30 tables"):
        detect(many)
    beside = write_files(tmp_path / "beside", {"table.csv": WIDE, "package.json": '{"name": "x"}', "LICENSE": "free"})
    assert set(read_all(beside)[0]) == {"oats", "figs"}


def test_columns_of_a_known_layout_cannot_be_renamed(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "fdc", FDC)
    with pytest.raises(ImportFailure, match="cannot be chosen"):
        make_plan(folder, detect(folder), mapping={"x": "FAT"})
