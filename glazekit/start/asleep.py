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
        awake = [output for output in outputs if PANEL in output.get("data", {})]
        if awake:
            cell["outputs"] = [output for output in outputs if output not in awake]
            cell["execution_count"] = None
    model["content"]["metadata"].pop("widgets", None)
