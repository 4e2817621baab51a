"""Numbers as they are written in the field: 5.25, 5-1/4, 5 1/4 or 1/4."""

import math
import re

from django import forms
from django.core.exceptions import ValidationError

FRACTION = re.compile(r"^(?:(?P<whole>\d{1,4})[\s-]+)?(?P<top>\d{1,3})\s*/\s*(?P<bottom>\d{1,3})$")
PLAIN = re.compile(r"^[+-]?(\d{1,9}(\.\d{0,6})?|\.\d{1,6})$")


def number_from(text: str) -> float | None:
    """The number, or None where the text is none. A thousands comma is understood only in its own place."""
    text = text.strip().replace("−", "-")
    if re.match(r"^\d{1,3}(,\d{3})+(\.\d+)?$", text):
        text = text.replace(",", "")
    if PLAIN.match(text):
        return float(text)
    if (parts := FRACTION.match(text)) and int(parts["bottom"]):
        return int(parts["whole"] or 0) + int(parts["top"]) / int(parts["bottom"])
    return None


class NumberField(forms.Field):
    """A number with its unit and range; what was typed stays in the box when it is refused."""

    widget = forms.TextInput

    def __init__(self, *, unit: str = "", low: float = -math.inf, high: float = math.inf, **more):
        self.unit, self.low, self.high = unit, low, high
        more.setdefault("required", False)
        super().__init__(**more)

    def widget_attrs(self, widget):
        # Not type=number: browsers empty such a box when they dislike what is in it.
        return {"inputmode": "decimal", "autocomplete": "off", "size": "7"}

    def prepare_value(self, value):
        return f"{value:.10g}" if isinstance(value, float) else value

    def to_python(self, value):
        if value in (None, ""):
            return None
        if isinstance(value, int | float) and not isinstance(value, bool):
            number = float(value)
        else:
            number = number_from(str(value))
        if number is None or not math.isfinite(number):
            shown = str(value)[:30]
            raise ValidationError(f"{self.label}: “{shown}” is not a number; write it like 1.5 or 1-1/2.")
        if not self.low <= number <= self.high:
            unit = f" {self.unit}" if self.unit else ""
            raise ValidationError(
                f"{self.label}: {number:g}{unit} is outside {self.low:g} to {self.high:g}{unit}; read it again."
            )
        return number


class WholeNumberField(NumberField):
    """A counted number."""

    def widget_attrs(self, widget):
        return {**super().widget_attrs(widget), "inputmode": "numeric", "size": "4"}

    def to_python(self, value):
        number = super().to_python(value)
        if number is not None and number != int(number):
            raise ValidationError(f"{self.label}: {number:g} is not a whole number; count again.")
        return None if number is None else int(number)
