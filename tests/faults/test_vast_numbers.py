"""Numbers no person means: an entry refuses them in a sentence and keeps what was typed.

400 digits: past the largest double (1.8e308, IEEE 754) and short of what Python itself refuses to read (4,300 digits).
"""

import pytest

from tests.makers.county import make_stringer_bridge
from tests.makers.inspected import make_stressed_deck

VAST = "9" * 400


# What Python would read as numbers beside them: underscores between digits (PEP 515), digits of other scripts.
@pytest.mark.parametrize("number", [VAST, f"-{VAST}", "1_0", "٢"])
def test_a_vast_number_is_refused_in_a_sentence_wherever_a_count_is_asked(county, number):
    bridge, deck = make_stringer_bridge(county.agency), make_stressed_deck(county.agency)
    span = bridge.spans.get()
    setting = f"/structures/{deck.pk}/setting/"
    client = county.client("engineer")
    assert client.post(f"{setting}new/", {"span": deck.spans.get().pk, "started_on": "2026-05-04"}).status_code == 302
    record = deck.setting_records.get()
    lines = {"b-TOTAL_FORMS": 1, "b-INITIAL_FORMS": 0, "b-0-mark": "T1", "revision": record.revision}
    asked = {
        "/jacks/new/": {"name": "J", "serial": "1", "calibration_months": number},
        f"/structures/{bridge.pk}/spans/{span.pk}/": {"lanes_loaded": number},
        f"/structures/{bridge.pk}/spans/{span.pk}/members/new/": {"count": number},
        f"/structures/{bridge.pk}/spans/{span.pk}/bars/": {"bar_count": number},
        f"{setting}{record.pk}/beams/": lines | {"b-0-place": number},
        f"{setting}{record.pk}/checklist/": {"passes": number, "surfacing": "better", "revision": record.revision},
    }
    for address, sent in asked.items():
        answer = client.post(address, sent)
        assert answer.status_code == 422, address
        # The checklist is asked for only once there are beams.
        assert number in answer.content.decode() or "checklist" in address, address
