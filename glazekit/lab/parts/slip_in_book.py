"""The part of a panel that writes a slip's water into the book: which batch or bucket it belongs to, and the button."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from glazekit.ground.errors import BookError
from glazekit.lab.controls import choose, row, show, text_box
from glazekit.lab.panel import Panel
from glazekit.words.texts import part_words


class SlipInBook:
    """A choice of the batches in the book, a name for a bucket that is in none, and "write it down".

    Parameters
    ----------
    panel : the panel it belongs to; its texts "write" and "written" say what is written.
    slip_data : gives the fields of a water entry without batch and bucket.
    """

    def __init__(self, panel: Panel, slip_data: Callable[[], Mapping[str, object]]) -> None:
        self.panel, self.slip_data, self.words = panel, slip_data, part_words("slip_in_book")
        self.batch = panel.keep("batch", choose(self.words("which_batch"), self._batches(), self._newest()))
        self.bucket_name = panel.keep("bucket_name", text_box(self.words("bucket_name"), wide=True))
        self.widget = row(self.batch, self.bucket_name, panel.button(panel.words("write"), self.write, main=True))

    def _batches(self) -> list[tuple[str, str]]:
        entries = self.panel.desk.book.entries("batch")
        named = [(f"{entry.data['recipe']['name']}, {entry.when:%d %b %H:%M}", entry.id) for entry in reversed(entries)]
        return [*named, (self.words("no_batch"), "")]

    def _newest(self) -> str:
        return self._batches()[0][1]

    def offer(self) -> None:
        """Bring the list of batches up to date; ask for a name only when none is chosen."""
        options, chosen = tuple(self._batches()), self.batch.value
        if options != self.batch.options:
            with self.panel.hold():
                self.batch.options = options
                self.batch.value = chosen if chosen in [value for _, value in options] else ""
        show(self.bucket_name, not self.batch.value)

    def write(self) -> None:
        """Add a water entry to the book."""
        name = self.bucket_name.value.strip()
        if not self.batch.value and not name:
            raise BookError(self.words("name_it"))
        where = {"batch": self.batch.value} if self.batch.value else {"bucket": name}
        self.panel.desk.book.add("water", **where, **self.slip_data())
        self.panel.tell(self.panel.words("written"), "ok")
        self.panel.desk.refresh_others(self.panel)
