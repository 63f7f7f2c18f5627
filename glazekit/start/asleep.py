"""Pages go to the disk asleep: what panels showed is not saved with them, so that a page opens calm on another day.

A saved panel is only a name: the Python that gave it life is gone by then, and the page would show an error in its place.
What the learner wrote, and what their own cells printed, is saved as it stands.
"""

from collections.abc import Mapping
from typing import Any

PANEL = "application/vnd.jupyter.widget-view+json"


def put_to_sleep(model: Mapping[str, Any], **_: Any) -> None:
    """Take the panels out of a page that is about to be saved; the lesson server calls this with what it will write."""
    if model["type"] != "notebook":
        return
    for cell in model["content"]["cells"]:
        outputs = cell.get("outputs", [])
        if any(PANEL in output.get("data", {}) for output in outputs):
            cell["outputs"], cell["execution_count"] = [calm for output in outputs if (calm := _calm(output))], None
    model["content"]["metadata"].pop("widgets", None)


def _calm(output: Mapping[str, Any]) -> Mapping[str, Any] | None:
    """An output without its panel; None where nothing is left but the panel's name."""
    shown = output.get("data", {})
    if PANEL not in shown:
        return output
    left = {kind: content for kind, content in shown.items() if kind != PANEL}
    return {**output, "data": left} if left.keys() - {"text/plain"} else None
