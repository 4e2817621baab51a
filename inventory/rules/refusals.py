"""A refusal is a sentence a person can act on, beside the entry it belongs to where there is one."""


class Refused(Exception):
    """The rules say no. `faults` maps a field (or "" for the whole entry) to its sentence."""

    def __init__(self, faults: dict[str, str] | str):
        self.faults = {"": faults} if isinstance(faults, str) else dict(faults)
        super().__init__(self.sentence)

    @property
    def sentence(self) -> str:
        return " ".join(self.faults.values())


class Stale(Refused):
    """Someone else changed the structure since this person opened it; nothing was saved."""
