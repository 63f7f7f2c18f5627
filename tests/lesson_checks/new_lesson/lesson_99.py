"""A lesson laid beside the course: cups from a bucket."""

from __future__ import annotations

from glazekit.exercises.rules import Numbers, Rules, Solution, Steps, one_box

RULES = Rules()


@RULES.add("99.1", bucket_ml=Steps(2000, 5000, 100, course=3000), cup_ml=Steps(150, 300, 10, course=200))
def _cups(n: Numbers) -> Solution:
    """The bucket divided by the cup."""
    cups = n["bucket_ml"] / n["cup_ml"]
    return one_box("cups", cups, {"in_pairs": cups / 2, "taken_off": cups - 1})
