"""The browser edition: the whole course as a folder of static files, Python included, that asks no other computer for anything.

``build`` puts it together and dresses it like the desktop course, ``wheels`` fetches Python for the browser and the packages the
lessons need, ``tools`` runs the programs that help (npm, pip, JupyterLite's builder; nothing of them is imported). What goes in
stands in ``config/``, its words in ``glazekit/words/site.toml``.
"""
