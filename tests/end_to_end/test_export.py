"""An exported sheet as another program shows it: LibreOffice opens a demo and writes every sheet as it is displayed."""

import csv
import subprocess
import sys
from pathlib import Path

DEMO = Path(__file__).resolve().parents[2] / "demo_projects" / "maize_squares.fare"
# Separator 44, quote 34, UTF-8 76, "as displayed" true, all sheets -1: LibreOffice help, "Filter Options for CSV".
EVERY_SHEET = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,true,false,false,-1"


def test_libreoffice_shows_the_demo_as_it_is_meant(tmp_path: Path, soffice: str) -> None:
    book = tmp_path / "squares.xlsx"
    subprocess.run([sys.executable, "-m", "workbench", "export", DEMO, "-o", book], check=True, timeout=60)
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    subprocess.run(
        [soffice, profile, "--headless", "--convert-to", EVERY_SHEET, "--outdir", tmp_path, book],
        check=True,
        capture_output=True,
        timeout=120,
    )
    sheets = {path.stem.removeprefix("squares-"): path for path in tmp_path.glob("squares-*.csv")}
    variants = ("Original", "Plant-based", "Race", "Long ride")
    groups = {f"{name}{ending}" for name in variants for ending in ("", " calculation", " composition")}
    assert set(sheets) == {"comparison", *groups}
    rows = list(csv.reader(sheets["Long ride"].read_text("utf-8").splitlines()))
    # Canned coconut milk has no fibre in USDA SR26 (12118): the carbohydrate is a most, the fibre a least.
    carbohydrate = next(row for row in rows if row[0] == "carbohydrate (without fibre)")
    assert carbohydrate[4] == "≤"
    assert carbohydrate[7] == "25.0"
    fibre = next(row for row in rows if row[0] == "fibre")
    assert fibre[4] == "≥"
    assert "coconut milk, canned" in fibre[10]
    every = [
        cell for path in sheets.values() for row in csv.reader(path.read_text("utf-8").splitlines()) for cell in row
    ]
    assert not [cell for cell in every if cell.startswith(("#", "Err:"))]
