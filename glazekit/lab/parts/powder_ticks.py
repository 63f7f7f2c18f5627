"""Which powders may be used: a tick for each."""

from __future__ import annotations

from collections.abc import Iterable

from glazekit.lab.parts.movable_glaze import may_be_in_a_base
from glazekit.lab.parts.tick_list import TickList
from glazekit.materials.stock import Stock, course_stock

SHELF = (
    "soda feldspar",
    "potash feldspar",
    "nepheline syenite",
    "spodumene",
    "calcium borosilicate frit",
    "whiting",
    "wollastonite",
    "dolomite",
    "talc",
    "strontium carbonate",
    "zinc oxide",
    "kaolin",
    "ball clay",
    "calcined kaolin",
    "quartz",
)
"""What a class has on its shelf for bases, offered in this order; a few more powders are offered after them."""
MORE = (
    *("potash frit", "bentonite", "magnesium carbonate", "lithium carbonate"),
    *("petalite", "bone ash", "colemanite", "alumina hydrate"),
)


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
        self.offer({name: name for name in (*SHELF, *MORE, *own) if may_be_in_a_base(stock.find(name))}, ticked)
