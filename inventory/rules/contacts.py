"""Whom to call when something is grave: what can be a telephone number, and the address a telephone dials.

Numbers are dialled from a ditch with gloves on, so a number that cannot be dialled is refused when it is entered. The
limits are our own [model]: three digits (an emergency number) to fifteen, the most an international number has
(ITU-T E.164 [memory]).
"""

import re
from collections.abc import Mapping

from inventory.vocabulary.people import ContactRole

LEAST_DIGITS, MOST_DIGITS = 3, 15
MOST_CONTACTS = 20
PHONE = re.compile(r"\+?[0-9() .\-/]+(?:\s*(?:ext\.?|x)\s*[0-9]{1,6})?", re.ASCII | re.IGNORECASE)
EXTENSION = re.compile(r"\s*(?:ext\.?|x)\s*([0-9]{1,6})$", re.ASCII | re.IGNORECASE)


def phone_fault(phone: str) -> str:
    """An empty string where a telephone can dial it, otherwise the sentence that says why not."""
    phone = phone.strip()
    if not phone:
        return "Give the telephone number: it is dialled from the structure."
    digits = sum(character.isdigit() for character in EXTENSION.sub("", phone))
    if not PHONE.fullmatch(phone) or not LEAST_DIGITS <= digits <= MOST_DIGITS:
        return (
            f"'{phone[:40]}' cannot be dialled: write {LEAST_DIGITS} to {MOST_DIGITS} digits with spaces or dashes, "
            "such as 555-0142 or 555-0142 ext 7."
        )
    return ""


def dialled(phone: str) -> str:
    """The address a telephone dials (RFC 3966): digits and a leading plus, the extension apart."""
    phone = phone.strip()
    extension = EXTENSION.search(phone)
    bare = EXTENSION.sub("", phone)
    digits = "".join(character for character in bare if character in "0123456789")
    plus = "+" if bare.startswith("+") else ""
    return f"tel:{plus}{digits}" + (f";ext={extension.group(1)}" if extension else "")


def contact_faults(values: Mapping, *, count: int) -> dict[str, str]:
    """Field -> sentence; `count` is how many contacts the agency has already, beside this one."""
    faults = {}
    if values.get("role") not in {role.value for role in ContactRole}:
        faults["role"] = "Choose what this person or office is: sheriff, engineer, supervisor, State, utility, other."
    if not (values.get("name") or "").strip():
        faults["name"] = "Give the name of the person or office that answers."
    if fault := phone_fault(values.get("phone") or ""):
        faults["phone"] = fault
    if count >= MOST_CONTACTS:
        faults[""] = f"{MOST_CONTACTS} contacts are the most: nobody reads a longer list at the roadside. Remove one."
    return faults
