"""What a panel works at: the learner's folder with its book, state and analyses, and the lesson's texts. No widgets here."""

from pathlib import Path
from threading import RLock
from typing import Protocol
from weakref import WeakSet

from glazekit.folder.book import Book
from glazekit.folder.shelf import stock_with_bags
from glazekit.folder.state import State, is_kept
from glazekit.ground.errors import RangeError
from glazekit.ground.numbers import parse_number
from glazekit.materials.stock import Stock, course_stock
from glazekit.words.texts import part_words


def whole_text(said: object) -> str:
    """What was typed, without blanks around it and without half a character, as a browser may send."""
    return str(said).encode("utf-8", "ignore").decode().strip()


class Follower(Protocol):
    """What stands at a desk and can be brought up to date: a panel."""

    def refresh(self) -> None:
        """Show what holds now."""


class Desk:
    """One lesson, such as "01", in one learner's folder, which holds book/, state/, my-recipes/, my-bags/ and prints/."""

    def __init__(self, lesson: str, folder: Path) -> None:
        self.lesson, self.folder = lesson, folder
        self.lock = RLock()  # some set-ups hear each control in a thread of its own; one change is worked through at a time
        self.state = State(folder)
        self.book = Book(folder / "book")
        self.kept = is_kept(folder)
        self.frame = part_words("frame")
        self._followers: WeakSet[Follower] = WeakSet()
        self._stock: Stock | None = None

    @property
    def me(self) -> dict[str, str]:
        """What the learner wrote in the settings strip: nickname, class_code, scale_division_g; empty text where nothing yet. Who
        somebody is stands in the book; a folder of an earlier course has it among the settings."""
        controls = self.state.get("me", "settings", {}).get("controls")
        learners = self.book.entries("learner")
        said = {**(controls if isinstance(controls, dict) else {}), **(learners[-1].data if learners else {})}
        return {name: whole_text(said.get(name, "")) for name in ("nickname", "class_code", "scale_division_g")}

    @property
    def scale_division_g(self) -> float:
        """Smallest step of the learner's scale [g]; 0.1 until they say otherwise."""
        written = self.me["scale_division_g"] or "0.1"
        division = parse_number(written, what=self.frame("scale_step"))
        if not 0.001 <= division <= 50:
            raise RangeError(self.frame("scale_step_outside", written=written))
        return division

    @property
    def own_bags(self) -> bool:
        """Did the learner say that their own bags count, in place of the course's analyses."""
        return bool(self.state.get("me", "own bags", False))

    def count_own_bags(self, wanted: bool) -> None:
        """Count with the learner's own bags from now on, on every page, or with the course's analyses again."""
        self.state.put("me", "own bags", wanted)
        self._stock = None

    @property
    def stock(self) -> Stock:
        """The analyses that every panel counts with; read once, and again after ``count_own_bags``."""
        if self._stock is None:
            self._stock = stock_with_bags(self.folder)[0] if self.own_bags else course_stock()
        return self._stock

    def predicted(self, prediction_id: str) -> bool:
        """Has the learner made this prediction?"""
        return any(entry.data["prediction"] == prediction_id for entry in self.book.entries("prediction"))

    def join(self, panel: Follower) -> None:
        """A panel tells that it stands here."""
        self._followers.add(panel)

    def leave(self, panel: Follower) -> None:
        """A panel is taken away."""
        self._followers.discard(panel)

    def refresh_others(self, panel: Follower) -> None:
        """Bring the other panels up to date, after ``panel`` changed something they show."""
        for other in list(self._followers):
            if other is not panel:
                other.refresh()
