"""One cell of a foreign table."""

import pytest

from workbench.composition.imports.cells import decimal_comma, read_cell


@pytest.mark.parametrize(
    ("text", "comma", "state", "amount"),
    [
        ("12.5", None, "figure", 12.5),
        ("12,5", None, "figure", 12.5),
        ("0", None, "figure", 0.0),
        ("1.234,5", None, "figure", 1234.5),
        ("1,234.5", None, "figure", 1234.5),
        ("1 523", None, "figure", 1523.0),
        ("1,234", None, "ambiguous", 0.0),  # thousands in one country, a decimal comma in another
        ("1,234", True, "figure", 1.234),
        ("1,234", False, "figure", 1234.0),
        ("1.234", True, "figure", 1234.0),
        ("0,234", None, "figure", 0.234),
        ("<0.1", None, "limit", 0.1),
        ("< 0,5", None, "limit", 0.5),
        ("less than 2", None, "limit", 2.0),
        ("tr", None, "trace", 0.0),
        ("Spuren", None, "trace", 0.0),
        ("trazas", None, "trace", 0.0),
        ("(0.3)", None, "estimate", 0.3),
        ("[1,5]", None, "estimate", 1.5),
        ("(tr)", None, "trace", 0.0),
        ("ca. 12", None, "estimate", 12.0),
        ("", None, "blank", 0.0),
        ("-", None, "blank", 0.0),
        ("N", None, "blank", 0.0),
        ("n.d.", None, "blank", 0.0),
        ("k. A.", None, "blank", 0.0),
        ("12-14", None, "unreadable", 0.0),
        ("#DIV/0!", None, "unreadable", 0.0),
        ("-3", None, "unreadable", 0.0),
        ("1.2.3", None, "unreadable", 0.0),
        ("inf", None, "unreadable", 0.0),
        ("9" * 5000, None, "unreadable", 0.0),
    ],
)
def test_a_cell_says_a_figure_a_limit_or_nothing_and_never_zero_for_either(
    text: str, comma: bool | None, state: str, amount: float
) -> None:
    cell = read_cell(text, comma)
    assert (cell.state, cell.amount) == (state, amount)


def test_unit_and_spread_printed_in_the_cell() -> None:
    cell = read_cell("7,16 ± 0,63 g", True)
    assert (cell.amount, cell.sd, cell.unit) == (7.16, 0.63, "g")


def test_the_decimal_sign_is_told_by_cells_that_leave_no_choice() -> None:
    assert decimal_comma(["12,5", "1.234", "<0,1", "name, of"]) is True
    assert decimal_comma(["12.5", "1,234"]) is False
    assert decimal_comma(["1,234", "12", "maize"]) is None
