"""Broken project files: every problem named with its place and its mend, and nothing half-read."""

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
import pytest

from workbench.storage import plain as plain_module
from workbench.storage import structure
from workbench.storage.findings import MAX_LISTED, ProjectFileError
from workbench.storage.project_file import Loaded, decode_project, load_project

Plain = dict[str, Any]


def sound() -> Plain:
    """A small sound project as plain data."""
    line = {"id": "l1", "stage_id": "mix", "food_ref": {"kind": "own", "id": "meal"}, "amount_g": 300}
    variants = [
        {"id": "r", "name": "Race", "stages": [{"id": "mix"}], "lines": [line]},
        {"id": "o", "name": "Original", "stages": [{"id": "mix"}]},
    ]
    foods = {"meal": {"id": "meal", "name": "maize meal", "values": {"FAT": {"value": 1.8}}}}
    return {
        "format": "pocketfare-project",
        "schema_version": 1,
        "id": "p",
        "title": "squares",
        "foods": foods,
        "variants": variants,
    }


def decode(project: object) -> Loaded:
    return decode_project(json.dumps(project).encode(), name="race.fare")


def refused(data: bytes | Plain) -> ProjectFileError:
    with pytest.raises(ProjectFileError) as caught:
        decode_project(data if isinstance(data, bytes) else json.dumps(data).encode(), name="race.fare")
    assert caught.value.where == "race.fare"
    return caught.value


def only_sentence(project: Plain) -> str:
    error = refused(project)
    assert len(error.problems) == 1, error.lines()
    assert error.summary == "1 thing must be mended before this project opens."
    return error.problems[0].sentence()


# --- before the data mean anything ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "The file is empty."),
        (b" \n\0\0", "The file is empty."),
        (b"\xef\xbb\xbf", "The file is empty."),
        (b'{\n"format": \xff}', "Line 2 is not UTF-8 text."),
        ("{}".encode("utf-16"), "Line 1 is not UTF-8 text."),
        (b"%PDF-1.7\n", "This is not a project file: line 1, column 1 is not JSON."),
        (b'{\n "a": 1,\n "b" 2}', "Line 3, column 6 is not valid JSON"),
        (b'{"a": 1,', "The file breaks off in line 1, column 8."),
        (b'{"a": "ma', "The file breaks off in line 1, column 9."),
        (b'{"a": tru', "The file breaks off in line 1, column 9."),
        (b'{"a": 12.', "The file breaks off in line 1, column 9."),
        (b"[" * 100_000, "nested more than 50 levels deep"),
        (b"[1, 2]", "This is JSON, but not a project of this program."),
        (b'"text"', "This is JSON, but not a project of this program."),
        (b"{}", "This is JSON, but not a project of this program."),
        (b'{"format": "something-else"}', "This is JSON, but not a project of this program."),
    ],
)
def test_what_is_no_project(data: bytes, words: str) -> None:
    error = refused(data)
    assert words in error.summary
    assert error.hint


def test_a_byte_order_mark_is_no_harm() -> None:
    assert decode_project(b"\xef\xbb\xbf" + json.dumps(sound()).encode()).problems == ()


def test_absurd_size_is_refused_before_reading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert plain_module.MAX_BYTES == 32 * 1024 * 1024
    path = tmp_path / "huge.fare"
    with path.open("wb") as stream:
        stream.truncate(2 * 1024**3)  # takes no room on disk
    with pytest.raises(ProjectFileError, match="larger than 32 MiB"):
        load_project(path)


@pytest.mark.parametrize(
    ("version", "words"),
    [
        (2, "The file has version 2 of the project format; this program reads up to 1."),
        (0, "Version 0 of the project format is not known."),
        ("1", "does not say which version"),
        (True, "does not say which version"),
        (None, "does not say which version"),
    ],
)
def test_a_version_that_cannot_be_read_is_refused_with_a_hint(version: object, words: str) -> None:
    error = refused({**sound(), "schema_version": version})
    assert words in error.summary
    assert error.hint


def test_missing_folder_and_special_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.mkfifo(tmp_path / "pipe")
    for name, words in (("gone.fare", "There is no such file."), (".", "This is not a file."), ("pipe", "This is not")):
        with pytest.raises(ProjectFileError) as caught:
            load_project(tmp_path / name)
        assert words in caught.value.summary
        assert str(tmp_path) in caught.value.where
    with pytest.raises(ProjectFileError, match="cannot be read"):
        load_project("null\0byte.fare")
    path = tmp_path / "race.fare"
    path.write_bytes(b"{}")

    def fail(*_args: object, **_more: object) -> None:
        raise PermissionError(13, "no")

    monkeypatch.setattr(Path, "open", fail)  # as for anyone but the super-user
    with pytest.raises(ProjectFileError, match="may not be read"):
        load_project(path)


# --- raw data ---------------------------------------------------------------------------------------------------------


def test_keys_that_stand_twice_are_named_with_their_place() -> None:
    text = json.dumps(sound()).replace('"amount_g": 300', '"amount_g": 300, "amount_g": 3, "note": "", "note": ""')
    error = refused(text.encode())
    assert [problem.sentence() for problem in error.problems] == [
        f"variant “Race”, ingredient line “maize meal”: the key “{key}” stands here twice. Keep one of them."
        for key in ("amount_g", "note")
    ]


@pytest.mark.parametrize("figure", ["NaN", "Infinity", "-Infinity", "1e999", "9" * 400])
def test_numbers_that_are_none(figure: str) -> None:
    text = json.dumps(sound()).replace('"amount_g": 300', f'"amount_g": {figure}')
    error = refused(text.encode())
    assert len(error.problems) == 1
    assert error.problems[0].sentence().startswith("variant “Race”, ingredient line “maize meal”: amount_g is ")
    assert error.problems[0].code == "not_finite"


def test_half_characters_and_absurd_nesting() -> None:
    project = sound()
    project["title"] = "\ud800"
    project["\udfff"] = 1
    deep: list[Any] = []
    for _level in range(80):
        deep = [deep]
    project["later"] = deep
    codes = [problem.code for problem in refused(project).problems if problem.severity == "error"]
    assert codes == ["broken_text", "broken_text", "too_deep"]


# --- everything that does not fit, at once ----------------------------------------------------------------------------


def test_every_problem_is_listed_with_place_and_mend() -> None:
    project = sound()
    del project["title"]
    project["measures"] = "metrical"
    project["trials"] = {}
    project["foods"]["meal"]["values"]["FAT"]["value"] = "1,8"
    race = project["variants"][0]
    race["lines"][0] |= {"amount_g": -3, "lock": 1, "food_ref": {"kind": "own", "id": "meal"}, "step_g": 0}
    race["lines"].append(5)
    race["stages"] += [
        {"id": "boil", "name": "boil", "weight": {"how": "weighd"}, "losses": [{"kind": "drained", "percent": 101}]},
        {"id": "bake", "weight": {}},
        {"id": "rest", "weight": {"how": "final_water", "percent": 100}},
        {"id": "cool", "weight": 7},
    ]
    race["portioning"] = {"by": "count", "count": 2.5}
    race["pace_per_hour"] = 101
    project["variants"] += [{"stages": None, "purpose": 3}, 7]
    error = refused(project)
    sentences = [problem.sentence() for problem in error.problems]
    assert sentences == [
        "title is missing. Add it: text in double quotes.",
        "measures is “metrical”, which is not known. Did you mean “metric”?",
        "ingredient “maize meal”: values.FAT.value must be a number, not “1,8”. "
        "Write it without quotes and with a decimal point, such as 12.5.",
        "variant “Race”, ingredient line “maize meal”: amount_g must be at least 0, not -3.",
        "variant “Race”, ingredient line “maize meal”: lock must be true or false, not 1. Correct it in the file.",
        "variant “Race”, ingredient line “maize meal”: step_g must be more than 0, not 0.",
        "variant “Race”: lines[no. 2] must be an object in curly brackets, not 5. Correct it in the file.",
        "variant “Race”, stage “boil”: weight.how is “weighd”, which is not known. Did you mean “weighed”?",
        "variant “Race”, stage “boil”: losses[no. 1].percent must be less than 100, not 101.",
        "variant “Race”, stage “bake”: weight.how is missing. "
        "Add it: “weighed”, “water_lost”, “final_water”, “typical”, “none”.",
        "variant “Race”, stage “rest”: weight.percent must be less than 100, not 100.",
        "variant “Race”, stage “cool”: weight must be an object in curly brackets, not 7. Correct it in the file.",
        "variant “Race”: portioning.count must be a whole number, not 2.5. Correct it in the file.",
        "variant “Race”: pace_per_hour must be at most 100, not 101.",
        "variant “no. 3”: id is missing. Add it: text in double quotes.",
        "variant “no. 3”: name is missing. Add it: text in double quotes.",
        "variant “no. 3”: purpose is 3, which is not known. Use one of: "
        "“”, “long_ride”, “original”, “plant_based”, “race”.",
        "variant “no. 3”: stages must be a list in square brackets, not null. Correct it in the file.",
        "variants[no. 4] must be an object in curly brackets, not 7. Correct it in the file.",
        "trials must be a list in square brackets, not an object. Correct it in the file.",
    ]
    assert error.summary == f"{len(sentences)} things must be mended before this project opens."


def test_a_missing_choice_and_a_line_of_nothing() -> None:
    project = sound()
    project["variants"][0]["lines"][0]["food_ref"] = {"id": []}
    sentences = [problem.sentence() for problem in refused(project).problems]
    assert sentences == [
        "variant “Race”, ingredient line “l1”: food_ref.kind is missing. "
        "Add it: “bundled”, “library”, “own”, “variant”.",
        "variant “Race”, ingredient line “l1”: food_ref.id must be text in double quotes, not a list. "
        "Correct it in the file.",
    ]


def test_very_many_problems_are_counted() -> None:
    project = sound()
    project["variants"][0]["lines"] = [dict(sound()["variants"][0]["lines"][0], amount_g=-1) for _k in range(350)]
    error = refused(project)
    assert error.summary == "350 things must be mended before this project opens."
    assert len(error.problems) == MAX_LISTED + 1
    assert error.problems[-1].message == "and 150 more of this sort."


def test_what_only_msgspec_refuses_is_still_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    def convert(*_args: object, **_more: object) -> None:
        raise msgspec.ValidationError("reason from below")

    monkeypatch.setattr(msgspec, "convert", convert)
    assert only_sentence(sound()) == "the data do not fit: reason from below. Correct it in the file."


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda p: p["variants"][0].update(lines=[{}] * 401), "variant “Race”: lines has 401 entries; the limit is 4"),
        (lambda p: p.update(variants=[{}] * 201), "variants has 201 entries; the limit is 200."),
        (lambda p: p.update(foods={str(k): {} for k in range(5001)}), "foods has 5001 entries; the limit is 5000."),
    ],
)
def test_more_than_a_project_may_hold_is_refused(change: Callable[[Plain], None], words: str) -> None:
    assert (structure.MAX_LINES, structure.MAX_VARIANTS, structure.MAX_FOODS) == (400, 200, 5000)
    project = sound()
    change(project)
    assert only_sentence(project).startswith(words)


# --- keys of a later version ------------------------------------------------------------------------------------------


def test_an_unknown_key_is_kept_and_the_nearest_known_one_named() -> None:
    project = sound()
    project["variants"][0]["lines"][0]["max_gr"] = 3
    project["colour_of_wrapper"] = "blue"
    loaded = decode(project)
    assert [problem.sentence() for problem in loaded.problems] == [
        "“colour_of_wrapper” is not known to this version; it is kept as it is. Check its spelling.",
        "variant “Race”, ingredient line “maize meal”: “max_gr” is not known to this version; it is kept as it is. "
        "Did you mean “max_g”?",
    ]
    assert {problem.severity for problem in loaded.problems} == {"warning"}
    assert loaded.extras == {(): {"colour_of_wrapper": "blue"}, ("variants", "r", "lines", "l1"): {"max_gr": 3}}


def test_a_mistyped_key_is_named_beside_the_missing_one() -> None:
    project = sound()
    line = project["variants"][0]["lines"][0]
    line["ammount_g"] = line.pop("amount_g")
    sentences = [problem.sentence() for problem in refused(project).problems]
    assert "amount_g is missing" in sentences[0]
    assert "Did you mean “amount_g”?" in sentences[1]
