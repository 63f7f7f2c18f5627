"""What an entry of the book must say: one table of kinds, their fields and the checks at the door.

Fields beyond the table are welcome (a note, a photo, something a later lesson asks for) and are kept as given, except in an
exercise entry: a learner's marks hold the exercise, the seed, the tries, the hint level and the state, and nothing else.
An entry is checked when it is written, and once more at the door when it is read (``unusable``): then a key of another version is
a fact all the same, and so is what today's rules would ask for beyond the required fields.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any

from glazekit.ground.cone import Cone
from glazekit.ground.errors import BookError, located, looked_up, nearest_name, unknown_name
from glazekit.kiln.firing import ATMOSPHERES, FUELS

APPLICATIONS = ("dip", "pour", "brush", "spray")
STATES = ("right", "try again")
LOOKS = {"surface": ("gloss", "satin", "matte", "dry"), "fate": ("whole", "crazed", "flaked")}
"""What can be seen on a fired tile, each with its keys; ``folder/fired.py`` has their words."""
MOMENTS = ("day_1", "week_1", "month_1")
"""When a tile is looked at: some glazes crack late."""
Check = Callable[[str, Any], Any]
"""Takes the name of a field and the value given, returns the value to keep, or raises BookError."""


def plain(name: str, value: Any) -> Any:
    """A copy of ``value`` in plain JSON terms: text, numbers, true, false, nothing, lists, and mappings with text keys.

    >>> plain("weighed_g", {"kaolin": 13, "quartz": (22.1, 0.1)})
    {'kaolin': 13, 'quartz': [22.1, 0.1]}
    """
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float):
        if not isfinite(value):
            raise BookError(f"{name} is {value}; a book keeps finite numbers only")
        return value
    if isinstance(value, Mapping):
        wrong = next((key for key in value if not isinstance(key, str)), None)
        if wrong is not None:
            raise BookError(f"{name} has the key {wrong!r}; keys are text")
        return {key: plain(f"{name}, {key}", inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [plain(name, inner) for inner in value]
    raise BookError(f"{name} is a {type(value).__name__}; a book keeps text, numbers, lists and mappings")


def _must(be: str, fits: Callable[[Any], bool], keep: Check = plain) -> Check:
    def check(name: str, value: Any) -> Any:
        if not fits(value):
            raise BookError(f"{name} is {value!r}; {be}")
        return keep(name, value)

    return check


def _one_of(*allowed: str) -> Check:
    return _must(f"allowed are {', '.join(allowed)}", lambda value: value in allowed)


def _finite(value: Any, types: Any = int | float) -> bool:
    return isinstance(value, types) and not isinstance(value, bool) and abs(value) < 1e300  # beyond it sums are no longer finite


def _cone(name: str, value: Any) -> str:
    with located(name, BookError):
        return str(value if isinstance(value, Cone) else Cone.parse(str(value)))


_text = _must("write it in words", lambda value: isinstance(value, str) and bool(value.strip()), lambda _, value: value.strip())
_number = _must("it must be a number of 0 or more", lambda value: _finite(value) and value >= 0)
_amount = _must("it must be a number of more than 0", lambda value: _finite(value) and value > 0)
_count = _must("it must be a whole number of 0 or more", lambda value: _finite(value, int) and value >= 0)
_mapping = _must("it must be a mapping with something in it", lambda value: isinstance(value, Mapping) and bool(value))
_list = _must("it must be a list", lambda value: isinstance(value, list | tuple))
_POINTERS = "batch bucket firing parent_tile tile lesson prediction exercise"
_TEXTS = "label feel body shelf_spot kiln fired_on seen photo moment seed"
_AMOUNTS = "base_g scale_division_g total_dry_g dry_g slip_g slip_ml slip_density_g_ml dip_s coat_mm"
FIELDS: Mapping[str, Check] = {
    **dict.fromkeys(f"{_POINTERS} {_TEXTS}".split(), _text),
    **dict.fromkeys(_AMOUNTS.split(), _amount),
    **dict.fromkeys(("water_ml", "water_ml_per_100g", "hold_min", "run_mm"), _number),
    **dict.fromkeys(("coats", "tries", "hint_level"), _count),
    **dict.fromkeys(("recipe", "target_g", "weighed_g"), _mapping),
    **dict.fromkeys(("analyses", "readings", "witness_cones"), _list),
    **dict.fromkeys(("bisque_cone", "cone_seen"), _cone),
    **{look: _one_of(*keys) for look, keys in LOOKS.items()},
    "peak_c": _must("it must be a number", _finite),
    "application": _one_of(*APPLICATIONS),
    "atmosphere": _one_of(*ATMOSPHERES),
    "fuel": _one_of(*FUELS),
    "looked": _one_of(*MOMENTS),
    "state": _one_of(*STATES),
    **dict.fromkeys(
        ("nickname", "class_code"), _must("write it in words, or leave it empty", lambda value: isinstance(value, str))
    ),
    "answer": _must("a prediction needs an answer", lambda value: value not in (None, "")),
}
"""Field -> its check, the same in every kind of entry; a field beyond these is kept as given."""
KEYS = (*LOOKS, "application", "atmosphere", "fuel", "looked", "state", "bisque_cone", "cone_seen")
"""Fields that hold one of several keys; what is read may hold one of another version."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of entry: the names of its fields, those of which one at least must be there; may it hold fields beyond these?"""

    required: Sequence[str]
    optional: Sequence[str] = ()
    either: Sequence[str] = ()
    extras: bool = True

    @property
    def fields(self) -> tuple[str, ...]:
        """Every known field, the required ones first."""
        return (*self.required, *self.optional)


POINTS_TO = {"batch": "batch", "firing": "firing", "parent_tile": "tile", "tile": "tile"}
"""Known field -> kind of the entry it names."""
_ON_A_TILE = "batch bucket dip_s coats coat_mm bisque_cone firing shelf_spot parent_tile note"
_WATERED = "batch bucket dry_g water_ml slip_g slip_ml slip_density_g_ml feel note"
_FIRED = "fuel fired_on peak_c hold_min schedule readings witness_cones note"
_WEIGHED = "label scale_division_g target_g weighed_g total_dry_g water_ml note"
KINDS: Mapping[str, Kind] = {
    "batch": Kind(("recipe", "analyses", "base_g"), _WEIGHED.split()),
    "water": Kind(("water_ml_per_100g",), _WATERED.split(), either=("batch", "bucket")),
    "tile": Kind(("label", "body", "application"), _ON_A_TILE.split(), either=("batch", "bucket")),
    "firing": Kind(("kiln", "cone_seen", "atmosphere"), _FIRED.split()),
    "result": Kind(("tile",), (*LOOKS, *["looked", "seen", "run_mm", "coat_mm", "photo", "note"]), either=(*LOOKS, "seen")),
    "prediction": Kind(("lesson", "prediction", "answer"), ("moment", "note")),
    "learner": Kind(("nickname", "class_code")),
    "exercise": Kind(("exercise", "seed", "tries", "hint_level", "state"), extras=False),
}
"""Kind -> what it must say. A tile is recorded when it is glazed; its firing and shelf spot follow as a correction."""


def kind_of(name: str) -> Kind:
    """The rules for a kind of entry; BookError with the nearest name when there is no such kind."""
    return looked_up(KINDS, name, BookError, "kind of entry")


def unusable(kind_name: str, data: Mapping[str, Any], complete: bool = True) -> str:
    """Why what was read from a file is no entry of this kind, "" when it is one; a correction need not be ``complete``.

    >>> unusable("exercise", {"exercise": "1.1", "seed": "a", "tries": 1, "hint_level": 0})
    'exercise: state is missing'
    """
    for name in KINDS[kind_name].fields:
        if data.get(name) is None:
            if complete and name in KINDS[kind_name].required:
                return f"{kind_name}: {name} is missing"
            continue
        try:
            (_text if name in KEYS else FIELDS.get(name, plain))(f"{kind_name}: {name}", data[name])
        except BookError as error:
            return str(error)
    if isinstance(data.get("recipe"), dict) and not isinstance(data["recipe"].get("name"), str):
        return f"{kind_name}: the recipe has no name"
    return ""


def checked(kind_name: str, data: Mapping[str, Any]) -> dict[str, Any]:
    """The data of one entry, checked against its kind.

    Raises BookError naming the kind, the field, what was given and what is allowed.

    >>> checked("firing", {"kiln": "electric", "cone_seen": "cone 6", "atmosphere": "oxidation"})["cone_seen"]
    '6'
    """
    kind = kind_of(kind_name)
    missing = [name for name in kind.required if data.get(name) is None]
    if missing:
        said = f"{kind_name}: {' and '.join(missing)} missing"
        slip = nearest_name(missing[0], [name for name in data if name not in kind.fields])
        raise unknown_name(BookError, "field", slip, missing, where=f"{said}; ") if slip else BookError(said)
    if kind.either and all(data.get(name) is None for name in kind.either):
        raise BookError(f"{kind_name}: say which {' or '.join(kind.either)}")
    if kind_name == "tile" and data["application"] == "dip" and data.get("dip_s") is None:
        raise BookError("tile: a dipped tile needs dip_s, the seconds in the slip")
    kept = {}
    for name, value in data.items():
        known = name in kind.fields
        if not known and not kind.extras:
            raise BookError(f"{kind_name}: there is no place for {name}; it holds {', '.join(kind.fields)} and nothing else")
        if value is not None:
            kept[name] = (FIELDS.get(name, plain) if known else plain)(f"{kind_name}: {name}", value)
    return kept
