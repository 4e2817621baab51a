"""Runs of a calculation sheet as HTML: subscripts and superscripts as such, every text escaped."""

from collections.abc import Sequence

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

register = template.Library()


@register.filter
def runs(pieces: Sequence[Sequence[str]]) -> SafeString:
    """[["F", ""], ["b", "sub"]] to F<sub>b</sub>."""
    return format_html_join("", "{}", ((_piece(words, kind),) for words, kind in pieces))


def _piece(words: str, kind: str) -> SafeString | str:
    if kind == "sub":
        return format_html("<sub>{}</sub>", words)
    return format_html("<sup>{}</sup>", words) if kind == "sup" else words
