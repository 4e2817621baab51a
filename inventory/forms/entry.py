"""The base of the register's forms: fields taken from a row's own fields, shown with their units."""

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.forms.models import fields_for_model, model_to_dict

from inventory.rules.refusals import Refused

UNITS = {
    "_ft": "ft",
    "_in": "in",
    "_in2": "in²",
    "_lb": "lb",
    "_plf": "lb/ft",
    "_pcf": "lb/ft³",
    "_psi": "psi",
    "_ksi": "ksi",
    "_mi": "miles",
    "_deg": "degrees",
    "_pct": "percent",
    "_months": "months",
}
MOST_FLOAT = 10**300
NOT_A_NUMBER = "Enter a number in digits, such as 18 or 18.5."


def not_vast(value: float) -> None:
    """Whole numbers of hundreds of digits are no floats: no rule can compare or print them. Others the rules judge."""
    if abs(value) >= MOST_FLOAT:
        raise ValidationError(NOT_A_NUMBER)


def plain_digits(field: forms.Field) -> forms.Field:
    """Python reads 1_000 and the digits of other scripts as numbers; whoever typed them is asked, not guessed."""
    read = field.to_python

    def to_python(value):
        if isinstance(value, str) and ("_" in value or not value.isascii()):
            raise ValidationError(NOT_A_NUMBER)
        return read(value)

    field.to_python = to_python
    return field


class EntryForm(forms.Form):
    """A form on one row. `names` are the row's fields in the order of `groups`: heading -> field names."""

    row_model: type[models.Model]
    groups: dict[str, tuple[str, ...]] = {}

    def __init__(self, *args, row: models.Model | None = None, **more):
        names = [name for group in self.groups.values() for name in group]
        own = [name for name in names if name in {field.name for field in self.row_model._meta.fields}]
        if row is not None:
            values = {name: _short(value) for name, value in model_to_dict(row, fields=own).items()}
            more["initial"] = values | (more.get("initial") or {})
        super().__init__(*args, **more)
        declared = dict(self.fields)
        made = fields_for_model(self.row_model, fields=own, formfield_callback=_field) | declared
        self.fields = {name: made[name] for name in names if name in made}
        for name, field in self.fields.items():
            _keep_choice(field, getattr(row, name, None))
            suffix = next((suffix for suffix in UNITS if name.endswith(suffix)), "")
            field.unit = UNITS.get(suffix, "")
            if suffix and field.label:
                # A label made from the field's name repeats the unit that stands behind the entry.
                field.label = field.label.removesuffix(suffix.replace("_", " "))

    def sets(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Headings with their fields, for the page."""
        return [(head, [self[name] for name in names if name in self.fields]) for head, names in self.groups.items()]

    def refuse(self, refusal: Refused) -> None:
        """Put each sentence beside its entry, so that nothing typed is lost."""
        for name, sentence in refusal.faults.items():
            self.add_error(name if name in self.fields else None, sentence)


def _field(field: models.Field, **more) -> forms.Field | None:
    made = field.formfield(**more)
    if isinstance(made, forms.DateField):
        made.widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    elif isinstance(made, forms.FloatField):
        # A step of "any" lets the browser take eighths as well as tenths.
        made.widget.attrs["step"] = "any"
        made.widget.attrs["inputmode"] = "decimal"
    if isinstance(made, forms.IntegerField | forms.FloatField):
        # The rules give the limits in a sentence; the browser's own balloon would hide it.
        made.min_value = made.max_value = None
        made.widget.attrs.pop("min", None)
        made.widget.attrs.pop("max", None)
        made.validators = [not_vast] if isinstance(made, forms.IntegerField) else []
        made.error_messages["invalid"] = NOT_A_NUMBER
        plain_digits(made)
    return made


def _short(value):
    """18 rather than 18.0 in an entry."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _keep_choice(field: forms.Field, value) -> None:
    """A stored code that the list does not know stays selectable: opening and saving a page must not lose it."""
    if isinstance(field, forms.ChoiceField) and value and str(value) not in {str(code) for code, _ in field.choices}:
        field.choices = [*field.choices, (value, f"{value} (as recorded)")]
