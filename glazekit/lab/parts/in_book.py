"""The parts of panels that write into the book: a slip with its batch or bucket; a fired tile and what was seen on it."""

from collections.abc import Callable, Mapping
from typing import Any

from glazekit.folder.book import Book
from glazekit.folder.fired import FiredTile, fired_tiles, say_look
from glazekit.folder.glaze import glaze_as_used
from glazekit.folder.kinds import APPLICATIONS, MOMENTS
from glazekit.ground.errors import BookError
from glazekit.ground.numbers import parse_number
from glazekit.lab.controls import choose, row, show, stack, text_box
from glazekit.lab.panel import Panel
from glazekit.recipe.recipe import Recipe
from glazekit.words.texts import part_words

NEW, ON_THE_BENCH = "new", "bench"
FATES = ("crazed", "flaked", "whole")
"""What a fit test can find, the worst first."""
BASE_G = 100.0


class SlipInBook:
    """A slip: a choice of the batches in the book, a name for a bucket that is in none, and "write it down". ``slip_data`` gives
    the fields of a water entry without batch and bucket; the panel's texts "write" and "written" say what is written. The panel
    calls ``offer`` in ``paint``."""

    def __init__(self, panel: Panel, slip_data: Callable[[], Mapping[str, object]]) -> None:
        self.panel, self.slip_data, self.words = panel, slip_data, part_words("slip_in_book")
        batches = self._batches()
        self.batch = panel.keep("batch", choose(self.words("which_batch"), batches, batches[0][1]))
        self.bucket_name = panel.keep("bucket_name", text_box(self.words("bucket_name"), wide=True))
        self.widget = row(self.batch, self.bucket_name, panel.button(panel.words("write"), self.write, main=True))

    def _batches(self) -> list[tuple[str, str]]:
        return [*_batches(self.panel.desk.book), (self.words("no_batch"), "")]

    def offer(self) -> None:
        """Bring the list of batches up to date; ask for a name only when none is chosen."""
        self.panel.offer_anew(self.batch, self._batches())
        show(self.bucket_name, not self.batch.value)

    def write(self) -> None:
        """Add a water entry to the book."""
        name = self.bucket_name.value.strip()
        if not self.batch.value and not name:
            raise BookError(self.words("name_it"))
        where = {"batch": self.batch.value} if self.batch.value else {"bucket": name}
        self.panel.record("water", **where, **self.slip_data())
        self.panel.written(self.panel.words("written"))


def _batches(book: Book) -> list[tuple[str, str]]:
    """The batches of a book, newest first: glaze, the name on the bucket, when it was weighed; and their ids."""
    found = []
    for entry in reversed(book.entries("batch")):
        said = (entry.data["recipe"]["name"], entry.data.get("label"), f"{entry.when:%d %b %H:%M}")
        found.append((", ".join(filter(None, said)), entry.id))
    return found


class TileInBook:
    """A fired tile: its glaze, its clay, how it was glazed and what was seen; the panel calls ``follow_book`` in ``paint``.
    ``recipe`` gives the glaze as it lies on the panel. A new tile becomes a batch (unless it comes from one of the book), a tile
    and a result; another look at a tile that is there becomes a result alone."""

    def __init__(self, panel: Panel, recipe: Callable[[], Recipe]) -> None:
        self.panel, self.recipe = panel, recipe
        self.words = words = part_words("tile_in_book")
        self.which = choose(words("which"), self._tiles_on_offer())
        self.glaze = choose(words("batch"), self._glazes_on_offer())
        self.label = text_box(words("label"))
        self.body = text_box(words("body"))
        self.application = choose(words("application"), [(words(way), way) for way in APPLICATIONS])
        self.dip_s = text_box(words("dip_s"))
        self.seen = choose(words("seen"), [(words("say"), ""), *((words(fate), fate) for fate in FATES)])
        self.when = choose(words("when"), [(part_words("looks")(moment), moment) for moment in MOMENTS])
        self.of_a_new_tile = stack(row(self.glaze), row(self.label, self.body), row(self.application, self.dip_s))
        self.widget = stack(
            row(self.which),
            self.of_a_new_tile,
            row(self.seen, self.when),
            row(panel.button(words("write"), self.write)),
        )
        for box in (self.which, self.application):
            box.observe(self._lay_out, names="value")
        self._lay_out()

    def follow_book(self) -> None:
        """Offer what the book holds now."""
        self.panel.offer_anew(self.which, self._tiles_on_offer())
        self.panel.offer_anew(self.glaze, self._glazes_on_offer())

    def write(self) -> None:
        """Into the book; nothing is written while something is missing."""
        is_new, words = self.which.value == NEW, self.words
        needed = {"label": self.label.value, "body": self.body.value} if is_new else {}
        if is_new and self.application.value == "dip":
            needed["dip_s"] = self.dip_s.value
        missing = [words(name) for name, text in (needed | {"seen": self.seen.value}).items() if not text.strip()]
        if missing:
            raise BookError(self.panel.desk.frame("say_first", what=", ".join(f"“{name}”" for name in missing)))
        tile_id, label = self._new_tile() if is_new else (self.which.value, self._tiles[self.which.value].label)
        entry = self.panel.desk.book.add("result", tile=tile_id, fate=self.seen.value, looked=self.when.value)
        self.seen.value, self.label.value = "", ""
        self.panel.written(words("written", label=label, seen=say_look(entry.data)))

    def _new_tile(self) -> tuple[str, str]:
        book, words = self.panel.desk.book, self.words
        data: dict[str, Any] = {name: getattr(self, name).value.strip() for name in ("label", "body", "application")}
        if data["application"] == "dip":
            data["dip_s"] = parse_number(self.dip_s.value, what=words("dip_s"), unit="s")
            if not data["dip_s"] > 0:
                raise BookError(self.panel.desk.frame("say_first", what=f"“{words('dip_s')}”"))
        batch = self.glaze.value
        if batch == ON_THE_BENCH:
            batch = book.add("batch", **glaze_as_used(self.recipe(), self.panel.desk.stock), base_g=BASE_G).id
        return book.add("tile", **data, batch=batch).id, data["label"]

    def _tiles_on_offer(self) -> list[tuple[str, str]]:
        self._tiles: dict[str, FiredTile] = {tile.id: tile for tile in fired_tiles(self.panel.desk.book)[0]}
        texts = [self.words("again", label=tile.label, name=tile.recipe.name) for tile in self._tiles.values()]
        return [(self.words("new_tile"), NEW), *zip(texts, self._tiles, strict=True)]

    def _glazes_on_offer(self) -> list[tuple[str, str]]:
        """The glaze on the bench, then the batches of the book, newest first."""
        return [(self.words("as_it_lies"), ON_THE_BENCH), *_batches(self.panel.desk.book)]

    def _lay_out(self, _: Any = None) -> None:
        show(self.of_a_new_tile, self.which.value == NEW)
        show(self.dip_s, self.application.value == "dip")
