"""Text from outside: a file found, small enough and really text; typed lines; a new file; or one clear sentence at once."""

import re
from itertools import islice
from pathlib import Path

from glazekit.ground.errors import FileError, GlazekitError, nearest_name, quoted, unknown_name
from glazekit.ground.writer import write_new

MOST_BYTES = 4_000_000
MOST_FILE_LINES = 20_000
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


def read_text_file(path: str | Path) -> str:
    """The text of a small UTF-8 file, with or without a byte order mark. Raises FileError, in one sentence that says what to do,
    for a file that is missing (with the nearest name beside it), a folder, empty, binary, in another encoding, above
    ``MOST_BYTES`` or ``MOST_FILE_LINES``. Nothing beyond the limit is read."""
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
    if lines > MOST_FILE_LINES:
        raise FileError(f"{name} has more than {MOST_FILE_LINES:,} lines; is it the right file?")
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


def write_once(path: str | Path, text: str, for_spreadsheets: bool = True) -> Path:
    """Write a text into a file that is not there yet, in a folder that is, and return its path.

    Letters beyond ASCII get a byte order mark in front ``for_spreadsheets``, so that these show them right.

    Raises FileError when something of this name is there already (nothing is ever overwritten) or it cannot be written.
    """
    path = Path(path)
    if path.is_dir():
        raise FileError(f"{quoted(path, 200)} is a folder; name a new file in it")
    if not path.parent.is_dir():
        raise FileError(f"{quoted(path, 200)} cannot be written: there is no folder {quoted(path.parent, 200)}")
    if not write_new(path, text if text.isascii() or not for_spreadsheets else f"\ufeff{text}"):
        raise FileError(f"{quoted(path, 200)} is there already and is never overwritten; choose another name")
    return path


def typed_lines(
    text: str, name: str, example: str, error: type[GlazekitError], longest: int = 400, most: int = 2000
) -> list[tuple[str, str]]:
    """The lines of a typed or pasted text that are not blank, each behind the words that say where it stands.

    ``name`` is what errors call the text, ``example`` says what to write when it is empty. Nothing is read of a line with more
    than ``longest`` characters or a text with more than ``most`` lines.

    >>> typed_lines("100/h to 600\\n\\nhold 10", "the schedule", "a step a line", FileError)
    [('the schedule, line 1', '100/h to 600'), ('the schedule, line 3', 'hold 10')]
    """
    if len(text) > longest * most:
        raise error(f"{name} is longer than anything typed by hand; paste one at a time")
    refuse_control_characters(text, name)
    lines = [(f"{name}, line {number}", line) for number, line in enumerate(text.splitlines(), start=1) if line.strip()]
    if not lines:
        raise error(f"{name} is empty; {example}")
    if len(lines) > most:
        raise error(f"{name} has {len(lines)} lines; at most {most} can be read at once")
    for where, line in lines:
        if len(line) > longest:
            raise error(f"{where} is longer than {longest} characters; write each item on its own line")
    return lines


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
