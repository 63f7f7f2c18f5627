"""Bag analyses: a learner's own oxide analyses from a CSV file, one row a bag; the package writes the empty form."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

from glazekit.ground.errors import AnalysisError, FileError, NumberError, name_key, unknown_name
from glazekit.ground.numbers import decimal_comma_in, parse_number
from glazekit.ground.textfile import guarded, read_text_file, rows_of, unguarded
from glazekit.materials.material import SUM_LIMITS_WT_PCT, Material
from glazekit.materials.oxides import OXIDE_ORDER

FACTS = ("material", "lot", "date", "LOI")
"""Columns of the form besides the oxides; material is required, lot, date and LOI may stay empty (LOI then counts as 0)."""

FORM_OXIDES = ("SiO2", "Al2O3", "B2O3", "Fe2O3", "TiO2", "CaO", "MgO", "Na2O", "K2O", "Li2O", "ZnO", "P2O5")
"""Oxide columns of the empty form; any other oxide we know may be added as a column."""

_TYPED = re.compile(r"\s*(?P<oxide>[^\d\W]\w*|loss on ignition)\s*[:=\t ]\s*(?P<share>-?[\d.,]+)\s*%?\s*", re.IGNORECASE)


def bag_form() -> str:
    """The empty form as CSV text: a header and no rows.

    >>> bag_form().split(",")[:4]
    ['material', 'lot', 'date', 'SiO2']
    """
    return ",".join((*FACTS[:3], *FORM_OXIDES, "LOI")) + "\n"


def write_bag_form(path: str | Path) -> Path:
    """Write the empty form for bag analyses; an existing file is never overwritten (FileError)."""
    path = Path(path)
    try:
        with path.open("x", encoding="utf-8", newline="") as stream:
            stream.write(bag_form())
    except FileExistsError:
        raise FileError(f"{path.name} is there already; choose another name, nothing was written") from None
    except OSError as problem:
        raise FileError(f"{path.name} cannot be written: {problem.strerror}") from None
    return path


def read_bag_analyses(path: str | Path) -> tuple[Material, ...]:
    """Read bags from a CSV file: one row a bag, one column an oxide [wt % of the raw material], LOI in a column of its own.

    Comma, semicolon or tab separated; with semicolons or tabs decimal commas are fine.

    Returns materials of kind "bag", to be put on a shelf with ``Stock.with_materials``.
    Raises FileError for a file that is no table, AnalysisError for an unknown oxide, a negative number, a bag entered twice,
    a number with a wrong decimal sign or a total far from 100; each names line and column.
    """
    return bags_from_text(read_text_file(path), Path(path).name)


def bags_from_text(text: str, name: str = "the pasted lines") -> tuple[Material, ...]:
    """Read bags from the text of such a file.

    Parameters
    ----------
    text : a line that names the columns, and a line for each bag.
    name : what sentences call the text.

    >>> bags_from_text("material,SiO2,Al2O3,LOI\\nmy clay,48,38,14")[0].oxide_wt_pct["SiO2"]
    48.0

    Raises as ``read_bag_analyses``.
    """
    separator, rows = rows_of(text, name, tuple(column.casefold() for column in (*FACTS, *OXIDE_ORDER)))
    header_line, header = rows[0]
    columns = [_column(cell, f"{name}, line {header_line}") for cell in header]
    for column in columns:
        if columns.count(column) > 1:
            raise AnalysisError(f"{name}, line {header_line}: the column {column} is there twice")
    if "material" not in columns:
        raise AnalysisError(f"{name}, line {header_line}: no column 'material'; the first line names the columns")
    if len(rows) == 1:
        raise AnalysisError(f"{name} holds the form but no bag below it")

    numbers = [cell for _, cells in rows[1:] for column, cell in zip(columns, cells, strict=False) if column not in FACTS[:3]]
    decimal_comma = decimal_comma_in(cell for cell in numbers if cell)
    bags: dict[tuple[str, str], Material] = {}
    for line, cells in rows[1:]:
        where = f"{name}, line {line}"
        if len(cells) != len(columns):
            advice = "; a decimal comma needs semicolons between the columns" if separator == "," else ""
            raise AnalysisError(f"{where}: {len(cells)} cells under {len(columns)} columns{advice}")
        row = dict(zip(columns, cells, strict=True))
        bag = _bag(where, row | {fact: unguarded(row[fact]) for fact in FACTS[:3] if fact in row}, decimal_comma)
        key = (name_key(bag.name), name_key(bag.lot))
        if key in bags:
            lot = f"lot {bag.lot}" if bag.lot else "no lot"
            raise AnalysisError(f"{where}: {bag.name} with {lot} is there twice; give each bag its own lot")
        bags[key] = bag
    return tuple(bags.values())


def bag_from_text(material: str, text: str, lot: str = "") -> Material:
    """One bag as it is typed off its paper: an oxide and its share a line, LOI among them [wt % of the raw material].

    >>> bag_from_text("whiting", "CaO 55,4 %\\nMgO: 0,3\\nLOI 44").oxide_wt_pct["CaO"]
    55.4

    Parameters: ``material`` the name the stock knows it by, ``text`` the lines, ``lot`` of the bag.
    Raises AnalysisError for a line that is not an oxide and a number, an oxide given twice, and as ``read_bag_analyses``.
    """
    row = {"material": material, "lot": lot}
    for number, line in enumerate(re.split(r"[\n;]", text), 1):
        if not line.strip():
            continue
        where = f"line {number} of the analysis"
        parts = _TYPED.fullmatch(line)
        if not parts:
            raise AnalysisError(f"{where}: '{line.strip()}' is not an oxide and a number, such as 'SiO2 64.8'")
        column = _column(parts["oxide"], where)
        if column in FACTS[:3]:
            raise AnalysisError(f"{where}: only oxides and LOI belong here, not '{column}'")
        if column in row:
            raise AnalysisError(f"{where}: {column} is there twice")
        row[column] = parts["share"]
    figures = [share for column, share in row.items() if column not in FACTS[:3]]
    return _bag("the analysis", row, decimal_comma_in(figures))


def bags_csv_text(bags: tuple[Material, ...]) -> str:
    """Bags as CSV text that ``read_bag_analyses`` reads back; what a spreadsheet would run gets an apostrophe, as in recipes."""
    oxides = [oxide for oxide in OXIDE_ORDER if oxide in FORM_OXIDES or any(oxide in bag.oxide_wt_pct for bag in bags)]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("material", "lot", "date", *oxides, "LOI"))
    for bag in bags:
        shares = [repr(bag.oxide_wt_pct[oxide]) if oxide in bag.oxide_wt_pct else "" for oxide in oxides]
        texts = map(guarded, (bag.name, bag.lot, bag.analysed_on))
        writer.writerow((*texts, *shares, repr(bag.loi_wt_pct_raw)))
    return out.getvalue()


def _column(cell: str, where: str) -> str:
    known = {name_key(column): column for column in (*FACTS, *OXIDE_ORDER)} | {"loss on ignition": "LOI"}
    wanted = name_key(cell.removesuffix("%"))
    if wanted not in known:
        raise unknown_name(AnalysisError, "oxide or column", cell, (*FACTS, *OXIDE_ORDER), where=f"{where}: ")
    return known[wanted]


def _bag(where: str, row: dict[str, str], decimal_comma: bool | None) -> Material:
    if not row["material"]:
        raise AnalysisError(f"{where}: the bag has no material name")
    shares = {}
    for column, cell in row.items():
        if column in FACTS[:3] or not cell:
            continue
        try:
            shares[column] = parse_number(cell, f"{column} of {row['material']}", decimal_comma)
        except NumberError as problem:
            raise AnalysisError(f"{where}, {column}: {problem}") from None
        if column != "LOI" and shares[column] < 0:
            raise AnalysisError(f"{where}, {column}: {cell} is negative; weight percents are 0 or more")
    if not shares:
        raise AnalysisError(f"{where}: {row['material']} has no numbers")
    biggest = max(shares, key=lambda column: shares[column])
    if shares[biggest] > SUM_LIMITS_WT_PCT[1]:
        raise AnalysisError(f"{where}, {biggest}: {row[biggest]} is more than 100 %; is the decimal sign misplaced?")
    loi = shares.pop("LOI", 0.0)
    try:
        return Material(
            row["material"],
            "bag",
            oxides=tuple((oxide, shares[oxide]) for oxide in OXIDE_ORDER if oxide in shares),
            loi_wt_pct_raw=loi,
            source="bag",
            status="seen",
            lot=row.get("lot", ""),
            analysed_on=row.get("date", ""),
        )
    except AnalysisError as problem:
        raise AnalysisError(f"{where}: {problem}") from None
