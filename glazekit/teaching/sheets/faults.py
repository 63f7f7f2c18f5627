"""What happened? Faults as they are seen, their likely causes, and the cheapest test first."""

from __future__ import annotations

from glazekit.ground.tables import Row, read_table
from glazekit.teaching.sheets.frame import heading, page
from glazekit.teaching.sheets.markup import Html, el
from glazekit.teaching.sheets.parts import caution, head_row
from glazekit.teaching.sheets.wording import listed, say


def what_happened_html() -> str:
    """The page of faults, from data/faults.csv."""
    return page(
        say("faults.title"),
        heading(say("faults.kind"), say("faults.title"), say("faults.facts")),
        caution(say("faults.caution_word"), listed("faults.cautions")),
        *(_fault(name, rows) for name, rows in faults().items()),
        el("p", say("faults.status"), class_="quiet plain-part"),
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
    lines = [
        el(
            "tr",
            el("th", row["likely_cause"], scope="row"),
            el("td", row["cheap_test"]),
            el("td", str(row["lesson"]), class_="num"),
        )
        for row in rows
    ]
    caption = el("caption", say("faults.caption", fault=name), class_="unseen")
    heads = head_row(listed("faults.columns"), ("", "", "num"))
    table = el("table", caption, heads, el("tbody", *lines), class_="faults")
    return el("section", el("h2", name[:1].upper() + name[1:]), el("p", rows[0]["seen"]), table, class_="fault")
