"""Names of inputs and main results, so that they can be found and used by name."""

from typing import Any

from workbench.document.project import ByCount
from workbench.report.spreadsheet.calculation import Sheet
from workbench.report.spreadsheet.formula import cell, on, span

_RESULTS = {
    "CHOAVLDF": "carbohydrate_g",
    "FAT": "fat_g",
    "FIBTG": "fibre_g",
    "PROCNT": "protein_g",
    "energy_kcal": "energy_kcal",
    "energy_kj": "energy_kj",
    "salt": "salt_g",
}


def name_cells(workbook: Any, sheet: Sheet, rows: dict[str, int]) -> None:
    """Name inputs and main results; every name belongs to the spec sheet of its variant."""
    given = sheet.inputs
    found = {
        "amounts_g": span(given.amounts),
        "piece_count" if isinstance(sheet.evaluation.variant.portioning, ByCount) else "piece_weight_g": given.entered,
        "trimmings_percent": given.trimmings,
        "pieces_per_hour": given.pace,
    }
    for k, addresses in enumerate(given.stages):
        names = ("weighed_in_g", "weighed_out_g") if len(addresses) == 2 else ("water",)
        found |= {f"stage_{k + 1}_{name}": address for name, address in zip(names, addresses, strict=False)}
    for key, name in _RESULTS.items():
        found[f"{name}_per_piece"] = cell(rows[key], 5)
        found[f"{name}_per_100g"] = cell(rows[key], 3)
    for name, address in found.items():
        workbook.define_name(f"{sheet.spec}!{name}", on(sheet.spec, address))
    to = sheet.places
    for name in ("raw_g", "finished_g"):
        workbook.define_name(f"{sheet.spec}!{name}", to.there(to.portion(name)))
