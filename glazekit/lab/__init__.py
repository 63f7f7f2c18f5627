"""Lab: the panels of the lessons and what they stand on; the only room that imports ipywidgets and anywidget."""

from glazekit.lab.page import open_page

__all__ = ["open_page"]
