"""The twelve steps of the first batch on one page, the dust moments marked."""

from glazekit.drawing.markup import el
from glazekit.sheets.catalogue import Sheet
from glazekit.sheets.frame import Say, sheet_page, words
from glazekit.sheets.parts import caution, paragraphs

_SAY = Say("step_card")


def step_card_html() -> str:
    """The card to hang above the bench."""
    steps = words("step_card.steps")
    dusty = [step for step in steps if "dust" in step]
    items = []
    for step in steps:
        mark = _SAY("dust", number=dusty.index(step) + 1, count=len(dusty)) if step in dusty else ""
        body = el("p", el("strong", step["title"]), " ", step["text"])
        items.append(el("li", el("span", class_="box"), el("div", body, caution(mark, [step["dust"]] if mark else []))))
    rules = el("section", paragraphs(_SAY.all("rules")), class_="framed")
    return sheet_page(_SAY, el("ol", *items, class_="steps"), rules)


SHEET = Sheet("step card", step_card_html)
