"""Whatever is on the clipboard: it is read as rows or left alone, and never raises."""

from hypothesis import given
from hypothesis import strategies as st

from workbench.composition.bundled import bundled_foods
from workbench.composition.pasting import KnownNames, read_rows

NAMES = KnownNames(bundled_foods(), {})
cells = st.text(max_size=20) | st.sampled_from(["honey", "300 g", "1,500", "½ cup", "grams", '"', "=1+1", "-3", "kg"])
texts = st.text() | st.lists(st.lists(cells, max_size=4).map("\t".join), max_size=6).map("\n".join)


@given(texts)
def test_any_text_can_be_pasted(text: str) -> None:
    for row in read_rows(text):
        read = NAMES.read(row, "metric")
        assert read.problem or (read.key is not None and read.parsed is not None)
        if read.parsed is not None:
            assert 0 <= read.parsed.grams <= 1_000_000
