"""Bag analyses: a learner's own oxide analyses from a CSV file, one row a bag; the package writes the empty form."""

import datetime
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from glazekit.ground.errors import AnalysisError, located, name_key, quoted
from glazekit.ground.numbers import parse_number
from glazekit.ground.textfile import read_text_file, write_once
from glazekit.ground.typed_table import csv_text, guarded, typed_table, unguarded
from glazekit.materials.material import SUM_LIMITS_WT_PCT, Material
from glazekit.materials.oxides import OXIDE_ORDER

FACTS = ("material", "lot", "date", "LOI")
"""Columns of the form besides the oxides; material is required, lot, date and LOI may stay empty (LOI then counts as 0)."""
FORM_OXIDES = ("SiO2", "Al2O3", "B2O3", "Fe2O3", "TiO2", "CaO", "MgO", "Na2O", "K2O", "Li2O", "ZnO", "P2O5")
"""Oxide columns of the empty form; any other oxide we know may be added as a column."""


def bag_form() -> str:
    """The empty form as CSV text: a header and no rows.

    >>> bag_form().split(",")[:4]
    ['material', 'lot', 'date', 'SiO2']
    """
    return bags_csv_text(())


def write_bag_form(path: str | Path) -> Path:
    """Write the empty form for bag analyses; an existing file is never overwritten (FileError)."""
    return write_once(path, bag_form())


def read_bag_analyses(path: str | Path) -> tuple[Material, ...]:
    """Read bags from a CSV file: one row a bag, one column an oxide [wt % of the raw material], LOI in a column of its own.

    Comma, semicolon or tab separated; with semicolons or tabs decimal commas are fine.

    Returns materials of kind "bag", to be put on a shelf with ``Stock.with_materials``.
    Raises FileError for a file that is no table, AnalysisError for an unknown oxide, a negative number, a bag entered twice,
    a number with a wrong decimal sign or a total far from 100; each names line and column.
    """
    return bags_from_text(read_text_file(path), Path(path).name)


def bags_from_text(text: str, name: str = "the pasted lines") -> tuple[Material, ...]:
    """Read bags from the text of such a file, which sentences call ``name``: a line of columns, then a line for each bag.

    >>> bags_from_text("material,SiO2,Al2O3,LOI\\nmy clay,48,38,14")[0].oxide_wt_pct["SiO2"]
    48.0

    Raises as ``read_bag_analyses``.
    """
    table = typed_table(text, name, (*FACTS, *OXIDE_ORDER), ("material",), AnalysisError, {"loss on ignition": "LOI"})
    decimal_comma = table.decimal_comma(("LOI", *OXIDE_ORDER))
    bags: dict[tuple[str, str], Material] = {}
    for where, row in table.rows:
        bag = _bag(where, row, decimal_comma)
        key = (name_key(bag.name), name_key(bag.lot))
        if key in bags:
            lot = f"lot {bag.lot}" if bag.lot else "no lot"
            raise AnalysisError(f"{where}: {bag.name} with {lot} is there twice; give each bag its own lot")
        bags[key] = bag
    return tuple(bags.values())


def bags_csv_text(bags: tuple[Material, ...]) -> str:
    """Bags as CSV text that ``read_bag_analyses`` reads back; what a spreadsheet would run gets an apostrophe, as in recipes."""
    more = [oxide for oxide in OXIDE_ORDER if oxide not in FORM_OXIDES and any(oxide in bag.oxide_wt_pct for bag in bags)]
    oxides = (*FORM_OXIDES, *more)
    rows = [("material", "lot", "date", *oxides, "LOI")]
    for bag in bags:
        percents = [repr(bag.oxide_wt_pct[oxide]) if oxide in bag.oxide_wt_pct else "" for oxide in oxides]
        rows.append((*map(guarded, (bag.name, bag.lot, bag.analysed_on)), *percents, repr(bag.loi_wt_pct_raw)))
    return csv_text(rows)


def date_of(text: str) -> str:
    """A bag's date as typed, or nothing; AnalysisError for one that cannot be put in order with others.

    >>> date_of(" 2026-03-01 ")
    '2026-03-01'
    """
    with suppress(ValueError):
        if not text.strip() or datetime.date.fromisoformat(text.strip()).isoformat() == text.strip():
            return text.strip()
    raise AnalysisError(f"the date {quoted(text)} cannot be put in order with others; write it like 2026-03-01")


def _bag(where: str, row: Mapping[str, str], decimal_comma: bool | None) -> Material:
    name, lot, date = (unguarded(row.get(fact, "")) for fact in FACTS[:3])
    if not name:
        raise AnalysisError(f"{where}: the bag has no material name")
    wt_pct: dict[str, float] = {}
    for column in ("LOI", *OXIDE_ORDER):
        if cell := row.get(column):
            with located(f"{where}, {column}", AnalysisError):
                wt_pct[column] = parse_number(cell, f"{column} of {name}", decimal_comma)
            if column != "LOI" and wt_pct[column] < 0:
                raise AnalysisError(f"{where}, {column}: {cell} is negative; weight percents are 0 or more")
    if not wt_pct:
        raise AnalysisError(f"{where}: {name} has no numbers")
    biggest = max(wt_pct, key=lambda column: wt_pct[column])
    if wt_pct[biggest] > SUM_LIMITS_WT_PCT[1]:
        raise AnalysisError(f"{where}, {biggest}: {row[biggest]} is more than 100 %; is the decimal sign misplaced?")
    loi = wt_pct.pop("LOI", 0.0)
    with located(where):
        date = date_of(date)
        return Material(name, "bag", tuple(wt_pct.items()), loi, source="bag", status="seen", lot=lot, analysed_on=date)
