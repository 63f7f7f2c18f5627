"""Glossary: every word and sign of the course in plain words, with a box to find one."""

from unicodedata import normalize

from glazekit.drawing.markup import Html, el, join
from glazekit.lab.controls import html, row
from glazekit.lab.panel import Children, Panel
from glazekit.lab.prose import listed
from glazekit.words.course import course, glossary


class Glossary(Panel):
    """The words in the order of the alphabet; words of lessons that are still to come show on request."""

    name = "glossary"
    home = "00"

    def build(self) -> Children:
        """A box to find a word, a tick for later lessons, the list."""
        self.find = self.keep_text("find", wide=True)
        self.later = self.keep_tick("later")
        self.list = html(css_class="gk-words")
        return row(self.find, self.later), self.list

    def paint(self) -> None:
        """List the words that fit; a word that is sought is found in later lessons too."""
        here = {lesson.number for lesson in course() if lesson.notebook}
        sought = _sought(self.find.value)
        found = [
            entry
            for entry in sorted(glossary(), key=lambda entry: entry["term"].casefold())
            if (sought or self.later.value or entry["lesson"] in here)
            and sought in _sought(f"{entry['term']} {entry['sign']} {entry['meaning']}")
        ]
        self.list.value = listed(self._entry(entry) for entry in found)
        if found:
            self.tell(self.words("found", count=len(found)), "note")
        else:
            self.tell(self.words("nothing", sought=self.find.value.strip()), "open")

    def _entry(self, entry: dict[str, str]) -> Html:
        sign = f" ({entry['sign']})" if entry["sign"] and entry["sign"] != entry["term"] else ""
        lesson = el("span", self.words("lesson", number=int(entry["lesson"])), class_="gk-saved")
        return join(el("b", entry["term"], sign), " ", lesson, el("br"), entry["meaning"])


def _sought(text: str) -> str:
    """A text as it is compared: no case, and a number set low is the number that people type.

    >>> _sought(" SiO₂ ")
    'sio2'
    """
    return normalize("NFKC", text).strip().casefold()
