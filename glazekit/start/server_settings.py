"""The look and the habits of the lesson server: settings that ship with the package, and a private place beside the lessons."""

import os
from pathlib import Path

from glazekit.folder.lessons import FOLDER_VARIABLE, HIDDEN
from glazekit.ground.writer import write_over


def jupyter_settings(folder: str | Path) -> dict[str, str]:
    """Environment under which JupyterLab shows the course look: the package's settings, and a private place for the learner's.
    The learner's own Jupyter settings elsewhere on the computer are neither used nor changed. Raises FileError when the folder
    cannot be written."""
    shipped = Path(__file__).with_name("jupyter")
    folder = Path(folder).expanduser().resolve()
    private = folder / HIDDEN
    for name in ("jupyter/custom/custom.css", "ipython/profile_default/ipython_kernel_config.json"):
        write_over(private / name, (shipped.parent / name).read_bytes())
    search = [str(shipped), *filter(None, [os.environ.get("JUPYTER_CONFIG_PATH")])]
    return {
        FOLDER_VARIABLE: str(folder),
        "JUPYTER_CONFIG_DIR": str(private / "jupyter"),
        "IPYTHONDIR": str(private / "ipython"),
        "JUPYTER_CONFIG_PATH": os.pathsep.join(search),
        "JUPYTER_PREFER_ENV_PATH": "1",  # this environment's kernel, not another Python's of the same name
    }
