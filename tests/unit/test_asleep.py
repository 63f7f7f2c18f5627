"""Pages are saved without their panels, and with everything a learner wrote."""

from __future__ import annotations

import os
from copy import deepcopy
from pathlib import Path
from typing import Any

import nbformat
from jupyter_server.services.contents.filemanager import FileContentsManager
from traitlets.config import JSONFileConfigLoader

from glazekit.start.asleep import PANEL, put_to_sleep
from glazekit.start.server_settings import jupyter_settings


def page() -> dict[str, Any]:
    """A page with the opening cell, a panel, a cell of the learner's own with what it printed, and a text of theirs."""
    panel = {"output_type": "display_data", "metadata": {}, "data": {PANEL: {"model_id": "x"}, "text/plain": "<panel>"}}
    printed = {"output_type": "stream", "name": "stdout", "text": "3.4\n"}
    shown = {"open()": [], "page.panel()": [panel], "print(3.4)": [printed, panel]}
    cells: list[dict[str, Any]] = [
        {"cell_type": "code", "id": source[:4], "metadata": {}, "source": source, "execution_count": 1, "outputs": outputs}
        for source, outputs in shown.items()
    ]
    cells.append({"cell_type": "markdown", "id": "d", "metadata": {}, "source": "my *own* words"})
    return {"cells": cells, "metadata": {"widgets": {PANEL: {}}}, "nbformat": 4, "nbformat_minor": 5}


def test_panels_go_and_what_the_learner_wrote_stays() -> None:
    content, before = page(), page()
    put_to_sleep(model={"type": "notebook", "content": content}, path="x.ipynb")
    assert [len(cell.get("outputs", [])) for cell in content["cells"]] == [0, 0, 1, 0]
    assert [cell.get("execution_count") for cell in content["cells"]] == [1, None, None, None], "what sleeps has not run"
    assert content["cells"][2]["outputs"] == before["cells"][2]["outputs"][:1]
    assert [cell["source"] for cell in content["cells"]] == [cell["source"] for cell in before["cells"]]
    assert content["cells"][3] == before["cells"][3] and "widgets" not in content["metadata"]


def test_other_files_pass_untouched() -> None:
    model = {"type": "file", "format": "text", "content": "quartz,25"}
    before = deepcopy(model)
    put_to_sleep(model=model, path="x.csv")
    assert model == before


def test_the_lesson_server_saves_pages_so(tmp_path: Path) -> None:
    shipped = jupyter_settings(tmp_path)["JUPYTER_CONFIG_PATH"].split(os.pathsep)[0]
    config = JSONFileConfigLoader("jupyter_server_config.json", shipped).load_config()
    manager = FileContentsManager(root_dir=str(tmp_path), config=config)
    manager.save({"type": "notebook", "format": "json", "content": page()}, "/evening.ipynb")
    saved = nbformat.read(tmp_path / "evening.ipynb", as_version=4)
    assert PANEL not in str(saved) and "my *own* words" in str(saved)


def test_only_the_panel_goes_from_what_was_shown_in_several_forms() -> None:
    own = {"image/png": "AAAA", "text/plain": "me"}
    picture = {"output_type": "display_data", "metadata": {}, "data": {PANEL: {"model_id": "x"}, **own}}
    content: dict[str, Any] = {"cells": [{"cell_type": "code", "source": "draw()", "outputs": [picture]}], "metadata": {}}
    put_to_sleep(model={"type": "notebook", "content": content})
    assert content["cells"][0]["outputs"] == [picture | {"data": own}]
