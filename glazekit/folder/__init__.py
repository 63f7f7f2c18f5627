"""Folder: everything that lives in the learner's folder, and the one way to write there."""
