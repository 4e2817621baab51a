"""Every route of the three rooms, found by walking the resolver, with addresses that could be asked."""

from dataclasses import dataclass

from django.urls import URLPattern, URLResolver, get_resolver

from tests.house.tree import APPS

# Open to a stranger, each with its reason.
OPEN = {
    "inventory:sign_in": "the door itself",
    "inventory:sign_out": "signing out needs no sign-in",
    "inspections:field_worker": "names of files and nothing else; a browser asks for it without the sign-in",
    "inspections:calendar_feed": "a calendar program cannot sign in: the address holds a secret key of one person",
}

# What even one who only reads may make, because it is theirs alone.
OWN = {"inspections:calendar_make": "the secret address of one's own calendar feed; it shows what its owner may read"}

SAMPLES = {"StringConverter": "x", "SlugConverter": "x", "PathConverter": "x"}
SAMPLES["UUIDConverter"] = "00000000-0000-4000-8000-000000000000"


@dataclass(frozen=True)
class Route:
    name: str
    view: object
    converters: tuple
    pattern: str

    @property
    def permit(self):
        return getattr(self.view, "permit", None)

    def address(self, number: int = 1) -> str:
        text = self.pattern
        for name, converter in self.converters:
            kind = type(converter).__name__
            sample = str(number) if kind == "IntConverter" else SAMPLES.get(kind, "x")
            for written in (f"<int:{name}>", f"<slug:{name}>", f"<str:{name}>", f"<path:{name}>", f"<uuid:{name}>"):
                text = text.replace(written, sample)
            text = text.replace(f"<{name}>", sample)
        return "/" + text

    @property
    def takes_a_row(self) -> bool:
        return any(type(converter).__name__ == "IntConverter" for _, converter in self.converters)


def _walk(patterns, space: str, prefix: str, converters: tuple):
    for each in patterns:
        here = prefix + str(each.pattern)
        found = converters + tuple(each.pattern.converters.items())
        if isinstance(each, URLResolver):
            yield from _walk(each.url_patterns, each.namespace or space, here, found)
        elif isinstance(each, URLPattern) and space in APPS:
            yield Route(f"{space}:{each.name}", each.callback, found, here)


def routes() -> list[Route]:
    return list(_walk(get_resolver().url_patterns, "", "", ()))
