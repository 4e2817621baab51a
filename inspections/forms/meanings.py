"""What the codes mean, in short words of our own beside the national number.

Words of the ten-step scale: condition rating of items 58 to 62 of the 1995 record [memory]; the sentences are ours.
Words of the four element states [memory].
"""

COMPONENT_CODES = (
    ("9", "Excellent", "as new, nothing to report"),
    ("8", "Very good", "nothing that needs noting"),
    ("7", "Good", "a few small faults"),
    ("6", "Satisfactory", "small wear or decay, nothing weakened"),
    ("5", "Fair", "sound main members, minor section lost, checks or decay begun"),
    ("4", "Poor", "section loss, decay or crushing is well along"),
    ("3", "Serious", "loss has reached main members; local failure is possible"),
    ("2", "Critical", "main members far gone; may have to close unless watched"),
    ("1", "Imminent failure", "closed to traffic; repair may bring it back"),
    ("0", "Failed", "out of service, beyond repair"),
    ("N", "Not applicable", "the structure has no such part"),
)

ELEMENT_STATES = (("cs1", "1 good"), ("cs2", "2 fair"), ("cs3", "3 poor"), ("cs4", "4 severe"))

CONDITION_WORDS = {code: word for code, word, _ in COMPONENT_CODES}


def component_choices() -> list[tuple[str, str]]:
    """Code with word and meaning, the way the entry sheet offers them."""
    return [("", "not rated yet"), *((code, f"{code}  {word}: {means}") for code, word, means in COMPONENT_CODES)]


def code_in_words(code: str) -> str:
    """'6 Satisfactory'; an empty code is 'not rated'."""
    return f"{code} {CONDITION_WORDS.get(code, '')}".strip() if code else "not rated"
