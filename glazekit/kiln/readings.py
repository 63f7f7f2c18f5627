"""What the kiln did: times and temperatures as people note them. A missing or doubtful reading is named, never dropped."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from glazekit.ground.errors import GlazekitError, located, quoted
from glazekit.ground.numbers import decimal_comma_in, parse_number, tidy_signs, within
from glazekit.ground.textfile import typed_lines
from glazekit.ground.typed_table import typed_table
from glazekit.kiln.schedule_text import minutes_of

TIME_COLUMNS = ("minutes", "hours", "clock", "time")
COLUMNS = (*TIME_COLUMNS, "temp_c")
FASTEST_C_PER_H = 1000.0
"""A kiln that changes faster than this from one reading to the next was misread (course practice)."""
READ_LIMITS_C = (-30.0, 1500.0)
LONG_GAP_H = 2.0
"""A longer time without a reading is reported [h] (course practice)."""
SOURCE = "the kiln log"
EXAMPLE = "a time and a temperature a line, such as 1:30 165"
_MISSING = ("", "?", "-", "--", "none", "missing", "n/a", "no reading", "not read")
_HOURS = r"\d+(?:[.,]\d+)?\s*h(?:ours?|rs?)?\.?"
_MINUTES = r"min(?:utes?|s)?\.?|m"
_TIME = "|".join(
    (
        r"\d+:\d{1,2}(?:\s*h\b)?",
        rf"{_HOURS}\s*\d{{1,2}}\s*(?:{_MINUTES})\b",
        # minutes without a unit need a temperature behind them: '1 h 30 165' is half past one, '1 h 30' is 30 °C
        rf"{_HOURS}\s*\d{{1,2}}(?=[\s,;|]+\S)",
        _HOURS,
        rf"\d+(?:[.,]\d+)?\s*(?:{_MINUTES})?",
    )
)
_TEMP = r"[+-]?\d+(?:[.,]\d+)?\s*(?:°?\s*c|°)?|\?|-+|[a-z/ ]*"
_LINE = re.compile(rf"(?P<time>{_TIME})\s*(?:[;|,:-]|\bat\b)?\s*(?P<temp>{_TEMP})")


class ReadingError(GlazekitError):
    """A kiln reading that cannot be understood."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One look at the display: hours since the start [h], and what it showed [C], None when nobody wrote it down."""

    hours: float
    temp_c: float | None

    def __post_init__(self) -> None:
        object.__setattr__(self, "hours", within(self.hours, 0, 1000, "the time of a reading", "h"))
        if self.temp_c is not None:
            object.__setattr__(self, "temp_c", within(self.temp_c, -1e4, 1e5, "a reading", "°C"))


def readings_from_text(text: str, bare: str = "min", clock: bool = False) -> tuple[Reading, ...]:
    """Read a kiln log as typed or pasted: a time and a temperature a line.

    Times are hours and minutes since the start (``2:30``, ``2 h 30``), ``90 min``, ``1,5 h``, or bare numbers. A time without a
    temperature, or with ``?``, is a missing reading and is kept. Or a table with the columns ``minutes``, ``hours``, ``clock`` or
    ``time``, and ``temp_c``.

    Parameters: text, the log; bare, unit of a time without one, "min" or "h"; clock, are the times those of the day? Then the
    first is the start, and a time that goes back is the next day.

    >>> readings_from_text("0:00 20\\n1 h 30 min; 165 °C\\n180 ?")
    (Reading(hours=0.0, temp_c=20.0), Reading(hours=1.5, temp_c=165.0), Reading(hours=3.0, temp_c=None))
    >>> readings_from_text("clock,temp_c\\n22:30,20\\n01:00,250")[-1]
    Reading(hours=2.5, temp_c=250.0)

    Raises ReadingError or NumberError with the line and what is allowed; nothing is left out, put in order or repaired.
    Limits: degrees Celsius only.
    """
    lines = typed_lines(text, SOURCE, f"write {EXAMPLE}", ReadingError, longest=200)
    if "temp" in lines[0][1].casefold():
        pairs, bare, clock = _table(text, bare, clock)
    else:
        pairs = [(where, *_split(where, line)) for where, line in lines]
    return _readings(pairs, bare, clock)


def _split(where: str, line: str) -> tuple[str, str]:
    plain = tidy_signs(re.sub(r"→|->|=>", " ", line)).casefold().strip(" ,;|")
    if re.search(r"\d\s*°?\s*f\b", plain):
        raise ReadingError(f"{where}: {quoted(line)} is in degrees Fahrenheit; write degrees Celsius")
    if bare_pair := re.fullmatch(r"(\d+),(\d{2,4})", plain):
        return bare_pair[1], bare_pair[2]
    match = _LINE.fullmatch(plain)
    if not match or not (match["temp"].strip() in _MISSING or re.search(r"\d", match["temp"])):
        raise ReadingError(f"{where}: {quoted(line)} is no reading; write {EXAMPLE}")
    return match["time"], re.sub(r"\s*(?:°?\s*c|°)$", "", match["temp"].strip())


def _table(text: str, bare: str, clock: bool) -> tuple[list[tuple[str, str, str]], str, bool]:
    table = typed_table(text, SOURCE, COLUMNS, ("temp_c",), ReadingError)
    times = [name for name in table.columns if name in TIME_COLUMNS]
    if len(times) != 1:
        raise ReadingError(f"{SOURCE} needs one column that tells the time: {', '.join(TIME_COLUMNS)}")
    (time,) = times
    pairs = [(where, row[time], row["temp_c"].casefold()) for where, row in table.rows]
    return pairs, {"minutes": "min", "hours": "h"}.get(time, bare), clock or time == "clock"


def _readings(pairs: Sequence[tuple[str, str, str]], bare: str, clock: bool) -> tuple[Reading, ...]:
    comma = decimal_comma_in(cell for _, *cells in pairs for cell in cells)
    found: list[Reading] = []
    first_min = last_min = 0.0
    for where, time, temp in pairs:
        with located(where):
            minutes = minutes_of(time, "time", comma, bare)
            if clock:
                if not re.fullmatch(r"\d{1,2}:\d{2}", time.strip()) or minutes >= 24 * 60:
                    raise ReadingError(f"{quoted(time)} is no time of the day; write it like 19:40")
                first_min = first_min if found else minutes
                while minutes - first_min < last_min:
                    minutes += 24 * 60
                last_min = minutes = minutes - first_min
            found.append(Reading(minutes / 60, None if temp in _MISSING else parse_number(temp, "temperature", comma)))
    return tuple(found)


def doubts_of(readings: Sequence[Reading]) -> tuple[str, ...]:
    """For each reading what is wrong with it, in words; an empty text for a good one. Doubtful is: no temperature, a time that
    does not go on, a temperature no kiln shows, and a jump from the last good reading faster than 1000 C/h.

    >>> log = readings_from_text("0 20; 60 120; 70 1120; 120 ?; 180 230".replace("; ", chr(10)))
    >>> [doubt for doubt in doubts_of(log) if doubt]
    ['a jump of 6000 °C/h from the reading before', 'no temperature written']

    Limits: a slow drift of a tired thermocouple cannot be seen in its own readings; a cone shows it.
    """
    doubts, last = [], None
    for reading in readings:
        doubt = ""
        if reading.temp_c is None:
            doubt = "no temperature written"
        elif not READ_LIMITS_C[0] <= reading.temp_c <= READ_LIMITS_C[1]:
            doubt = f"{reading.temp_c:g} °C is nothing a kiln shows"
        elif last is not None:
            hours, change = reading.hours - last[0], abs(reading.temp_c - last[1])
            if hours <= 0:
                doubt = "the time does not go on; are these times of the day?"
            elif change / hours > FASTEST_C_PER_H:
                doubt = f"a jump of {change / hours:.0f} °C/h from the reading before"
        if not doubt and reading.temp_c is not None:
            last = (reading.hours, reading.temp_c)
        doubts.append(doubt)
    return tuple(doubts)


def good_readings(readings: Sequence[Reading]) -> tuple[tuple[float, float], ...]:
    """The corners of the line that the good readings draw: (hours [h], temperature [C])."""
    doubts = doubts_of(readings)
    return tuple(
        (one.hours, one.temp_c) for one, doubt in zip(readings, doubts, strict=True) if not doubt and one.temp_c is not None
    )


def long_gaps(readings: Sequence[Reading]) -> tuple[tuple[float, float], ...]:
    """Times of more than two hours between one good reading and the next: (from [h], to [h])."""
    good = good_readings(readings)
    return tuple((one[0], two[0]) for one, two in pairwise(good) if two[0] - one[0] > LONG_GAP_H)
