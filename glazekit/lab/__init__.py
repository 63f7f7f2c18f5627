"""Lab: panels and pictures for JupyterLab; the only room that imports ipywidgets, anywidget or plotly."""
