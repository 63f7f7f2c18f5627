"""The tables in data/: find them, read them with the types their sidecars promise, and say where a number comes from."""

from collections.abc import Mapping
from functools import cache
from math import isfinite
from pathlib import Path
from types import MappingProxyType
from typing import Any

from glazekit.ground.errors import DataError, looked_up, unknown_name

Row = Mapping[str, Any]
STATUSES = ("seen", "computed", "fitted", "memory", "practice", "invented")
"""How far a number can be trusted: read in the source, computed, fitted, remembered, common practice, made up for the demo."""


@cache
def data_dir() -> Path:
    """Folder of the tables: inside an installed package ``glazekit/_data``, in a source tree ``data``.

    >>> (data_dir() / "sources.toml").is_file()
    True
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "_data", package.parent / "data"):
        if (folder / "sources.toml").is_file():
            return folder
    raise DataError("the data tables of glazekit are missing; install the package again")


def table_names() -> tuple[str, ...]:
    """Names of all tables, sorted."""
    return tuple(sorted(path.stem for path in data_dir().glob("*.csv")))


@cache
def sidecar(name: str) -> Mapping[str, Any]:
    """What a table means: title, description, licence, and type, unit and description of each column.

    >>> sidecar("sieves")["columns"]["opening_um"]["unit"]
    'um'
    """
    if name not in table_names():
        raise unknown_name(DataError, "table", name, table_names())
    return MappingProxyType(_read_toml(data_dir() / f"{name}.toml"))


@cache
def read_table(name: str) -> tuple[Row, ...]:
    """Rows of data/<name>.csv as read-only mappings, typed by its sidecar; read once.

    A row holds str for ``text`` columns, float for ``number`` and int for ``integer``. An empty number is None (not reported),
    which is not the same as 0 (reported as zero); an empty text is "".

    Raises DataError, with the nearest name, for an unknown table; with file, line and column for a damaged one.

    >>> read_table("oxides")[0]["symbol"]
    'Li2O'
    """
    import csv

    columns = sidecar(name)["columns"]
    path = data_dir() / f"{name}.csv"
    try:
        with path.open(encoding="utf-8", newline="") as stream:
            lines = list(csv.reader(stream, strict=True))
    except (OSError, UnicodeDecodeError, csv.Error) as problem:
        raise DataError(f"{path.name} cannot be read: {problem}") from problem
    if not lines or lines[0] != list(columns):
        raise DataError(f"{path.name}: the header is {lines[:1]}, its sidecar describes {list(columns)}")
    rows = []
    for number, cells in enumerate(lines[1:], start=2):
        if len(cells) != len(columns):
            raise DataError(f"{path.name} line {number}: {len(cells)} cells, {len(columns)} wanted")
        typed = {
            column: _typed(cell, about["type"], f"{path.name} line {number}, {column}")
            for cell, (column, about) in zip(cells, columns.items(), strict=True)
        }
        rows.append(MappingProxyType(typed))
    return tuple(rows)


@cache
def sources() -> Mapping[str, Mapping[str, Any]]:
    """The bibliography: key -> authors, year, title and more, from data/sources.toml.

    >>> sources()["seger_1886"]["year"]
    1886
    """
    entries = _read_toml(data_dir() / "sources.toml")
    return MappingProxyType({key: MappingProxyType(entry) for key, entry in entries.items()})


def cite(key: str) -> str:
    """Full reference of a source key, as one line of text.

    Raises DataError, with the nearest key, for an unknown one.

    >>> cite("seger_1886").startswith("H. Seger (1886). ")
    True
    """
    entry = looked_up(sources(), key, DataError, "source")
    year = f" ({entry['year']})" if "year" in entry else ""
    parts = [f"{entry['authors']}{year}", entry["title"], entry.get("publisher"), entry.get("where"), entry.get("note")]
    return " ".join(f"{part.rstrip('.')}." for part in parts if part)


def origins(name: str) -> tuple[tuple[str, str], ...]:
    """Every source of a table with the status of what comes from it, in the order of the rows, each pair once.

    Of a column that has sources of its own, "materials.density" gives those of its ``density_source`` and ``density_status``.

    >>> origins("sieves")
    (('gtz_1987', 'seen'), ('astm_e11', 'memory'))
    """
    table, _, column = name.partition(".")
    about, source, status = sidecar(table), f"{column}_source".lstrip("_"), f"{column}_status".lstrip("_")
    pairs = ((row.get(source, about.get("source")), row.get(status, about.get("status"))) for row in read_table(table))
    return tuple(dict.fromkeys(pair for pair in pairs if pair[0]))


def _read_toml(path: Path) -> dict[str, Any]:
    import tomllib

    try:
        with path.open("rb") as stream:
            return tomllib.load(stream)
    except (OSError, tomllib.TOMLDecodeError) as problem:
        raise DataError(f"{path.name} cannot be read: {problem}") from problem


def _typed(cell: str, kind: str, where: str) -> str | float | int | None:
    if kind == "text":
        return cell
    if kind not in ("number", "integer"):
        raise DataError(f"{where}: column type '{kind}' is not text, number or integer")
    if cell == "":
        return None
    try:
        value = int(cell) if kind == "integer" else float(cell)
    except ValueError:
        raise DataError(f"{where}: '{cell}' is not {'an' if kind == 'integer' else 'a'} {kind}") from None
    if not isfinite(value):
        raise DataError(f"{where}: '{cell}' is not a finite number")
    return value
