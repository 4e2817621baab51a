"""A person with a pocket calculator: evaluates a printed line from its printed digits, with its own reading of them.

Numbers that an earlier line printed are carried with half a unit of their last printed digit; every other number
(sizes, 12, 144, 1.33) is exact. Independent of the arithmetic that wrote the lines.
"""

from __future__ import annotations

import re

# Half of the last printed place, by unit; numbers without a unit have four decimals, rating factors three.
PLACES = {"psi": 1, "lb-ft": 0, "in-lb": 0, "lb": 0, "lb/ft": 2, "lb/ft²": 2, "ft": 3, "in": 3, "in²": 2, "in³": 2}
PLACES |= {"in⁴": 1, "in²/ft": 2, "in³/ft": 2, "tons": 1}
TOKEN = re.compile(r"\s*(?:(\d[\d,]*\.?\d*)|([-+*/^()]))")


def text_of(runs: list[list[str]]) -> str:
    """Runs as one line: a superscript becomes a power."""
    return "".join(f"^{words}" if kind == "sup" else words for words, kind in runs)


def half_place(value: str, unit: str, symbol: str = "") -> float:
    places = 3 if symbol.startswith("RF") else PLACES.get(unit, 4)
    return 0.5 * 10.0**-places


def tokens_of(line: str) -> list[str]:
    found, at = [], 0
    line = line.replace("×", "*").replace("−", "-").strip()
    while at < len(line):
        token = TOKEN.match(line, at)
        assert token, f"{line[at:]!r} cannot be keyed in"
        found.append(token[1] or token[2])
        at = token.end()
    return found


def evaluate(line: str, shifts: dict[int, float] | None = None) -> float:
    """The value of a line; ``shifts`` adds to the n-th number of it."""
    reader = _Reader(tokens_of(line), shifts or {})
    value = reader.sum()
    assert reader.at == len(reader.tokens), f"{line} has something left over"
    return value


class _Reader:
    """Recursive descent: sums of products of powers."""

    def __init__(self, tokens: list[str], shifts: dict[int, float]):
        self.tokens, self.shifts, self.at, self.numbers = tokens, shifts, 0, 0

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        self.at += 1
        return self.tokens[self.at - 1]

    def sum(self) -> float:
        value = self.product()
        while self.peek() in ("+", "-"):
            value = value + self.product() if self.take() == "+" else value - self.product()
        return value

    def product(self) -> float:
        value = self.power()
        while self.peek() in ("*", "/"):
            value = value * self.power() if self.take() == "*" else value / self.power()
        return value

    def power(self) -> float:
        value = self.single()
        if self.peek() == "^":
            self.take()
            return value ** self.power()
        return value

    def single(self) -> float:
        token = self.take()
        if token == "-":
            return -self.single()
        if token == "(":
            value = self.sum()
            assert self.take() == ")"
            return value
        self.numbers += 1
        return float(token.replace(",", "")) + self.shifts.get(self.numbers - 1, 0.0)


def spread(line: str, carried: dict[str, float]) -> float:
    """How far the result can lie from the printed one because earlier numbers were rounded: sum over each of them."""
    value = evaluate(line)
    numbers = [token for token in tokens_of(line) if token[0].isdigit()]
    total = 0.0
    for at, number in enumerate(numbers):
        if number in carried:
            total += max(abs(evaluate(line, {at: sign * carried[number]}) - value) for sign in (1, -1))
    return total
