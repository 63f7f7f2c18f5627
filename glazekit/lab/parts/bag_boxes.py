"""The analysis of a bag in boxes: powder, lot, date, an oxide a box; filled by hand, from a pasted line or from a file."""

from collections.abc import Mapping
from typing import Any

import ipywidgets as widgets

from glazekit.ground.errors import AnalysisError
from glazekit.ground.numbers import decimal_comma_in, parse_number, plain_text
from glazekit.lab.controls import row, stack, text_box
from glazekit.lab.panel import Panel
from glazekit.lab.parts.formula_words import name_of
from glazekit.materials.bags import FORM_OXIDES, bag_form, bags_from_text, date_of
from glazekit.materials.material import Material
from glazekit.materials.oxides import OXIDE_ORDER

LOI = "LOI"


class BagBoxes:
    """The boxes of one bag; they belong to a panel and refresh it. ``powders`` are offered, but another may be typed."""

    def __init__(self, panel: Panel, powders: list[str], first: str) -> None:
        words = self.words = panel.words
        powder = widgets.Combobox(value=first, options=tuple(powders), description=words("powder"), continuous_update=False)
        powder.style.description_width = "initial"
        powder.layout.width = "auto"
        self.powder = panel.keep("powder", powder)
        self.lot = panel.keep_text("lot")
        self.date = panel.keep_text("date")
        labels = {oxide: words("percent", oxide=name_of(oxide)) for oxide in FORM_OXIDES} | {LOI: words("loi_percent")}
        self.boxes = {oxide: panel.keep(f"oxide {oxide}", text_box(label)) for oxide, label in labels.items()}
        self.others = panel.keep_text("others", wide=True)
        self.widget = stack(
            row(self.powder, self.lot, self.date), row(*self.boxes.values(), css_class="gk-boxes"), row(self.others)
        )

    @property
    def blank(self) -> bool:
        """Does no box hold a number yet."""
        return not any(box.value.strip() for box in (*self.boxes.values(), self.others))

    def bag(self) -> Material:
        """The bag as the boxes say; AnalysisError or NumberError with one sentence when they do not make one."""
        typed = {oxide: box.value.strip() for oxide, box in self.boxes.items() if box.value.strip()}
        for oxide, text in self._others().items():
            if oxide in typed:
                raise AnalysisError(self.words("twice", oxide=oxide))
            typed[oxide] = text
        name = self.powder.value.strip()
        if not name:
            raise AnalysisError(self.words("no_powder"))
        comma = decimal_comma_in(typed.values())
        shares = {oxide: parse_number(text, f"{oxide} of {name}", comma) for oxide, text in typed.items()}
        loi = shares.pop(LOI, 0.0)
        facts = {"source": "bag", "status": "seen", "lot": self.lot.value.strip(), "analysed_on": date_of(self.date.value)}
        order = [oxide for oxide in (*OXIDE_ORDER, *shares) if oxide in shares]  # an unknown oxide is for Material to refuse
        oxides = tuple((oxide, shares[oxide]) for oxide in dict.fromkeys(order))
        return Material(name, "bag", oxides=oxides, loi_wt_pct_raw=loi, **facts)

    def _others(self) -> Mapping[str, str]:
        """Oxides without a box of their own, written as "SrO 1.2; MnO 0.1"."""
        found: dict[str, str] = {}
        for piece in filter(None, (piece.strip() for piece in self.others.value.split(";"))):
            oxide, _, number = piece.partition(" ")
            if not number.strip() or oxide in found:
                raise AnalysisError(self.words("other_unread", piece=piece))
            found[oxide] = number.strip()
        return found

    def lay(self, bag: Material) -> None:
        """Write a bag into the boxes; the panel refreshes them once."""
        shares: dict[str, Any] = dict(bag.oxides)
        self.powder.value, self.lot.value, self.date.value = bag.name, bag.lot, bag.analysed_on
        for oxide in FORM_OXIDES:
            self.boxes[oxide].value = plain_text(shares.pop(oxide)) if oxide in shares else ""
        self.boxes[LOI].value = plain_text(bag.loi_wt_pct_raw) if bag.loi_wt_pct_raw else ""
        self.others.value = "; ".join(f"{oxide} {plain_text(share)}" for oxide, share in shares.items())


def bags_pasted(text: str) -> tuple[Material, ...]:
    """Bags from pasted lines; without a line that names the columns they are read in the order of the form.

    >>> bags_pasted("my clay;7;;48,5;36,5;;;;;;;;;;;13,5")[0].oxides
    (('Al2O3', 36.5), ('SiO2', 48.5))
    """
    first = text.strip().partition("\n")[0]
    separator = next((mark for mark in ("\t", ";") if mark in first), ",")
    if "material" in [cell.strip(' "').casefold() for cell in first.split(separator)]:
        return bags_from_text(text.strip())
    return bags_from_text(bag_form().replace(",", separator) + text.strip("\r\n "))
