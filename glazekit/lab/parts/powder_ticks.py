"""Which powders may be used: a tick for each."""

from __future__ import annotations

from collections.abc import Iterable

from glazekit.lab.parts.movable_glaze import may_be_in_a_base
from glazekit.lab.parts.tick_list import TickList
from glazekit.materials.stock import Stock, course_stock
from glazekit.words.texts import part_words

SHELF: tuple[str, ...] = tuple(part_words("powder_ticks").texts["shelf"])
"""What a class has on its shelf for bases, offered in this order; a few more powders are offered after them."""


class PowderTicks(TickList):
    """A tick box for each powder of the shelf; what only the learner has comes last.

    Parameters
    ----------
    stock : the analyses the page counts with.
    ticked : names that are ticked at first.
    """

    def __init__(self, stock: Stock, ticked: Iterable[str]) -> None:
        super().__init__()
        own = [material.name for material in stock if material.kind == "bag" and material.name not in course_stock()]
        names = (*SHELF, *part_words("powder_ticks").texts["more"], *own)
        self.offer({name: name for name in names if may_be_in_a_base(stock.find(name))}, ticked)
