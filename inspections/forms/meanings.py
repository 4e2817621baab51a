"""What the codes mean, for people: words of the rating scale, and of the four element states [memory]."""

from inspections.vocabulary.condition_codes import COMPONENT_CODES

__all__ = ["COMPONENT_CODES", "CONDITION_WORDS", "ELEMENT_STATES", "code_in_words", "component_choices"]

ELEMENT_STATES = (("cs1", "1 good"), ("cs2", "2 fair"), ("cs3", "3 poor"), ("cs4", "4 severe"))

CONDITION_WORDS = {code: word for code, word, _ in COMPONENT_CODES}


def component_choices() -> list[tuple[str, str]]:
    """Code with word and meaning, the way the entry sheet offers them."""
    return [("", "not rated yet"), *((code, f"{code}  {word}: {means}") for code, word, means in COMPONENT_CODES)]


def code_in_words(code: str) -> str:
    """'6 Satisfactory'; an empty code is 'not rated'."""
    return f"{code} {CONDITION_WORDS.get(code, '')}".strip() if code else "not rated"
