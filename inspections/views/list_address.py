"""A list's own address: its parameters with some changed, and column headings that sort."""

from collections.abc import Sequence

from django.http import HttpRequest, QueryDict


def list_query(request: HttpRequest, **changed) -> QueryDict:
    """The list's own parameters with some changed or, where None, left out."""
    query = request.GET.copy()
    for name, value in changed.items():
        query.pop(name, None)
        if value is not None:
            query[name] = value
    return query


def page_links(request: HttpRequest, page) -> dict:
    """The list's parameters without its page, and those of the page before and the one after, None where none is."""
    return {
        "query": list_query(request, page=None).urlencode(),
        "previous": list_query(request, page=page.number - 1).urlencode() if page.has_previous() else None,
        "next": list_query(request, page=page.number + 1).urlencode() if page.has_next() else None,
    }


def sorted_headings(request: HttpRequest, columns: Sequence[tuple[str, str]]) -> list[dict]:
    """Column headings that sort, from (key, label); pressing the one in use turns it round."""
    now = request.GET.get("sort", "")
    headings = []
    for key, label in columns:
        state = {key: "ascending", f"-{key}": "descending"}.get(now, "none")
        turned = f"-{key}" if state == "ascending" else key
        address = list_query(request, page=None, sort=turned).urlencode()
        headings.append({"key": key, "label": label, "state": state, "address": f"?{address}"})
    return headings
