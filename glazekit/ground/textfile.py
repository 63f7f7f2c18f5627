"""Text files from outside: found, small enough, really text, and cut into cells; or one clear sentence within a moment."""

from __future__ import annotations

import re
from itertools import islice
from pathlib import Path

from glazekit.ground.errors import FileError, nearest_name, quoted, unknown_name

MOST_BYTES = 4_000_000
MOST_LINES = 20_000
LONGEST_CELL = 2_000

_OTHER_KINDS = (
    (b"\xff\xfe\x00\x00", "a UTF-32 text file"),
    (b"\x00\x00\xfe\xff", "a UTF-32 text file"),
    (b"\xff\xfe", "a UTF-16 text file"),
    (b"\xfe\xff", "a UTF-16 text file"),
    (b"PK\x03\x04", "a spreadsheet or zip file"),
    (b"\xd0\xcf\x11\xe0", "an old office file"),
    (b"%PDF", "a PDF"),
)

_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1b\x1f\x7f-\x84\x86-\x9f\ud800-\udfff]")

_FORMULA = re.compile(r"'*[=+\-@\t\r＝＋－＠]")


def read_text_file(path: str | Path) -> str:
    """The text of a small UTF-8 file, with or without a byte order mark.

    Raises FileError, in one sentence that says what to do, for a file that is missing (with the nearest name beside it), a
    folder, empty, binary, in another encoding, above ``MOST_BYTES`` or above ``MOST_LINES``. Nothing beyond the limit is read.
    """
    path = Path(path)
    try:
        if not path.is_file():
            raise _why_no_file(path)
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except FileError:
        raise
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or "the name is not one a file can have"
        raise FileError(f"{quoted(path, 200)} cannot be read: {reason}") from None
    return decoded(content, quoted(path.name, 60)[1:-1])


def decoded(content: bytes, name: str) -> str:
    """The bytes of a file as text; ``name`` stands in the error. FileError as in ``read_text_file``."""
    kind = next((kind for start, kind in _OTHER_KINDS if content.startswith(start)), None)
    if not kind and b"\0" in content[:4096]:
        zeros = [content[start:4096:2].count(0) for start in (0, 1)]
        kind = "a UTF-16 text file" if max(zeros) > 0.4 * len(content[:4096]) / 2 and not min(zeros) else "not a text file"
    if kind:
        raise FileError(f"{name} is {kind}; save it as CSV in UTF-8 and try again")
    lines = content.count(b"\n") + content.count(b"\r") - content.count(b"\r\n")
    if lines > MOST_LINES:
        raise FileError(f"{name} has more than {MOST_LINES:,} lines; is it the right file?")
    if len(content) > MOST_BYTES:
        raise FileError(f"{name} is larger than {MOST_BYTES // 1_000_000} MB; is it the right file?")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = content[: problem.start].count(b"\n") + 1
        raise FileError(
            f"{name}, line {line}: a character is not in UTF-8; save the file as CSV in UTF-8 and try again"
        ) from None
    if not text.strip():
        raise FileError(f"{name} is empty")
    refuse_control_characters(text, name)
    return text


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


def control_character_at(text: str) -> int | None:
    """Place of the first character that no one types and no text file can carry; None when there is none.

    >>> control_character_at("white\\x00"), control_character_at("white\\n")
    (5, None)
    """
    found = _CONTROL.search(text)
    return found.start() if found else None


def refuse_control_characters(text: str, name: str) -> None:
    """FileError at the first control character: it marks a binary or damaged file."""
    place = control_character_at(text)
    if place is not None:
        line = text.count("\n", 0, place) + 1
        raise FileError(f"{name}, line {line}: a control character; this is no text, or it is damaged")


def _why_no_file(path: Path) -> FileError:
    shown = quoted(path, 200)
    if path.is_dir():
        inside = sorted(entry.name for entry in islice(path.iterdir(), 500) if entry.suffix == ".csv")[:5]
        return FileError(f"{shown} is a folder; name a file in it" + (f", such as {', '.join(inside)}" if inside else ""))
    if path.exists():
        return FileError(f"{shown} is not an ordinary file")
    if not path.parent.is_dir():
        return FileError(f"there is no folder {quoted(path.parent, 200)}")
    if path.is_symlink():
        return FileError(f"{shown} is a link to a file that is not there")
    beside = {entry.stem: entry.name for entry in islice(path.parent.iterdir(), 2000) if not entry.name.startswith(".")}
    near = nearest_name(path.stem, beside)  # the ending alone makes no likeness
    where = f"in {quoted(path.parent, 200)} there is "
    return unknown_name(FileError, "file", path.name, [beside[near]] if near else (), where=where)


def rows_of(text: str, name: str, known_columns: tuple[str, ...]) -> tuple[str, list[tuple[int, list[str]]]]:
    """Cut text into cells, by the comma, semicolon or tab that finds most of the known columns in its first line.

    Returns the separator and, for each line that is not blank, its number in the file and its cells.
    Raises FileError for damaged quotes, an endless cell or a file of one column.
    """
    import csv
    import io

    def cells_by(separator: str) -> list[tuple[int, list[str]]]:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
        rows, before = [], 0
        try:
            for cells in reader:
                if any(cell.strip() for cell in cells):
                    rows.append((before + 1, [cell.strip() for cell in cells]))
                before = reader.line_num
        except csv.Error as problem:
            what = "a cell is too long" if "limit" in str(problem) else "a quotation mark is out of place"
            raise FileError(f"{name}, line {before + 1}: {what}") from None
        return rows

    def columns_found(separator: str) -> int:
        header = text.lstrip().partition("\n")[0].split(separator)
        return sum(cell.strip(' "\r').casefold() in known_columns for cell in header) * 100 + len(header)

    separator = max(",;\t", key=columns_found)
    rows = cells_by(separator)
    if not rows:
        raise FileError(f"{name} is empty")
    if len(rows[0][1]) == 1:
        raise FileError(f"{name}, line {rows[0][0]}: only one column; separate the columns with a comma, a semicolon or a tab")
    for line, cells in rows:
        for column, cell in enumerate(cells, start=1):
            if len(cell) > LONGEST_CELL:
                raise FileError(f"{name}, line {line}, column {column}: the cell is longer than {LONGEST_CELL:,} characters")
    return separator, rows
