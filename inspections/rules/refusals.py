"""A refusal is a sentence a person can act on."""


class Refused(Exception):
    """The rules say no. `sentences` holds one sentence for each thing to put right; `sentence` joins them."""

    def __init__(self, *sentences: str) -> None:
        self.sentences = tuple(sentences)
        super().__init__(self.sentence)

    @property
    def sentence(self) -> str:
        return " ".join(self.sentences)


class Stale(Refused):
    """Someone else changed the row since this person read it; nothing was saved."""


def stale(what: str) -> Stale:
    """The sentence both of two people saving the same thing may read."""
    return Stale(
        f"Someone else changed {what} after you opened it, so nothing of yours was saved here. "
        "Your entries are still on this page: open a fresh copy beside it, compare, and save again."
    )
