"""A table that somebody typed, pasted or saved from a spreadsheet: its first line names the columns, and no cell is lost."""

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from glazekit.ground.errors import FileError, GlazekitError, name_key, nearest_name, quoted, unknown_name
from glazekit.ground.numbers import decimal_comma_in

LONGEST_CELL, MOST_COLUMNS = 2_000, 100
_FORMULA = re.compile(r"'*[=+\-@\t\r＝＋－＠]")
_NEEDS_QUOTES = re.compile(r'[,;\t"\r\n]|^\s|\s$')


@dataclass(frozen=True, slots=True)
class TypedTable:
    """The cells of a table under the names of their columns. A row is where it stands, such as "clear.csv, line 3", and column ->
    cell; a column without a name is called ""."""

    separator: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, Mapping[str, str]], ...]

    def decimal_comma(self, columns: Iterable[str]) -> bool | None:
        """Which decimal sign the numbers in these columns use, as ``decimal_comma_in``."""
        return decimal_comma_in(row[column] for column in columns if column in self.columns for _, row in self.rows)


def typed_table(
    text: str,
    name: str,
    known: Sequence[str],
    required: Sequence[str],
    error: type[GlazekitError],
    also: Mapping[str, str] | None = None,
) -> TypedTable:
    """Read a table whose first line names its columns; comma, semicolon or tab, whichever finds most of them.

    Parameters: text; name, what errors call it; known, names a column may have (small or capital letters, blanks for lines below
    and a "%" behind are fine); required, columns that must be there; error, class of the error for what does not fit; also, other
    name -> name of a column.

    >>> typed_table("Material;LOI %\\nclay;12,5", "bags", ("material", "LOI"), ("material",), GlazekitError).rows
    (('bags, line 2', {'material': 'clay', 'LOI': '12,5'}),)

    Raises FileError for damaged quotes, an endless cell or a single column, ``error`` for an unknown, doubled or missing column,
    a cell under no column and a row that is too short; each names the line.
    """
    names = {_heading(column): column for column in known} | dict(also or {})
    separator, ((first_line, header), *lines) = _cells(text, name, names)
    where = f"{name}, line {first_line}"
    if len(header) > MOST_COLUMNS:
        raise FileError(f"{where}: {len(header)} columns; at most {MOST_COLUMNS} can be read")
    columns = tuple(names.get(_heading(cell), "") for cell in header)
    if not any(columns) and not any(nearest_name(_heading(cell), names) for cell in header):
        raise error(f"{where}: the first line has to name the columns, {' and '.join(required)} at least")
    for cell, column in zip(header, columns, strict=True):
        if cell and not column:
            raise unknown_name(error, "column", cell, known, where=f"{where}: ")
        if column and columns.count(column) > 1:
            raise error(f"{where}: the column '{column}' is there twice")
    for column in required:
        if column not in columns:
            raise error(f"{where}: no column '{column}'; the first line names the columns, {' and '.join(required)} at least")
    if not lines:
        raise error(f"{name}: there are columns but no rows below them")
    rows = []
    for line, cells in lines:
        _check_width(cells, columns, separator, f"{name}, line {line}", error)
        row = {column: cell for column, cell in zip(columns, cells, strict=False) if column}
        rows.append((f"{name}, line {line}", row))
    return TypedTable(separator, columns, tuple(rows))


def _heading(cell: str) -> str:
    return name_key(cell.replace("_", " ").removesuffix("%"))


def _check_width(cells: list[str], columns: tuple[str, ...], separator: str, where: str, error: type[GlazekitError]) -> None:
    """Every row fills the header's columns; what stands beyond a named column would be lost."""
    advice = "; a decimal comma needs quotes or semicolons between the columns" if separator == "," else ""
    homeless = [cell for place, cell in enumerate(cells) if cell and (place >= len(columns) or not columns[place])]
    if homeless:
        raise error(f"{where}: {quoted(homeless[0])} stands under no column name{advice}")
    if advice and len(cells) > len(columns):  # 62,5,600, may be 62.5 and 600 with an empty cell behind
        raise error(f"{where}: {len(cells)} cells under {len(columns)} columns{advice}")
    named = max(place for place, column in enumerate(columns) if column) + 1
    if len(cells) < named:
        raise error(f"{where}: {len(cells)} cells, but the first line names {named} columns; is a separator missing?")


def _cells(text: str, name: str, names: Mapping[str, str]) -> tuple[str, list[tuple[int, list[str]]]]:
    """The separator and, for each line that is not blank, its number in the file and its cells."""

    def columns_found(separator: str) -> int:
        header = text.lstrip().partition("\n")[0].split(separator)
        return sum(_heading(cell.strip(' "\r')) in names for cell in header) * 100 + len(header)

    separator = max(",;\t", key=columns_found)
    rows: list[tuple[int, list[str]]] = []
    reader, before = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True), 0
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((before + 1, [cell.strip() for cell in cells]))
            before = reader.line_num
    except csv.Error as problem:
        what = "a cell is too long" if "limit" in str(problem) else "a quotation mark is out of place"
        raise FileError(f"{name}, line {before + 1}: {what}") from None
    if not rows:
        raise FileError(f"{name} is empty")
    if len(rows[0][1]) == 1:
        raise FileError(f"{name}, line {rows[0][0]}: only one column; separate the columns with a comma, a semicolon or a tab")
    for line, cells in rows:
        for column, cell in enumerate(cells, start=1):
            if len(cell) > LONGEST_CELL:
                raise FileError(f"{name}, line {line}, column {column}: the cell is longer than {LONGEST_CELL:,} characters")
    return separator, rows


def csv_text(rows: Iterable[Iterable[str]]) -> str:
    """Rows of cells as text with commas, each cell quoted where it needs it.

    >>> csv_text([["material", "lot"], ["kaolin", "7;8"]])
    'material,lot\\nkaolin,"7;8"\\n'

    Raises FileError for a cell that is longer than reading allows.
    """
    return "".join(",".join(map(_in_quotes, cells)) + "\n" for cells in rows)


def _in_quotes(cell: str) -> str:
    if len(cell) > LONGEST_CELL:
        raise FileError(f"{quoted(cell)} is longer than the {LONGEST_CELL:,} characters a cell may have")
    return '"' + cell.replace('"', '""') + '"' if _NEEDS_QUOTES.search(cell) else cell


def guarded(text: str) -> str:
    """Text that a spreadsheet would take for a formula gets an apostrophe in front; ``unguarded`` takes it off again.

    >>> guarded("=1+1"), guarded("'=1+1"), guarded("Half Clear")
    ("'=1+1", "''=1+1", 'Half Clear')
    """
    return f"'{text}" if _FORMULA.match(text) else text


def unguarded(cell: str) -> str:
    """The text behind ``guarded``: exactly one apostrophe less, and only where one was put.

    >>> unguarded("'=1+1"), unguarded("'twas")
    ('=1+1', "'twas")
    """
    return cell[1:] if cell.startswith("'") and _FORMULA.match(cell) else cell
