"""Numbers a telephone can dial: RFC 3966 gives the address, ITU-T E.164 the fifteen digits (from memory)."""

import pytest

from inventory.rules.contacts import contact_faults, dialled, phone_fault


@pytest.mark.parametrize("phone", ["911", "555-0142", "(701) 555-0142", "+1 701 555 0142", "555.0142 ext 7", "1" * 15])
def test_what_can_be_dialled_is_taken(phone):
    assert phone_fault(phone) == ""


@pytest.mark.parametrize(
    "phone", ["", "  ", "11", "1" * 16, "call Bob", "555-0142; drop", "５５５０１４２", "+", "555+0142"]
)
def test_what_cannot_be_dialled_is_refused_in_a_sentence(phone):
    assert phone_fault(phone).endswith((".", "7."))


@pytest.mark.parametrize(
    ("phone", "address"),
    [
        ("911", "tel:911"),
        ("(701) 555-0142", "tel:7015550142"),
        ("+1 701 555 0142", "tel:+17015550142"),
        ("555-0142 ext. 7", "tel:5550142;ext=7"),
    ],
)
def test_the_address_holds_digits_only(phone, address):
    assert dialled(phone) == address


def test_every_missing_entry_has_its_sentence():
    assert set(contact_faults({}, count=0)) == {"role", "name", "phone"}
    assert set(contact_faults({"role": "sheriff", "name": "Desk", "phone": "911"}, count=20)) == {""}
