"""Schedules as people type them: ``100/h to 600, hold 10 min``, one step a line, or a table of rate, target and hold."""

import re
from collections.abc import Callable, Iterable

from glazekit.ground.errors import located, quoted, unknown_name
from glazekit.ground.numbers import LONGEST, ROOM_C, decimal_comma_in, parse_number, parse_quantity, tidy_signs
from glazekit.ground.textfile import typed_lines
from glazekit.ground.typed_table import typed_table
from glazekit.kiln.schedule import SAME_C, Hold, Ramp, RampOrHold, Schedule, ScheduleError

COLUMNS = ("rate_c_per_h", "to_c", "hold_min")
"""Columns of a schedule as a table; a row without a hold has an empty cell there."""

_N = r"[+-]?\d+(?:[.,]\d+)*(?:e[+-]?\d+)?"
_C = r"(?:\s*(?:°\s*c|°|c|degrees?(?:\s*c)?|deg\.?\s*c)\b|\s*°)?"
_RATE = rf"({_N})\s*(?:°\s*c?|c|k|degrees?|deg\.?\s*c)?\s*(?:/|per\s+)\s*(?:h|hr|hour)\b\.?"
_TEMP = rf"({_N}){_C}"
_TIME = r"((?:\d[\d.,:]*)\s*(?:h(?:ours?|rs?)?\b|min(?:utes?|s)?\b\.?|m\b)?(?:\s*\d+\s*(?:min(?:utes?|s)?\b\.?|m\b)?)?)"
_VERB = r"(?:(?:ramp|heat|cool|go|climb|drop)\s+)?(?:up\s+|down\s+)?"
_HOLD_VERB = r"(?:hold|soak|stay|keep)"

_START = re.compile(rf"(?:start|begin)\s+(?:at|from)?\s*{_TEMP}")
_FROM_TO_AT = re.compile(rf"{_VERB}(?:from\s+)?{_TEMP}\s+to\s+{_TEMP}\s*(?:at|@|by|with)\s*{_RATE}")
_TO_AT = re.compile(rf"{_VERB}(?:to\s+)?{_TEMP}\s*(?:at|@|by|with)\s*{_RATE}")
_AT_TO = re.compile(rf"{_VERB}(?:at\s+|by\s+|with\s+)?{_RATE}\s*(?:up\s+|down\s+)?(?:to\s+)?{_TEMP}")
_TO_IN = re.compile(rf"{_VERB}to\s+{_TEMP}\s+(?:in|over|within)\s+{_TIME}")
_HOLD_AT = re.compile(rf"{_HOLD_VERB}\s+at\s+{_TEMP}\s*(?:for\s+|,\s*)?{_TIME}")
_HOLD = re.compile(rf"{_HOLD_VERB}\s+(?:for\s+)?{_TIME}")
_TIME_HOLD = re.compile(rf"{_TIME}\s+{_HOLD_VERB}")
_HOURS_MINUTES = re.compile(r"(\d+)\s*(?:h(?:ours?|rs?)?|:)\s*(\d{1,2})\s*(?:h|m(?:in(?:utes?|s)?)?\b\.?)?")

_MINUTES = dict.fromkeys(("min", "mins", "minute", "minutes", "m"), 1) | dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), 60)

SOURCE = "the schedule"
ALLOWED = "write it like '100 °C/h to 600 °C', 'hold 10 min' or '100/h down to 900'"


def minutes_of(text: str, what: str = "time", decimal_comma: bool | None = None, bare: str = "min") -> float:
    """A length of time as typed, in minutes [min]: ``10``, ``10 min``, ``1.5 h``, ``1 h 30 min``, ``1:30``.

    Parameters: text, in which ``1:30`` is hours and minutes; what, what is being read, for the error; decimal_comma, as in
    ``parse_number``; bare, unit of a number without one, "min" or "h".

    >>> minutes_of("1 h 30 min"), minutes_of("1:30"), minutes_of("0,5 h"), minutes_of("10")
    (90.0, 90.0, 30.0, 10.0)

    Raises NumberError when it is no number, ScheduleError for another unit or 75 minutes behind hours.
    """
    plain = tidy_signs(text).casefold() if len(text) <= LONGEST else ""
    if both := _HOURS_MINUTES.fullmatch(plain):
        if int(both[2]) > 59:
            raise ScheduleError(f"the {what} {quoted(text)} has {both[2]} minutes behind the hours; at most 59")
        return int(both[1]) * 60.0 + int(both[2])
    number, unit = parse_quantity(text, what, decimal_comma)
    name = unit.casefold().rstrip(".") or bare
    if name not in _MINUTES:
        where = f"the {what} {quoted(text)}: "
        raise unknown_name(ScheduleError, "unit of time", unit, _MINUTES, where=where, otherwise="write min or h")
    return number * _MINUTES[name]


def schedule_from_text(text: str, start_c: float = ROOM_C) -> Schedule:
    """Read a schedule as typed or pasted.

    One step a line, or several in a line between semicolons, ``then`` or ``, ``: ``100/h to 600``, ``600 °C at 100 °C/h``,
    ``20 -> 600 at 100/h``, ``to 600 in 6 h``, ``hold 10 min``, ``soak 1 h 30``, ``100/h down to 900``. A number behind ``hold``
    without a unit is minutes. Or a table with the columns ``rate_c_per_h, to_c, hold_min``. Decimal commas are understood.

    The kiln starts at ``start_c`` [C], unless the text says ``start at 25 °C``.

    >>> schedule_from_text("100/h to 600; 150 °C/h to 1120, hold 10 min").text().splitlines()
    ['100 °C/h to 600 °C', '150 °C/h to 1120 °C', 'hold 10 min']
    >>> schedule_from_text("rate_c_per_h;to_c;hold_min\\n62,5;600;10").steps
    (Ramp(to_c=600.0, rate_c_per_h=62.5), Hold(minutes=10.0))

    Raises ScheduleError or NumberError with the line and what is allowed; nothing is left out or guessed.
    Limits: degrees Celsius only.
    """
    lines = typed_lines(text, SOURCE, ALLOWED, ScheduleError, longest=200)
    if any(name in lines[0][1].casefold() for name in COLUMNS):
        return _of_table(text, start_c)
    reader = _Lines(start_c, decimal_comma_in(re.findall(_N, tidy_signs(text))))
    for where, line in lines:
        for piece in _pieces(line):
            with located(where):
                reader.take(piece)
    return Schedule(reader.steps, reader.start_c)


def _pieces(line: str) -> Iterable[str]:
    """The steps of one line, in plain signs: '→' is 'to', a hold after a ramp is a piece of its own."""
    plain = tidy_signs(re.sub(r"→|⟶|⇒|->|=>", " to ", line)).casefold()
    plain = re.sub(r"^(?:\d+[.)]|[-*•])\s+(?=\D|\d+\S*\s*(?:°|c\b|/|per|to))", "", plain)
    plain = re.sub(rf"\s+(?:and\s+)?(?={_HOLD_VERB}\s+(?:at|for|\d))", "; ", plain)
    pieces = (piece.strip(" .,") for piece in re.split(r";|,\s+|\bthen\b|\band\b", plain))
    return [piece for piece in pieces if piece]


class _Lines:
    """Reads one step after the other and knows where the kiln is."""

    def __init__(self, start_c: float, decimal_comma: bool | None) -> None:
        self.start_c, self.now_c, self.comma = start_c, start_c, decimal_comma
        self.steps: list[RampOrHold] = []
        self._forms: tuple[tuple[re.Pattern[str], Callable[..., None]], ...] = (
            (_START, self._start),
            (_FROM_TO_AT, self._from_to_at),
            (_TO_AT, self.ramp),
            (_AT_TO, lambda rate, to: self.ramp(to, rate)),
            (_TO_IN, self._to_in),
            (_HOLD_AT, self._hold_at),
            (_HOLD, self.hold),
            (_TIME_HOLD, self.hold),
        )

    def take(self, piece: str) -> None:
        """Read one step or raise."""
        if re.search(r"\d\s*(?:°\s*)?f\b", piece):
            raise ScheduleError(f"{quoted(piece)} is in degrees Fahrenheit; write degrees Celsius")
        for form, action in self._forms:
            if match := form.fullmatch(piece):
                before_c = self.now_c
                action(*match.groups())
                down, up = re.search(r"\b(?:cool|down|drop)\b", piece), re.search(r"\b(?:heat|up|climb)\b", piece)
                if (down and self.now_c > before_c) or (up and self.now_c < before_c):
                    raise ScheduleError(f"{quoted(piece)}: the kiln is at {before_c:g} °C then, so that goes the other way")
                return
        if re.search(r"\b(?:off|natural|freely?|crash|open)\b", piece):
            raise ScheduleError(
                f"{quoted(piece)}: how fast a kiln cools by itself is not planned; leave it out or write a ramp down"
            )
        if re.search(r"\b(?:full|max|fast|9999)\b", piece):
            raise ScheduleError(
                f"{quoted(piece)} has no rate to count with; write the degrees an hour, such as 300 °C/h to 600 °C"
            )
        if re.fullmatch(rf"{_N}(?:\s+{_N})+", piece):
            raise ScheduleError(f"{quoted(piece)} does not say which number is what; {ALLOWED}")
        raise ScheduleError(f"{quoted(piece)} is no step of a schedule; {ALLOWED}")

    def _number(self, text: str, what: str) -> float:
        return parse_number(text, what, self.comma)

    def _start(self, temp: str) -> None:
        if self.steps:
            raise ScheduleError("the temperature at the start stands before the first step")
        self.start_c = self.now_c = self._number(temp, "temperature")

    def ramp(self, to: str, rate: str) -> None:
        """A ramp, as two texts."""
        to_c, rate_c_per_h = self._number(to, "temperature"), self._number(rate, "rate")
        if rate_c_per_h < 0 and to_c > self.now_c:
            raise ScheduleError(f"the rate is below 0, but {to_c:g} °C is above {self.now_c:g} °C, where the kiln is")
        self._add(Ramp(to_c, abs(rate_c_per_h)))

    def _from_to_at(self, start: str, to: str, rate: str) -> None:
        self._must_be_at(self._number(start, "temperature"))
        self.ramp(to, rate)

    def _to_in(self, to: str, time: str) -> None:
        to_c, minutes = self._number(to, "temperature"), minutes_of(time, "time", self.comma, "h")
        if not minutes > 0:
            raise ScheduleError("a ramp takes more than 0 minutes")
        self._add(Ramp(to_c, abs(to_c - self.now_c) * 60 / minutes))

    def _hold_at(self, temp: str, time: str) -> None:
        temp_c = self._number(temp, "temperature")
        if not self.steps and abs(temp_c - self.now_c) >= SAME_C:
            raise ScheduleError(
                f"the first step is a hold at {temp_c:g} °C, but the kiln starts at {self.now_c:g} °C; "
                f"write 'start at {temp_c:g} °C' or a ramp before it"
            )
        self._must_be_at(temp_c)
        self.hold(time)

    def hold(self, time: str) -> None:
        """A hold, as a text."""
        self._add(Hold(minutes_of(time, "hold", self.comma)))

    def _must_be_at(self, temp_c: float) -> None:
        if not self.steps and self.start_c == ROOM_C:
            self.start_c = self.now_c = temp_c
        if abs(temp_c - self.now_c) >= SAME_C:
            raise ScheduleError(f"this step is at {temp_c:g} °C, but the step before ends at {self.now_c:g} °C")

    def _add(self, step: RampOrHold) -> None:
        self.steps.append(step)
        if isinstance(step, Ramp):
            self.now_c = step.to_c


def _of_table(text: str, start_c: float) -> Schedule:
    table = typed_table(text, SOURCE, COLUMNS, COLUMNS[:2], ScheduleError)
    reader = _Lines(start_c, table.decimal_comma(COLUMNS))
    for where, row in table.rows:
        with located(where):
            if row["rate_c_per_h"] or row["to_c"]:
                reader.ramp(row["to_c"], row["rate_c_per_h"])
            hold = row.get("hold_min", "")
            if hold and minutes_of(hold, "hold", reader.comma):
                reader.hold(hold)
    return Schedule(reader.steps, start_c)
