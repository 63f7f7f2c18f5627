"""What every panel shares: a title, controls that remember themselves, a status line, a caution slot, one ``refresh``."""

import asyncio
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from copy import deepcopy
from time import strftime
from typing import Any, Self

import ipywidgets as widgets
import traitlets

from glazekit.drawing.markup import Html, el
from glazekit.drawing.strokes import SIGNS
from glazekit.folder.entry import Entry
from glazekit.folder.shelf import recipes_at_hand, save_recipe
from glazekit.ground.errors import BookError, GlazekitError, RecipeError, nearest_name
from glazekit.ground.numbers import parse_mass_g, parse_volume_ml
from glazekit.lab import controls
from glazekit.lab.browser import SpokenNames
from glazekit.lab.desk import Desk
from glazekit.lab.prose import listed, paragraphs, small, strong
from glazekit.recipe.reading import name_of_today
from glazekit.recipe.recipe import Recipe
from glazekit.words.texts import panel_words

Children = Iterable[widgets.Widget]
"""What stands in a panel, top to bottom."""
PAUSE_S = 0.3
"""A learner who has not moved anything for this long has paused: time for heavy work and for saving."""
CHOICES_DEEP = 3
"""A choice may hang on a choice that hangs on a choice: so many rounds give every control its saved value."""


class Panel:
    """Base of all panels. Its life: made with its options, then opened: built, restored and shown, once each and in this order.

    A panel says what it is made of in ``build``, what can be chosen just now in ``offer``, and what it shows in ``paint``.

    It stands at a ``desk``, which gives it texts, saved state, the book and the learner's settings. Its controls are remembered
    under ``key``, by default its name. ``after`` is the id of a prediction to be made before it opens; the learner may also open
    it without. ``first`` is what lies on it, where that is not as usual: ``recipe="..."`` where there is a ``first_recipe``.

    Class attributes: ``name``, as lessons call it; ``home``, the lesson whose TOML holds its texts; ``kept_under``, under which
    page its controls are remembered when that is not the lesson it stands on; ``one_thing``, what is remembered together or not
    at all, such as the name of a recipe and its lines; ``first_...``, what usually lies on it at first.

    A change of any control calls ``refresh`` and nothing else. A GlazekitError in it becomes the status line and dims what is out
    of date, every other error is a fault of ours and is not hidden.
    """

    name = "panel"
    home = "01"
    kept_under = ""
    one_thing: tuple[str, ...] = ()
    first_recipe = ""

    def __init__(self, desk: Desk, key: str = "", after: str = "", **first: Any) -> None:
        self.desk, self.key, self.after = desk, key or self.name, after
        for name, value in first.items():
            if not hasattr(self, f"first_{name}"):
                raise TypeError(f"the panel {self.name!r} has nothing that is called {name!r}")
            setattr(self, f"first_{name}", value)
        self.words = panel_words(self.home, self.name)
        self.controls: dict[str, Any] = {}
        self.memory: dict[str, Any] = {}
        self.unread: tuple[str, ...] = ()
        self._kept: dict[str, Any] | None = None
        self._news: tuple[str, ...] = ()
        self._recorded: dict[str, Any] = {}
        self._holds = 0
        self._waiting: dict[str, asyncio.TimerHandle] = {}
        self.title = controls.html(css_class="gk-title")
        self.status, self.caution = controls.html(css_class="gk-status"), controls.html(css_class="gk-caution")
        self.counted_with = controls.html(css_class="gk-own-bags")
        self.body, self.curtain = controls.stack(), controls.stack()
        self.box = controls.stack(SpokenNames(), self.title, self.curtain, self.body, css_class="gk-panel")

    def open(self) -> Self:
        """Build the panel, give its controls back what they held, and show it; the page calls this once."""
        self.title.value = self._heading()
        self.body.children = (*self.build(), self.status, self.counted_with, self.caution)
        self.curtain.children = (
            controls.html(paragraphs(self.desk.frame("curtain"))),
            controls.button(self.desk.frame("open_anyway"), self.open_curtain),
        )
        self._restore()
        self.desk.join(self)
        self.refresh()
        return self

    def build(self) -> Children:
        """Make the controls, each through ``keep``, as they stand at first; return what stands on the panel, top to bottom."""
        raise NotImplementedError

    def offer(self) -> None:
        """Bring what can be chosen up to date, where that hangs on other controls, the book or the folder; refreshes nothing."""

    def paint(self) -> None:
        """Read the controls, compute, show, and ``tell`` what it means."""
        raise NotImplementedError

    def _restore(self) -> None:
        saved = self.desk.state.get(self.kept_under or self.desk.lesson, self.key, {})
        self.memory.update(saved.get("memory", {}))
        values = saved.get("controls", {})
        with self.hold():
            for _ in range(CHOICES_DEEP):
                with suppress(GlazekitError):  # what is wrong with the controls is told by the refresh that follows
                    self.offer()
                for name, control in self.controls.items():
                    held = values.get(name, control.value)
                    try:
                        control.value = held
                    except (traitlets.TraitError, TypeError, ValueError):
                        with suppress(traitlets.TraitError):  # no longer offered: the start value stays, in plain sight
                            control.value = name_of_today(held) if isinstance(held, str) else control.value

    def keep(self, name: str, control: Any) -> Any:
        """Remember this control under ``name``; a change of it refreshes the panel."""
        control.observe(self._changed, names="value")
        self.controls[name] = control
        return control

    def keep_text(self, name: str, value: str = "", wide: bool = False) -> Any:
        """A text box under the panel's text ``name``; the same for a choice, a pick, a tick and a slider."""
        return self.keep(name, controls.text_box(self.words(name), value, wide=wide))

    def keep_choice(self, name: str, options: Iterable[Any], value: Any = None) -> Any:
        """One of several, folded up."""
        return self.keep(name, controls.choose(self.words(name), options, value))

    def keep_pick(self, name: str, options: Iterable[Any], value: Any = None) -> Any:
        """One of several, all in sight; the question stands above it."""
        return self.keep(name, controls.pick(self.words(name), options, value))

    def keep_tick(self, name: str, value: bool = False) -> Any:
        """A tick box."""
        return self.keep(name, controls.tick(self.words(name), value))

    def keep_slider(
        self, name: str, value: float, low: float, high: float, step: float, log: bool = False, mass: bool = False
    ) -> Any:
        """A slider with its number box, into which a ``mass`` can be typed with its unit."""
        label = self.words(name)
        read = (lambda text: parse_mass_g(text, label)) if mass else None
        return self.keep(name, controls.SliderWithBox(label, value, low, high, step, log, read))

    def keep_recipe(self, name: str, none: str = "") -> Any:
        """A choice of the recipes within reach: ``first_recipe`` at first, or none of them, called by the text ``none``."""
        self.recipes = self.take_recipes()
        if none:
            return self.keep_choice(name, [(self.words(none), ""), *self.recipes])
        self.need_recipe(self.first_recipe, self.recipes)
        return self.keep_choice(name, self.recipes, self.first_recipe)

    def need_recipe(self, name: str, recipes: Iterable[str]) -> None:
        """Refuse a recipe that is not there, with the nearest name."""
        if name not in recipes:
            raise RecipeError(self.desk.frame("no_recipe", name=name, hint=nearest_name(name, recipes) or "-"))

    def mass_g(self, name: str) -> float:
        """The mass in the text box of this name [g]."""
        return parse_mass_g(self.controls[name].value, self.words(name))

    def volume_ml(self, name: str) -> float:
        """The volume in the text box of this name [mL]."""
        return parse_volume_ml(self.controls[name].value, self.words(name))

    def texts(self, *names: str) -> tuple[str, ...]:
        """Several of the panel's texts, such as the heads of a table."""
        return tuple(self.words(name) for name in names)

    def strong(self, name: str) -> widgets.Widget:
        """The panel's text ``name`` in bold, such as the question over a pick."""
        return controls.html(strong(self.words(name)))

    def drop(self, name: str) -> None:
        """Forget a control that leaves the panel."""
        self.controls.pop(name).unobserve(self._changed, names="value")

    def button(self, label: str, action: Callable[[], None], main: bool = False, name: str = "") -> widgets.Button:
        """A button that runs one tested method; an error in it becomes the status line."""
        return controls.button(label, lambda: self.press(action), main, name)

    def buttons(self, *jobs: tuple[str, Callable[[], None]], main: bool = False) -> widgets.HBox:
        """Buttons side by side, each with the name of its text and its job; the first may be the ``main`` one."""
        return controls.row(*(self.button(self.words(name), job, main and not i) for i, (name, job) in enumerate(jobs)))

    def press(self, action: Callable[[], None]) -> None:
        """Run the job of a button; what was written before is told no longer."""
        self._news = ()
        self.do(action)

    def do(self, action: Callable[[], None]) -> None:
        """Run a job; an error in it becomes the status line."""
        with self.desk.lock:
            try:
                action()
            except GlazekitError as error:
                self.tell(str(error), "stop")

    def tell(self, text: str, sign: str = "note") -> None:
        """Write the status line: plain text with a sign before it ("ok", "note", "look", "under", "stop", "open")."""
        self.said = text
        self.status.value = el("b", SIGNS[sign], class_="gk-sign", aria_hidden="true") + text

    def record(self, kind: str, **data: Any) -> Entry:
        """Write an entry into the book; the one this panel wrote last a second time only when the button is pressed again."""
        if self._recorded == {"kind": kind, **data}:
            self._recorded = {}
            raise BookError(self.desk.frame("already_written"))
        entry = self.desk.book.add(kind, **data)
        self._recorded = {"kind": kind, **data}
        return entry

    def written(self, text: str, stops: Iterable[str] = ()) -> None:
        """Say that something is in the book now, and what speaks against it; it stays said until something is moved here."""
        stop = " ".join(dict.fromkeys(stops))
        self._news = (self.desk.frame("written_stopped", why=stop), "stop") if stop else (text, "ok")
        self.refresh()
        self.desk.refresh_others(self)

    def save_recipe(self, recipe: Recipe) -> str:
        """Save a recipe as a new CSV file in my-recipes/, say so, and return the file's name."""
        path = save_recipe(self.desk.folder, recipe)
        file = f"{path.parent.name}/{path.name}"
        self.tell(self.desk.frame("recipe_saved", file=file), "ok")
        return file

    def tell_bags(self, materials: Iterable[str]) -> None:
        """Say which of these materials were counted by the analysis of the learner's own bag; nobody is left to wonder."""
        own = [self.desk.stock.find(name) for name in materials if name in self.desk.stock]
        labels = dict.fromkeys(material.label for material in own if material.kind == "bag")
        self.counted_with.value = paragraphs(self.desk.frame("own_bags", bags="; ".join(labels)) if labels else "")

    def take_recipes(self) -> dict[str, Recipe]:
        """The recipes within reach; a file in my-recipes/ that cannot be read is named in the caution slot."""
        recipes, self.unread = recipes_at_hand(self.desk.folder)
        self.warn(())
        return recipes

    def warn(self, texts: Iterable[str]) -> None:
        """Fill the caution slot; nothing empties it."""
        items = listed((*self.unread, *texts))
        self.caution.value = el("b", f"{SIGNS['look']} {self.desk.frame('caution')}") + items if items else ""

    @contextmanager
    def hold(self) -> Iterator[None]:
        """Change controls without a refresh."""
        self._holds += 1
        try:
            yield
        finally:
            self._holds -= 1

    def offer_anew(self, box: Any, options: Iterable[Any]) -> None:
        """Other options for a drop-down or a pick, without a refresh."""
        with self.hold():
            controls.offer_anew(box, options)

    @contextmanager
    def one_refresh(self) -> Iterator[None]:
        """Change several controls and refresh once, at the end."""
        with self.hold():
            yield
        self.refresh()

    def when_paused(self, name: str, job: Callable[[], None]) -> None:
        """Run a heavy job once the learner has paused; of several under one name only the last is run. Where nothing can wait, as
        in a test or a script without an event loop, it runs at once."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self.do(job)
            return
        if name in self._waiting:
            self._waiting[name].cancel()
        self._waiting[name] = loop.call_later(PAUSE_S, self.do, job)

    def refresh(self) -> None:
        """Bring the panel up to date with its controls and remember them."""
        if self._holds:
            return
        with self.desk.lock:
            open_now = not self.after or "opened" in self.memory or self.desk.predicted(self.after)
            controls.show(self.body, open_now)
            controls.show(self.curtain, not open_now)
            try:
                with self.hold():
                    self.offer()
                self.paint()
                if self._news:
                    self.tell(*self._news)
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
        if not self._holds:
            self._news = ()
            self.refresh()

    def _save(self) -> None:
        now = deepcopy({"controls": {name: control.value for name, control in self.controls.items()}, "memory": self.memory})
        if self._kept is not None and now != self._kept:
            try:
                before = self._kept
                if any(now[part].get(name) != before[part].get(name) for part in now for name in self.one_thing):
                    before = {part: {n: v for n, v in then.items() if n not in self.one_thing} for part, then in before.items()}
                self.desk.state.merge(self.kept_under or self.desk.lesson, self.key, before, now)
                self._stamp()
            except GlazekitError as error:
                self.title.value = self._heading(str(error))
        self._kept = now

    def _stamp(self) -> None:
        """Say in the title that what was just done is saved, or that nothing is kept here."""
        saved = self.desk.frame("saved", time=strftime("%H:%M")) if self.desk.kept else self.desk.frame("not_kept")
        self.title.value = self._heading(saved)

    def _heading(self, stamp: str = "") -> Html:
        return el("h3", self.words("title")) + small(stamp)

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, Any]:
        bundle: dict[str, Any] = self.box._repr_mimebundle_()
        bundle["text/plain"] = repr(self)
        return bundle

    def __repr__(self) -> str:
        return f"<panel {self.name}>"
