"""The people of the demonstration office: invented names, fresh passwords for every site."""

import secrets

from inventory.models import Agency, Membership, Person

AGENCY = "Larkmoor County Highway Department"

STAFF = (
    ("w.halvard", "Wenna", "Halvard", ("office",)),
    ("t.oakes", "Tobin", "Oakes", ("inspector",)),
    ("m.sorrel", "Maris", "Sorrel", ("inspector",)),
    ("j.brandt", "Jory", "Brandt", ("crew",)),
    ("p.quillan", "Perrin", "Quillan", ("supervisor",)),
    ("e.vantage", "Edda", "Vantage", ("engineer",)),
    ("a.rusk", "Alwin", "Rusk", ("administrator", "office")),
    ("state.reader", "Nerys", "Colby", ("reviewer",)),
)


def make_agency() -> Agency:
    return Agency.objects.create(name=AGENCY, is_demonstration=True, posting_level=1)


def make_people(agency: Agency) -> tuple[dict[str, Person], list[dict]]:
    """Everyone with their roles; the second value lists the sign-ins to print, each with its own random password."""
    people, sign_ins = {}, []
    for username, first, last, roles in STAFF:
        password = "-".join(secrets.token_hex(2) for _ in range(4))
        person = Person.objects.create_user(username, password=password, first_name=first, last_name=last)
        if "engineer" in roles:
            person.licence = "PE (demonstration)"
            person.save(update_fields=["licence"])
        for role in roles:
            Membership.objects.create(person=person, agency=agency, role=role)
            people.setdefault(role, person)
        people[username] = person
        sign_ins.append({"name": username, "password": password, "role": ", ".join(roles)})
    return people, sign_ins
