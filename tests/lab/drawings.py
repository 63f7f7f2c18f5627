"""Reading a drawing back from its SVG."""

from __future__ import annotations

import xml.etree.ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"


def named(svg: str, name: str) -> list[ET.Element]:
    """Parts of the drawing with this class."""
    return [node for node in ET.fromstring(svg).iter() if node.get("class") == name]


def points(node: ET.Element) -> list[tuple[float, float]]:
    """Corners of a path of straight lines."""
    return [tuple(float(v) for v in pair.split()) for pair in node.get("d", "").strip("MZ").split("L")]  # type: ignore[misc]


def check_heard_and_framed(svg: str) -> None:
    """It has a name for the ear, letters of a size to read, and nothing outside its frame."""
    root = ET.fromstring(svg)
    assert root.get("role") == "img" and "said" in root.get("aria-label", "")
    _, _, width, height = (float(part) for part in root.get("viewBox", "").split())
    assert width <= 400 and all(float(node.get("font-size", "99")) >= 12 for node in root.iter(f"{SVG}text"))
    for node in root.iter():
        if "x" in node.attrib:
            assert -1 <= float(node.get("x", "")) <= width and 0 <= float(node.get("y", "")) <= height
        if node.tag == f"{SVG}path" and "L" in node.get("d", "") and node.get("d", "").count("M") == 1:
            assert all(-1 <= x <= width + 1 and -1 <= y <= height for x, y in points(node)), node.get("d")
