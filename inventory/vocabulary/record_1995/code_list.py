"""One closed list of codes of the 1995 record: item, page, mark, and the meaning of every code."""

from dataclasses import dataclass, field

GUIDE = "FHWA-PD-96-001"
MARK_CHECKED = "checked"
MARK_LATER = "memory"
LATER = "added after 1995, not in the guide; met in real yearly files, meaning from memory"


@dataclass(frozen=True)
class Code:
    """`mark` is `checked` where the guide's page was read, `memory` where the code came after the guide."""

    value: str
    meaning: str
    mark: str = MARK_CHECKED


@dataclass(frozen=True)
class CodeList:
    """All codes of one item. `width` is the length of a whole code: a shorter all-digit one has lost its zeros."""

    item: str
    title: str
    page: str
    width: int
    codes: dict[str, Code] = field(default_factory=dict)
    blank_means: str = "not given"

    @property
    def source(self) -> str:
        return f"{GUIDE}, p. {self.page}, {MARK_CHECKED}"

    def meaning(self, value: str) -> str:
        """The meaning of a code, or an empty string where the list does not know it."""
        code = self.codes.get(value)
        return code.meaning if code else ""


def listed(
    item: str,
    title: str,
    page: str,
    codes: dict[str, str],
    *,
    later: dict[str, str] | None = None,
    blank_means: str = "not given",
) -> CodeList:
    """Build a list from the guide's codes and those that came later; the first code sets the width."""
    known = {value: Code(value, meaning) for value, meaning in codes.items()}
    known.update({value: Code(value, meaning, MARK_LATER) for value, meaning in (later or {}).items()})
    return CodeList(item, title, page, len(next(iter(codes))), known, blank_means)
