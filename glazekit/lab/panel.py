"""What every panel shares: a title, controls that remember themselves, a status line, a caution slot, one ``refresh``."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from copy import deepcopy
from html import escape
from time import strftime
from typing import Any, Self

import ipywidgets as widgets
import traitlets

from glazekit.drawing.colours import SIGNS
from glazekit.folder.shelf import recipes_at_hand
from glazekit.ground.errors import GlazekitError, RecipeError, nearest_name
from glazekit.lab import controls
from glazekit.lab.browser import SpokenNames
from glazekit.lab.desk import Desk
from glazekit.recipe.recipe import Recipe

Children = Iterable[widgets.Widget]
"""What stands in a panel, top to bottom."""
PAUSE_S = 0.3
"""A learner who has not moved anything for this long has paused: time for heavy work and for saving."""
CHOICES_DEEP = 3
"""A choice may hang on a choice that hangs on a choice: so many rounds give every control its saved value."""


class Panel:
    """Base of all panels. Its life: made with its options, then opened: built, restored and shown, once each and in this order.

    A panel says what it is made of in ``build``, what can be chosen just now in ``offer``, and what it shows in ``paint``.

    Parameters
    ----------
    desk : where it stands; gives it texts, saved state, the book and the learner's settings.
    key : name under which its controls are remembered; the panel's name when not given.
    recipe : name of the recipe that lies on it at first, for a panel with a choice of recipes; ``first_recipe`` when not given.
    after : id of a prediction that is to be made before the panel opens; the learner may also open it without.

    Class attributes: ``name``, as lessons call it; ``home``, the lesson whose TOML holds its texts; ``kept_under``, under which
    page its controls are remembered when that is not the lesson it stands on; ``first_recipe``.

    A change of any control calls ``refresh`` and nothing else. A GlazekitError in it becomes the status line and dims what is out
    of date, every other error is a fault of ours and is not hidden.
    """

    name = "panel"
    home = "01"
    kept_under = ""
    first_recipe = ""

    def __init__(self, desk: Desk, key: str = "", after: str = "", recipe: str = "") -> None:
        self.desk, self.key, self.after = desk, key or self.name, after
        self.first_recipe = recipe or self.first_recipe
        self.words = desk.words(self.home, self.name)
        self.controls: dict[str, Any] = {}
        self.memory: dict[str, Any] = {}
        self.unread: tuple[str, ...] = ()
        self._kept: dict[str, Any] | None = None
        self._holds = 0
        self._waiting: dict[str, asyncio.TimerHandle] = {}
        self.title = controls.html(css_class="gk-title")
        self.status, self.caution = controls.html(css_class="gk-status"), controls.html(css_class="gk-caution")
        self.counted_with = controls.html(css_class="gk-own-bags")
        self.body, self.curtain = controls.stack(), controls.stack()
        self.box = controls.stack(SpokenNames(), self.title, self.curtain, self.body, css_class="gk-panel")

    def open(self) -> Self:
        """Build the panel, give its controls back what they held, and show it; the page calls this once."""
        self._build()
        self._restore()
        self.desk.join(self)
        self.refresh()
        return self

    # -- what a panel is ----------------------------------------------------------------------------------------------------

    def build(self) -> Children:
        """Make the controls, each through ``keep``, as they stand at first; return what stands on the panel, top to bottom."""
        raise NotImplementedError

    def offer(self) -> None:
        """Bring what can be chosen up to date, where that hangs on other controls, the book or the folder; refreshes nothing."""

    def paint(self) -> None:
        """Read the controls, compute, show, and ``tell`` what it means."""
        raise NotImplementedError

    # -- opening ------------------------------------------------------------------------------------------------------------

    def _build(self) -> None:
        self.title.value = self._heading()
        self.body.children = (*self.build(), self.status, self.counted_with, self.caution)
        self.curtain.children = (
            controls.html(f"<p>{escape(self.desk.frame('curtain'))}</p>"),
            controls.button(self.desk.frame("open_anyway"), self.open_curtain),
        )

    def _restore(self) -> None:
        saved = self.desk.state.get(self.kept_under or self.desk.lesson, self.key, {})
        saved = saved if isinstance(saved, dict) else {}
        self.memory.update(saved.get("memory", {}))
        values = saved.get("controls", {})
        with self.hold():
            for _ in range(CHOICES_DEEP):
                with suppress(GlazekitError):  # what is wrong with the controls is told by the refresh that follows
                    self.offer()
                for name, control in self.controls.items():
                    with suppress(traitlets.TraitError):  # what is no longer offered: the start value stays, in plain sight
                        control.value = values.get(name, control.value)

    # -- for the panels themselves ------------------------------------------------------------------------------------------

    def keep(self, name: str, control: Any) -> Any:
        """Remember this control under ``name``; a change of it refreshes the panel."""
        control.observe(self._changed, names="value")
        self.controls[name] = control
        return control

    def drop(self, name: str) -> None:
        """Forget a control that leaves the panel."""
        self.controls.pop(name).unobserve(self._changed, names="value")

    def button(self, label: str, action: Callable[[], None], main: bool = False, name: str = "") -> widgets.Button:
        """A button that runs one tested method; an error in it becomes the status line."""
        return controls.button(label, lambda: self.do(action), main, name)

    def do(self, action: Callable[[], None]) -> None:
        """Run the job of a button."""
        with self.desk.lock:
            try:
                action()
            except GlazekitError as error:
                self.tell(str(error), "stop")

    def tell(self, text: str, sign: str = "note") -> None:
        """Write the status line: plain text with a sign before it ("ok", "note", "look", "under", "stop", "open")."""
        self.said = text
        self.status.value = f'<b class="gk-sign" aria-hidden="true">{SIGNS[sign]}</b>{escape(text, quote=False)}'

    def tell_bags(self, materials: Iterable[str]) -> None:
        """Say which of these materials were counted by the analysis of the learner's own bag; nobody is left to wonder."""
        own = [self.desk.stock.find(name) for name in materials if name in self.desk.stock]
        labels = dict.fromkeys(material.label for material in own if material.kind == "bag")
        said = self.desk.frame("own_bags", bags="; ".join(labels))
        self.counted_with.value = f"<p>{escape(said)}</p>" if labels else ""

    def take_recipes(self) -> dict[str, Recipe]:
        """The recipes within reach; a file in my-recipes/ that cannot be read is named in the caution slot."""
        recipes, self.unread = recipes_at_hand(self.desk.folder)
        self.warn(())
        return recipes

    def keep_recipe(self, name: str) -> Any:
        """A choice of the recipes within reach, with the first one laid out; its label is the panel's text ``name``."""
        self.recipes = self.take_recipes()
        if self.first_recipe not in self.recipes:
            hint = nearest_name(self.first_recipe, self.recipes) or "-"
            raise RecipeError(self.desk.frame("no_recipe", name=self.first_recipe, hint=hint))
        return self.keep(name, controls.choose(self.words(name), self.recipes, self.first_recipe))

    def warn(self, texts: Iterable[str]) -> None:
        """Fill the caution slot; nothing empties it."""
        items = "".join(f"<li>{escape(text, quote=False)}</li>" for text in (*self.unread, *texts))
        word = escape(self.desk.frame("caution"))
        self.caution.value = f"<b>{SIGNS['look']} {word}</b><ul>{items}</ul>" if items else ""

    @contextmanager
    def hold(self) -> Iterator[None]:
        """Change controls without a refresh."""
        self._holds += 1
        try:
            yield
        finally:
            self._holds -= 1

    @contextmanager
    def one_refresh(self) -> Iterator[None]:
        """Change several controls and refresh once, at the end."""
        with self.hold():
            yield
        self.refresh()

    def when_paused(self, name: str, job: Callable[[], None]) -> None:
        """Run a heavy job once the learner has paused; of several under one name only the last is run.

        Where nothing can wait, as in a test or a script without an event loop, it runs at once.
        """
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self.do(job)
            return
        if name in self._waiting:
            self._waiting[name].cancel()
        self._waiting[name] = loop.call_later(PAUSE_S, self.do, job)

    # -- for everyone -------------------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Bring the panel up to date with its controls and remember them."""
        if self._holds:
            return
        with self.desk.lock:
            self._refresh()

    def _refresh(self) -> None:
        open_now = not self.after or "opened" in self.memory or self.desk.predicted(self.after)
        controls.show(self.body, open_now)
        controls.show(self.curtain, not open_now)
        try:
            with self.hold():
                self.offer()
            self.paint()
            self.box.remove_class("gk-stale")
        except GlazekitError as error:
            self.box.add_class("gk-stale")
            self.tell(str(error), "stop")
        self.when_paused("save", self._save)

    def open_curtain(self) -> None:
        """Open the panel without a prediction."""
        self.memory["opened"] = True
        self.refresh()

    def _changed(self, _: Any) -> None:
        self.refresh()

    def _save(self) -> None:
        now = deepcopy({"controls": {name: control.value for name, control in self.controls.items()}, "memory": self.memory})
        if self._kept is not None and now != self._kept:
            try:
                self.desk.state.put(self.kept_under or self.desk.lesson, self.key, now)
                stamp = self.desk.frame("saved", time=strftime("%H:%M")) if self.desk.kept else self.desk.frame("not_kept")
            except GlazekitError as error:
                stamp = str(error)
            self.title.value = self._heading(stamp)
        self._kept = now

    def _heading(self, stamp: str = "") -> str:
        note = f'<p class="gk-saved">{escape(stamp)}</p>' if stamp else ""
        return f"<h3>{escape(self.words('title'))}</h3>{note}"

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, Any]:
        bundle: dict[str, Any] = self.box._repr_mimebundle_()
        bundle["text/plain"] = repr(self)
        return bundle

    def __repr__(self) -> str:
        return f"<panel {self.name}>"
