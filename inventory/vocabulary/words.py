"""The base of every closed list: a stored code with the word people read."""

from enum import StrEnum


class Words(StrEnum):
    """A member is written `NAME = "code", "What people read"`; it compares equal to its code."""

    label: str

    def __new__(cls, code: str, label: str):
        member = str.__new__(cls, code)
        member._value_ = code
        member.label = label
        return member

    def __str__(self) -> str:
        return self.value

    @classmethod
    def choices(cls) -> list[tuple[str, str]]:
        return [(member.value, member.label) for member in cls]

    @classmethod
    def label_of(cls, code: str | None) -> str:
        """The word for a stored code; the code itself where the list does not know it."""
        return next((member.label for member in cls if member.value == code), code or "")
