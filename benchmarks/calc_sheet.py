"""The daily balance as a spreadsheet, worked out by LibreOffice Calc without a window.

The workbook holds a row a day and the account in formulas, as an owner would write it. It is turned
into csv twice: with every formula worked out anew, and with none. The difference is the account
alone: start-up, reading the file and writing the csv are in both.
"""

import csv
import resource
import shutil
import statistics
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import xlsxwriter

TIMES = 3
FIRST_ROW = 3
ALWAYS, NEVER = 0, 1
SETTING = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode"
 oor:op="fuse"><value>{}</value></prop></item>
</oor:items>
"""
# depth, want, filled, held, spilled, given, evening, short, run
COLUMNS = {
    "C": "={evening}+A{row}*$A$1",
    "D": "=MIN(C{row},$B$1)",
    "E": "=C{row}-D{row}",
    "F": "=MIN(MAX(MIN({evening},D{row})-$C$1,0),B{row})",
    "G": "=D{row}-F{row}",
    "H": "=IF(B{row}-F{row}>0.000000001*B{row},1,0)",
    "I": "=({run}+1)*H{row}",
}


def office():
    """The path of the office, or None where it is not installed."""
    return shutil.which("soffice")


def write_book(a, path):
    """The first lane of a one-store arrangement as a workbook; sums in its second row."""
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("days")
    fixed = (a.area_m2[0, 0], a.capacity_l[0, 0], a.reserve_l[0, 0, 0], a.start_l[0, 0])
    sheet.write_row("A1", [float(value) for value in fixed])
    last = FIRST_ROW + a.runoff_mm.shape[0] - 1
    sums = (f"=G{last}", *(f"=SUM({c}{FIRST_ROW}:{c}{last})" for c in "EFH"))
    for column, formula in zip("ABCD", sums, strict=True):
        sheet.write_formula(f"{column}2", formula)
    sheet.write_formula("E2", f"=MAX(I{FIRST_ROW}:I{last})")
    pairs = zip(a.runoff_mm[:, 0], a.demand_l[:, 0] * a.scale[0, 0], strict=True)
    for row, (depth, want) in enumerate(pairs, FIRST_ROW):
        before = row > FIRST_ROW
        named = {"evening": f"G{row - 1}" if before else "$D$1", "run": f"I{row - 1}"}
        named["run"] = named["run"] if before else "0"
        sheet.write_row(row - 1, 0, (float(depth), float(want)))
        for column, formula in COLUMNS.items():
            sheet.write_formula(f"{column}{row}", formula.format(row=row, **named))
    book.close()


def measured(a):
    """Level, spilled, supplied, short days, longest run; seconds of the account alone."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        write_book(a, home / "days.xlsx")
        spent = {mode: [] for mode in (ALWAYS, NEVER)}
        _converted(home, ALWAYS)  # the first start writes the office's own folder
        for _ in range(TIMES):
            for mode in (NEVER, ALWAYS):
                spent[mode].append(_converted(home, mode))
        with (home / "days.csv").open(encoding="utf-8") as table:
            sums = list(csv.reader(table))[1][:5]
    seconds = statistics.median(spent[ALWAYS]) - statistics.median(spent[NEVER])
    return np.array([[float(cell)] for cell in sums]), seconds


def _converted(home, mode):
    """Seconds of the processor to turn the workbook into csv with this way of working out."""
    profile = home / "office"
    (profile / "user").mkdir(parents=True, exist_ok=True)
    setting = profile / "user" / "registrymodifications.xcu"
    setting.write_text(SETTING.format(mode))
    asked = [office(), f"-env:UserInstallation={profile.as_uri()}", "--headless"]
    # quoted as shown would round: 76 asks for UTF-8, the last mark for cells as they are
    asked += ["--convert-to", "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false"]
    asked += ["--outdir", str(home), str(home / "days.xlsx")]
    before = _busy_s()
    subprocess.run(asked, check=True, capture_output=True, timeout=600)
    return _busy_s() - before


def _busy_s():
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime
