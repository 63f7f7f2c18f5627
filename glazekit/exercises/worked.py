"""Sums that a text spells out are worked out from the numbers that stand in it, and rounded once.

``{ratio} × {ratio} = {sum:2}`` prints the product of the two numbers as printed, with two decimals. So a worked sum comes out
when a learner does it again, whatever numbers were drawn.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Mapping
from operator import add, mul, sub, truediv

from glazekit.ground.errors import DataError
from glazekit.ground.numbers import show_number

_TERM = r"\(*−?\d[\d.]*(?: [A-Za-z][A-Za-z ]*?)?\)*(?: [A-Za-z][A-Za-z ]*?)?"  # a number, with its unit or without
_SUM = re.compile(rf"({_TERM}(?: [+−×÷] {_TERM})+) = \0(\d+)\0")
_SIGNS = str.maketrans("−×÷", "-*/")
_DO = {ast.Add: add, ast.Sub: sub, ast.Mult: mul, ast.Div: truediv}


class _Later:
    """Stands for a result until the numbers before it are known."""

    def __format__(self, decimals: str) -> str:
        return f"\0{decimals}\0"


def filled(text: str, words: Mapping[str, str]) -> str:
    """A text with its placeholders filled in and its sums worked out.

    >>> filled("{thick} ÷ {thin} = {sum:2}, so more.", {"thick": "1.3", "thin": "0.8"})
    '1.3 ÷ 0.8 = 1.63, so more.'
    >>> filled("(2 + {clay} g) ÷ 3 g per mole = {sum:1} mol", {"clay": "4"})
    '(2 + 4 g) ÷ 3 g per mole = 2.0 mol'

    Raises KeyError for a placeholder that has no value, DataError for a ``{sum:...}`` without a sum before it.
    """
    said = _SUM.sub(_done, text.format_map({**words, "sum": _Later()}))
    if "\0" in said:
        raise DataError(f"no sum that can be worked out stands before its result: {text}")
    return said


def _done(found: re.Match[str]) -> str:
    result = show_number(_value(ast.parse(re.sub("[A-Za-z]", "", found[1]).translate(_SIGNS), mode="eval").body), int(found[2]))
    return f"{found[1]} = {result.replace('-', '−')}"


def _value(part: ast.expr) -> float:
    if isinstance(part, ast.BinOp):
        return float(_DO[type(part.op)](_value(part.left), _value(part.right)))
    return -_value(part.operand) if isinstance(part, ast.UnaryOp) else float(ast.literal_eval(part))
