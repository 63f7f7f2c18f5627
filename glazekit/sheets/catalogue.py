"""Sheets are found, not listed: in the modules of this room each stands under its name, and its parameters say what it needs."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from inspect import Parameter, signature
from pkgutil import iter_modules
from typing import Any, TypeVar

from glazekit.ground.errors import GlazekitError, looked_up

Make = TypeVar("Make", bound=Callable[..., str])


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of sheet. ``name``: as lessons call it. ``make``: makes the document. Its parameters say what it needs, by these
    names: the recipes asked for, ``batch`` (what to weigh), ``dry_g`` (all dry powder of that batch [g]), ``label`` (the
    learner's name for it), ``lesson`` (its number), ``schedule`` (the learner's plan for the kiln, or None), ``stock``, ``who``,
    ``date``. Others keep their defaults. ``recipes``: (name, recipe offered first) of each recipe it asks for. ``own_recipes``:
    recipes of the practice sheets that are offered above the others."""

    name: str
    make: Callable[..., str]
    recipes: tuple[tuple[str, str], ...] = ()
    own_recipes: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """Its name as the key of a text."""
        return self.name.replace(" ", "_")

    @property
    def needs(self) -> Mapping[str, bool]:
        """Name of everything ``make`` can be given -> can it do without."""
        return {name: given.default is not Parameter.empty for name, given in signature(self.make).parameters.items()}

    @property
    def needs_batch(self) -> bool:
        """Does it need a batch, so that its mass must be asked for."""
        return not {"batch", "dry_g"}.isdisjoint(self.needs)

    def missing(self, at_hand: Collection[str]) -> list[str]:
        """What it cannot do without and is not at hand."""
        return [name for name, optional in self.needs.items() if not optional and name not in at_hand]

    def html(self, at_hand: Mapping[str, Any]) -> str:
        """The document, made from what is at hand, the rest left aside; GlazekitError when something it cannot do without is
        missing."""
        if missing := self.missing(at_hand):
            raise GlazekitError(f"the {self.name} needs more than is at hand: {', '.join(missing)}")
        return self.make(**{name: value for name, value in at_hand.items() if name in self.needs})


_MADE: dict[str, Sheet] = {}


def printed_as(name: str, *recipes: tuple[str, str], own_recipes: tuple[str, ...] = ()) -> Callable[[Make], Make]:
    """The function below makes the sheet of this name; what stands behind it is that of a ``Sheet``."""

    def enter(make: Make) -> Make:
        _MADE[name] = Sheet(name, make, recipes, own_recipes)
        return make

    return enter


@cache
def sheets() -> Mapping[str, Sheet]:
    """Every sheet by its name, in the order of their names.

    >>> sheets()["batch sheet"].needs_batch, sheets()["step card"].recipes
    (True, ())
    """
    modules = [f"{__package__}.{module.name}" for module in iter_modules(import_module(__package__).__path__)]
    for module in modules:
        import_module(module)
    return {name: sheet for name, sheet in sorted(_MADE.items()) if sheet.make.__module__ in modules}


def sheet_named(name: str, at_hand: Collection[str] | None = None) -> Sheet:
    """The sheet that lessons call ``name``, of those that can be made of what is ``at_hand``, of all without it. Raises
    GlazekitError with the nearest name when there is none."""
    found = {one: sheet for one, sheet in sheets().items() if at_hand is None or not sheet.missing(at_hand)}
    return looked_up(found, name, GlazekitError, "sheet", "" if at_hand is None else "of what is at hand here there is ")
