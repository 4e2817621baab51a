"""The calculation's own record, so that a calculation sheet is a print-out of it."""

from __future__ import annotations

from dataclasses import dataclass

MARKS = ("checked", "checked-2nd", "memory", "computed", "model", "input")
"""How well a formula or value is supported; ``input`` is a value of the record, ``model`` a setting or a model."""


@dataclass(frozen=True, kw_only=True)
class Step:
    """One line of the calculation: symbol, value (number or words), unit, formula as text, clause or source, mark."""

    symbol: str
    value: float | str
    unit: str
    formula: str
    source: str
    mark: str

    def as_dict(self) -> dict:
        return {
            "symbol": self.symbol,
            "value": self.value,
            "unit": self.unit,
            "formula": self.formula,
            "source": self.source,
            "mark": self.mark,
        }


@dataclass(frozen=True, kw_only=True)
class Heading:
    """A named group of steps, printed together."""

    title: str
    steps: tuple[Step, ...]

    def as_dict(self) -> dict:
        return {"heading": self.title, "steps": [step.as_dict() for step in self.steps]}

    @classmethod
    def from_dict(cls, plain: dict) -> Heading:
        return cls(title=plain["heading"], steps=tuple(Step(**step) for step in plain["steps"]))


class Trace:
    """Collects steps under headings while a rating is computed; ``headings()`` gives the frozen record."""

    def __init__(self) -> None:
        self._groups: list[tuple[str, list[Step]]] = []

    def heading(self, title: str) -> None:
        """Start a group; steps added from here on stand under it. An existing title is continued."""
        for index, (name, _steps) in enumerate(self._groups):
            if name == title:
                self._groups.append(self._groups.pop(index))
                return
        self._groups.append((title, []))

    def add(self, symbol: str, value, unit: str, formula: str, source: str, mark: str):
        """Record one step and return its value, so that a formula can be written and recorded in one line."""
        if mark not in MARKS:
            raise ValueError(f"Mark '{mark}' is not one of {', '.join(MARKS)}.")
        if not self._groups:
            self._groups.append(("Calculation", []))
        kept = float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else str(value)
        step = Step(symbol=symbol, value=kept, unit=unit, formula=formula, source=source, mark=mark)
        self._groups[-1][1].append(step)
        return value

    def add_new(self, headings: tuple[Heading, ...]) -> None:
        """Append whole groups of another record whose titles do not stand here yet."""
        known = {title for title, _steps in self._groups}
        self._groups += [(group.title, list(group.steps)) for group in headings if group.title not in known]

    def headings(self) -> tuple[Heading, ...]:
        """The frozen record, groups in the order in which they were last opened; empty groups are left out."""
        return tuple(Heading(title=title, steps=tuple(steps)) for title, steps in self._groups if steps)

    def as_list(self) -> list[dict]:
        """The record as a list of ``{"heading": ..., "steps": [{...}]}``, ready for JSON."""
        return [heading.as_dict() for heading in self.headings()]
