"""A list of like rows on one page: what the browser sent decides how many there are; empty rows are no rows."""

import re
from collections.abc import Iterable, Mapping

from django import forms

MOST_ROWS = 400


class RowForm(forms.Form):
    """One row. `word` names it in sentences; `anchors` are the fields whose filling makes it a row."""

    use_required_attribute = False
    word = "Row"
    ignored_when_alone: frozenset[str] = frozenset()

    @property
    def is_blank(self) -> bool:
        """Nothing was typed here (values that the page itself puts into every row do not count)."""
        if not self.is_bound:
            return not any(value not in (None, "") for value in self.initial.values())
        names = [name for name in self.fields if name not in self.ignored_when_alone and name != "remove"]
        return not any(str(self.data.get(self.add_prefix(name), "")).strip() for name in names)

    @property
    def is_removed(self) -> bool:
        return bool(self.data.get(self.add_prefix("remove"))) if self.is_bound else False


class Rows:
    """The rows of one list, bound to what was sent or filled from what is stored."""

    def __init__(
        self,
        form_class: type[RowForm],
        *,
        prefix: str,
        data: Mapping | None = None,
        stored: Iterable[dict] = (),
        extra: int = 0,
        given: dict | None = None,
    ):
        given = given or {}
        if data is not None:
            sent = re.compile(rf"^{prefix}-(\d{{1,4}})-")
            found = {int(match[1]) for key in data if (match := sent.match(key))}
            self.too_many = len(found) > MOST_ROWS
            self.forms = [form_class(data, prefix=f"{prefix}-{n}", **given) for n in sorted(found)[:MOST_ROWS]]
        else:
            self.too_many = False
            stored = list(stored)
            self.forms = [form_class(prefix=f"{prefix}-{n}", initial=row, **given) for n, row in enumerate(stored)]
        last = max((int(form.prefix.rsplit("-", 1)[1]) for form in self.forms), default=-1)
        self.spare = [form_class(prefix=f"{prefix}-{last + 1 + n}", **given) for n in range(extra)]
        self.pattern = form_class(prefix=f"{prefix}-__n__", **given)
        self.prefix = prefix

    @property
    def kept(self) -> list[RowForm]:
        return [form for form in self.forms if not form.is_blank and not form.is_removed]

    @property
    def shown(self) -> list[RowForm]:
        """Rows with something in them; the spare ones stand after them."""
        return [form for form in self.forms if not form.is_blank]

    def is_valid(self) -> bool:
        valid = [form.is_valid() for form in self.kept]
        return all(valid) and not self.too_many

    def values(self) -> list[dict]:
        return [form.values() for form in self.kept]

    def problems(self) -> list[tuple[str, str]]:
        """(anchor, sentence) of everything refused, in the order of the page."""
        told = []
        if self.too_many:
            told.append(("", f"More than {MOST_ROWS} rows were sent; enter the rest in a second inspection."))
        for number, form in enumerate(self.shown, start=1):
            if form.is_removed:
                continue
            for name, sentences in form.errors.items():
                anchor = form[name].id_for_label if name in form.fields else form[next(iter(form.fields))].id_for_label
                told += [(anchor, f"{form.word} {number}. {sentence}") for sentence in sentences]
        return told
