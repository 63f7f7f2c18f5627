"""Drawings as pure functions: numbers in, an SVG string with a title and a description out."""
