"""Lab: panels and pictures for JupyterLab; the only room that imports ipywidgets, anywidget or plotly."""

from glazekit.lab.page import open_page

__all__ = ["open_page"]
