"""A lesson laid beside the course: cups from a bucket, and what is left in it."""

from __future__ import annotations

from glazekit.exercises.rules import Numbers, Rules, Solution, Steps, one_box, shown

RULES = Rules()


@RULES.add("99.1", bucket_ml=Steps(2000, 5000, 10, course=3000), cup_ml=Steps(150, 300, 1, course=220))
def _cups(n: Numbers) -> Solution:
    """The bucket divided by the cup."""
    cups = n["bucket_ml"] / n["cup_ml"]
    return one_box("cups", cups, {"in_pairs": cups / 2, "taken_off": cups - 1})


@RULES.add("99.4", shares="99.1")
def _left(n: Numbers) -> Solution:
    """Whole cups of it, and what is left of the bucket, in percent."""
    whole, rest = divmod(n["bucket_ml"], n["cup_ml"])
    poured = n["bucket_ml"] - rest
    wrong = {"one_more": {"poured_ml": poured + n["cup_ml"]}, "of_one_cup": {"left_pct": 100 * rest / n["cup_ml"]}}
    words = {"whole": whole, **shown(2, cups=n["bucket_ml"] / n["cup_ml"])}
    return Solution({"poured_ml": poured, "left_pct": 100 * rest / n["bucket_ml"]}, wrong, words)


def home_figures() -> dict[str, str]:
    """What the home page asks for: glasses of 200 mL from a litre."""
    return shown(0, glasses=1000 / 200)
