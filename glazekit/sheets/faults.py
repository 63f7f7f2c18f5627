"""What happened? Faults as they are seen, their likely causes, and the cheapest test first."""

from glazekit.drawing.markup import Html, el
from glazekit.ground.tables import Row, read_table
from glazekit.sheets.catalogue import printed_as
from glazekit.sheets.frame import Say, sheet_page
from glazekit.sheets.parts import num, row, sentence, table, warning

_SAY = Say("faults")


@printed_as("what happened")
def what_happened_html() -> str:
    """The page of faults, from data/faults.csv."""
    groups = (_fault(name, rows) for name, rows in faults().items())
    return sheet_page(
        _SAY,
        warning(_SAY),
        table(_SAY("status"), _SAY.all("columns"), *groups, class_="faults", head_classes=("", "", "num")),
    )


def faults() -> dict[str, list[Row]]:
    """Fault -> its rows of data/faults.csv, cheapest test first.

    >>> [row["lesson"] for row in faults()["ran"]][0]
    10
    """
    found: dict[str, list[Row]] = {cause["fault"]: [] for cause in read_table("faults")}
    for cause in sorted(read_table("faults"), key=lambda cause: cause["cheapest_first"]):
        found[cause["fault"]].append(cause)
    return found


def _fault(name: str, causes: list[Row]) -> list[Html]:
    title = el("strong", sentence(name), class_="fault-name")
    seen = el("tr", el("th", title, " ", causes[0]["seen"], colspan=3, scope="rowgroup"), class_="seen")
    return [seen, *(row(cause["likely_cause"], cause["cheap_test"], num(str(cause["lesson"]))) for cause in causes)]
