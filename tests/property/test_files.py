"""Saving and opening: nothing is lost, and no broken file gives anything but a message."""

import json
import re

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.property.strategies import projects
from workbench.document.project import Project
from workbench.storage.findings import ProjectFileError
from workbench.storage.project_file import decode_project, encode_project


@settings(max_examples=40, deadline=None)
@given(projects())
def test_what_was_saved_is_what_opens(project: Project) -> None:
    data = encode_project(project)
    loaded = decode_project(data)
    assert loaded.project == project
    assert loaded.problems == ()
    assert loaded.extras == {}
    assert encode_project(loaded.project) == data  # saving again changes no byte


_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=40, deadline=None)
@given(projects(), st.data())
def test_keys_of_a_later_version_survive(project: Project, data: st.DataObject) -> None:
    plain = json.loads(encode_project(project))
    variant = plain["variants"][-1]
    holders = [plain, plain["assumptions"], variant, variant["portioning"], *variant["lines"], *variant["stages"]]
    holders += [stage["weight"] for stage in variant["stages"]] + [line["food_ref"] for line in variant["lines"]]
    holders += [*plain["foods"].values(), *plain["trials"], *(one for s in variant["stages"] for one in s["losses"])]
    chosen = data.draw(st.lists(st.sampled_from(range(len(holders))), unique=True, min_size=1))
    for k in chosen:
        holders[k]["later_key"] = data.draw(_json)
    loaded = decode_project(json.dumps(plain).encode())
    assert loaded.project == project
    assert [problem.code for problem in loaded.problems] == ["unknown_key"] * len(chosen)
    assert json.loads(encode_project(loaded.project, loaded.extras)) == plain


def _problem(data: bytes) -> ProjectFileError | None:
    """The one error that a broken file may give; its words are complete."""
    try:
        decode_project(data, name="race.fare")
    except ProjectFileError as error:
        text = " ".join(error.lines())
        if not text.startswith("race.fare: ") or re.search(r"\{[a-z]+\}", text):
            raise AssertionError(text) from error  # no file named, or a placeholder not filled in
        return error
    return None


def test_a_file_cut_anywhere_gives_a_message(small_file: bytes) -> None:
    whole = small_file.rstrip()
    for end in range(1, len(whole)):
        error = _problem(whole[:end])
        assert error is not None, f"opened after {end} bytes"
        assert "breaks off" in error.summary or "UTF-8" in error.summary, (end, error.summary)


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_flipped_bytes_give_a_message(small_file: bytes, data: st.DataObject) -> None:
    broken = bytearray(small_file)
    for position in data.draw(st.lists(st.integers(0, len(broken) - 1), min_size=1, max_size=6)):
        broken[position] ^= data.draw(st.integers(1, 255))
    _problem(bytes(broken))


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_wrong_values_anywhere_give_a_message(small_file: bytes, data: st.DataObject) -> None:
    """Any value replaced by any other JSON: the walker must know everything that msgspec refuses."""
    plain = json.loads(small_file)
    for _change in range(data.draw(st.integers(1, 4))):
        holder, key = plain, None
        while isinstance(holder, dict | list) and holder:
            keys = list(holder) if isinstance(holder, dict) else range(len(holder))
            key = data.draw(st.sampled_from(keys))
            if not isinstance(holder[key], dict | list) or data.draw(st.integers(0, 3)) == 0:
                holder[key] = data.draw(_json)
                break
            holder = holder[key]
    error = _problem(json.dumps(plain).encode())
    assert error is None or "unreadable" not in [problem.code for problem in error.problems]
