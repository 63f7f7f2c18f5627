"""What happened? Faults as they are seen, their likely causes, and the cheapest test first."""

from __future__ import annotations

from glazekit.drawing.markup import Html, el
from glazekit.ground.tables import Row, read_table
from glazekit.sheets.frame import heading, page
from glazekit.sheets.parts import caution, head_row, sentence
from glazekit.sheets.wording import listed, say


def what_happened_html() -> str:
    """The page of faults, from data/faults.csv."""
    heads = head_row(listed("faults.columns"), ("", "", "num"))
    groups = (_fault(name, rows) for name, rows in faults().items())
    return page(
        say("faults.title"),
        heading(say("faults.kind"), say("faults.title"), say("faults.facts")),
        caution(say("faults.caution_word"), listed("faults.cautions")),
        el("table", el("caption", say("faults.status")), heads, *groups, class_="faults"),
    )


def faults() -> dict[str, list[Row]]:
    """Fault -> its rows of data/faults.csv, cheapest test first.

    >>> [row["lesson"] for row in faults()["ran"]][0]
    10
    """
    found: dict[str, list[Row]] = {}
    for row in sorted(read_table("faults"), key=lambda row: row["cheapest_first"]):
        found.setdefault(row["fault"], []).append(row)
    in_order = dict.fromkeys(row["fault"] for row in read_table("faults"))
    return {fault: found[fault] for fault in in_order}


def _fault(name: str, rows: list[Row]) -> Html:
    title = el("strong", sentence(name), class_="fault-name")
    seen = el("tr", el("th", title, " ", rows[0]["seen"], colspan="3", scope="rowgroup"), class_="seen")
    lines = [
        el(
            "tr",
            el("th", row["likely_cause"], scope="row"),
            el("td", row["cheap_test"]),
            el("td", str(row["lesson"]), class_="num"),
        )
        for row in rows
    ]
    return el("tbody", seen, *lines)
