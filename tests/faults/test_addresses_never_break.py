"""Every page asked for with an address nobody meant: an answer in words, never a broken page.

The pages are found by walking the resolver; the parameters are the filters' own, the pagers', the sorts' and the map's.
The law: no answer of 500 or more, whatever stands behind the question mark.
"""

import csv
import io
import os
import random
from urllib.parse import urlencode

import pytest

from inspections.actions.remind import refresh_reminders
from inspections.filters import ForecastFilter, ReminderFilter
from inspections.models import OwedMessage
from inventory.filters import StructureFilter
from inventory.models import Structure
from inventory.queries.structures import SORTS
from tests.app.reminders.made import make_late_bridge
from tests.faults.test_forms_never_break import HOSTILE, SEED
from tests.house.doors import OPEN, routes
from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import decay, rated

WHOLE = os.environ.get("SPANLEDGER_LONG") == "1"
OWN = ("page", "sort", "bbox", "gather", "format", "next", "agency", "hold", "message")
NAMES = sorted({*OWN, *StructureFilter.base_filters, *ReminderFilter.base_filters, *ForecastFilter.base_filters})
# Near misses of what the pages do understand, beside what no page understands.
NEAR = (
    *(f"-{name}" for name in SORTS),
    "--number",
    "standing__notes",
    "agency__people__password",
    "due_on,-due_on",
    "180,-90,-180,90",
    "0,0,0,0",
    "-180,-90,180,90",
    "nan,nan,nan,nan",
    "inf,-inf,inf,inf",
    "1e400,0,0,0",
    "1,2,3",
    "٠,٠,١,١",
    "1E+99999",
    "-0",
    "2147483648",
    "2026-13-01",
    "all",
    "me",
    "nobody",
)


def asked(dice: random.Random) -> list[str]:
    """Fifteen questions whole, five in an ordinary run."""
    values = (*HOSTILE, *NEAR)
    one = [{dice.choice(NAMES): dice.choice(values)} for _ in range(10 if WHOLE else 3)]
    every = [{name: dice.choice(values) for name in NAMES} for _ in range(4 if WHOLE else 1)]
    twice = [[(name, dice.choice(values)) for name in NAMES for _ in range(2)]]
    return [urlencode(pairs) for pairs in (*one, *every, *twice)]


@pytest.mark.parametrize("role", ["engineer", "office", "supervisor"])
def test_no_address_breaks(county, now, role):
    bridge = make_stringer_bridge(county.agency)
    rated(bridge, county.people["inspector"], now, [decay(bridge)])
    client, dice, faults = county.client(role), random.Random(SEED), []
    for route in routes():
        for query in asked(dice) if route.name not in OPEN else ():
            address = f"{route.address(bridge.pk)}?{query}"
            try:
                status = client.get(address).status_code
            except Exception as problem:  # it would have been a broken page
                status = f"{type(problem).__name__}: {problem}"
            if not isinstance(status, int) or status >= 500:
                faults.append(f"{address[:160]}: {status}")
    assert not faults, f"{len(faults)} faults\n" + "\n".join(faults)


@pytest.mark.parametrize("bad", ["²", "9" * 5000, "9" * 30, "-1", "", "a\x00"])
@pytest.mark.parametrize(
    "address, name",
    [("/messages/read/", "message"), ("/records/held/", "hold"), ("/due/assign/", "chosen"), ("/due/assign/", "to")],
)
def test_a_number_that_is_no_row_is_answered(county, address, name, bad):
    role = "office"
    answer = county.client(role).post(
        address, {name: bad, "decision": "kept"} | ({"chosen": "1"} if name == "to" else {})
    )
    assert answer.status_code < 500


@pytest.mark.parametrize("bad", ["²", "9" * 5000, "9" * 30])
def test_an_agency_that_is_none_gives_the_own_one(county, bad):
    answer = county.client("office").get("/structures/new/", {"agency": bad})
    assert answer.status_code == 200 and county.agency.name in answer.content.decode()


@pytest.mark.parametrize(
    "where", ["https://elsewhere.example/", "//elsewhere.example/", "\\\\elsewhere.example", "javascript:alert(1)"]
)
def test_the_door_sends_nobody_elsewhere(county, client, where):
    county.people["office"].set_password("a long pass phrase")
    county.people["office"].save()
    asked_for = {"username": county.people["office"].username, "password": "a long pass phrase", "next": where}
    answer = client.post("/sign-in/", asked_for)
    assert (answer.status_code, answer.url) == (302, "/")


def test_a_message_number_that_is_no_row_marks_none_as_read(county, now):
    person = county.people["office"]
    OwedMessage.objects.create(person=person, sentence="Due", key="x", created_at=now)
    county.client("office").post("/messages/read/", {"message": "²"})
    assert OwedMessage.objects.get().read_at is None
    county.client("office").post("/messages/read/", {})
    assert OwedMessage.objects.get().read_at is not None


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", "\r=", "  =", "＝", "＋", "－", "＠"])
@pytest.mark.parametrize("address", ["/structures/export.csv", "/due/csv/"])
def test_no_cell_of_a_list_begins_a_formula(county, now, address, start):
    """What begins a formula in some spreadsheet (memory: OWASP, "CSV injection"), blanks before it apart."""
    make_late_bridge(county.agency, road_name=f"{start}1+1", feature_crossed=f"{start}cmd")
    bridge = Structure.objects.get()
    refresh_reminders(structure_ids=[bridge.pk], as_of=now.date(), at=now)
    answer = county.client("supervisor").get(address)
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert any("cmd" in cell for row in rows for cell in row)
    signs = tuple("=+@\t\r＝＋－＠")
    assert not [cell for row in rows[1:] for cell in row if cell.startswith(signs) or cell.lstrip().startswith("-1+")]
