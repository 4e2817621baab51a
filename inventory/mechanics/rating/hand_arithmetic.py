"""Numbers as a calculation sheet prints them, and formulas with those numbers in them that a calculator can follow.

A worked line ("1,350 x 1.15 x 0.9685") is printed only where it gives the value beside it; what it gives is computed
here from the printed digits, so a line that would mislead is left out. Source: arithmetic.
"""

from __future__ import annotations

import ast
import operator
import re

DECIMALS = {
    "psi": 1,
    "lb-ft": 0,
    "lb": 0,
    "lb/ft": 2,
    "ft": 3,
    "in": 3,
    "in2": 2,
    "in3": 2,
    "in4": 1,
    "in2/ft": 2,
    "in3/ft": 2,
    "lb/ft2": 2,
    "in-lb": 0,
    "wheel lines": 4,
    "tons": 1,
}
"""Decimals of a value by its unit; a plain number has four, a rating factor (``FACTORS``) three."""
KEPT = ("wheel lines", "tons")
"""Units whose zeros at the end are kept."""
FACTOR_DECIMALS = 3
PLAIN_DECIMALS = 4
TOLERANCE_RATIO = 5e-4
"""How far the printed digits of a line may carry its result from the value: about half a unit of the fourth digit."""

_OPERATORS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
}


def printed(value: float | str, unit: str = "", *, is_factor: bool = False) -> str:
    """A value with the decimals of its unit, thousands set off by commas, zeros at the end cut but for ``KEPT``."""
    if isinstance(value, str):
        return value
    if is_factor:
        return f"{value:.{FACTOR_DECIMALS}f}"
    text = f"{value:,.{DECIMALS.get(unit, PLAIN_DECIMALS)}f}"
    if unit not in KEPT and "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def value_of(line: str) -> float:
    """What a worked line gives: numbers, + - x / ^ and brackets. ``ValueError`` for anything else."""
    plain = re.sub(r"(?<=\d),(?=\d{3})", "", line).replace("^", "**").replace(" x ", " * ")
    try:
        return _value(ast.parse(plain, mode="eval").body)
    except (SyntaxError, KeyError, ZeroDivisionError) as refusal:
        raise ValueError(f"'{line}' is not arithmetic.") from refusal


def _value(node: ast.expr) -> float:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.BinOp):
        return _OPERATORS[type(node.op)](_value(node.left), _value(node.right))
    if isinstance(node, ast.UnaryOp):
        return _OPERATORS[type(node.op)](_value(node.operand))
    raise ValueError("only numbers and + - x / ^ ( ) stand in a worked line")


def worked_line(value: float | str, unit: str, *lines: str, is_factor: bool = False) -> str:
    """The first line that gives ``value`` from its printed digits, '' where none does."""
    if isinstance(value, str):
        return ""
    decimals = FACTOR_DECIMALS if is_factor else DECIMALS.get(unit, PLAIN_DECIMALS)
    near = max(TOLERANCE_RATIO * abs(value), 0.6 * 10.0**-decimals)
    for line in lines:
        try:
            found = value_of(line)
        except ValueError:
            continue
        if abs(found - value) <= near:
            return line
    return ""
