"""The sheet of a jack crew, read back from its PDF: every figure, the cautions on top, and whether it was released."""

import io
import re

import pytest
from pypdf import PdfReader

from inspections.letters.stressing import sheet_content, stressing_sheet_pdf
from inventory.models import Bar, Person
from tests.makers.stressing import drafted, make_deck_to_stress, make_jack, released, system_of

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def pages_of(day, on):
    pdf = stressing_sheet_pdf(sheet_content(day, as_of=on))
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def with_bars(structure, count):
    """`count` bars 4 ft apart on a span that carries them."""
    system = system_of(structure)
    system.span.length_ft = 4.0 * count
    system.span.save()
    Bar.objects.filter(system=system).delete()
    Bar.objects.bulk_create([Bar(system=system, number=n, station_ft=4.0 * n - 2.0) for n in range(1, count + 1)])
    return {str(number): 20_000.0 for number in range(1, count + 1)}


@pytest.fixture
def day(county, now):
    bridge = make_deck_to_stress(county, now)
    Person.objects.filter(pk=county.people["engineer"].pk).update(licence="PE 0000 (invented)")
    county.people["engineer"].refresh_from_db()
    return drafted(county, bridge, [make_jack(county.agency)], now)


def test_a_draft_says_that_it_is_not_released_on_every_page(day, now):
    for text in pages_of(day, now.date()):
        assert text.count("NOT RELEASED") >= 1
        assert "Nothing may be pulled from it until an engineer has released it" in text


def test_released_it_names_the_engineer_and_nothing_stands_across_it(county, day, now):
    (text,) = pages_of(released(county, day, now, "Read the neighbours."), now.date())
    assert "NOT RELEASED" not in text and "HELD" not in text
    assert f"Released by {county.people['engineer']}, PE 0000 (invented), 15 Jun 2026" in text
    assert "Note: Read the neighbours." in text


def test_the_cautions_stand_on_top_with_their_figures(county, day, now):
    """Red oak under a 12 in plate, wet: 820 x 0.67 x 144 = 79,113.6 lb (NDS, checked-2nd), below the steel's 89,250;
    no rating here, so the floor of 40 psi is the need.
    """
    day = released(county, day, now)
    (text,) = pages_of(day, now.date())
    first = text.index("Pull Bar")
    for words in (
        "Nobody in line with a bar under load",
        "Calibrated jack and gauge only",
        "calibrated 2 Mar 2026, valid to 2 Mar 2027",
        f"No pull above {day.released_most_lb:,.0f} lb",
        "No bar ever above 79,113 lb (its anchorage)",
        "No traffic on the span while a jack is on a bar",
        "least local pressure, read, is at least 40 psi",
        "STOP",
        "differ by more than 7 %",
        "sinks 0.125 in",
    ):
        assert words in text and text.index(words) < first, words
    assert "A gauge reading at lock-off is not a standing force" in text


def test_without_a_plate_on_record_the_steel_sets_the_limit(county, now):
    """0.70 x 150,000 x 0.85 = 89,250 lb (EM 7700-8 chapter 9, ASTM A722, memory)."""
    bridge = make_deck_to_stress(county, now, plate_height_in=None)
    (text,) = pages_of(drafted(county, bridge, [make_jack(county.agency)], now), now.date())
    assert "No bar ever above 89,250 lb (0.70 of its tensile strength)" in text


def test_every_pull_stands_with_its_figures_in_order(day, now):
    (text,) = pages_of(day, now.date())
    at = text.index("Pull Bar")
    for pull in day.plan["pulls"]:
        (each,) = pull["bars"]
        figures = (f"{each['gauge_psi']:,.0f}", f"{each['set_lb']:,.0f}", f"{each['elongation_in']:.2f}",
                   f"{each['locked_lb']:,.0f}")  # fmt: skip
        name = day.plan["given"]["bars"][each["bar_index"]]["name"]
        found = re.compile(rf"\b{pull['number']} {name} " + " ".join(map(re.escape, figures))).search(text, at)
        assert found, (pull["number"], name, figures)
        at = found.start()


def test_a_bar_left_out_is_named_with_its_reason(county, now):
    bridge = make_deck_to_stress(county, now)
    Bar.objects.filter(number=5).update(is_usable=False, set_aside_reason="no mark on it")
    (text,) = pages_of(drafted(county, bridge, [make_jack(county.agency)], now), now.date())
    assert "Not pulled. Bar 5: no mark on it." in text


def test_an_expired_calibration_is_printed(county, now):
    bridge = make_deck_to_stress(county, now)
    old = make_jack(county.agency, "Old", calibrated_on=now.date().replace(year=2024))
    day = released(county, drafted(county, bridge, [old], now), now, "Checked against the load cell.")
    (text,) = pages_of(day, now.date())
    assert text.count("calibration expired 15 Jun 2025") == 2 and "Note: Checked against the load cell." in text


def test_a_sheet_that_may_no_longer_be_used_says_held(county, day, now):
    day = released(county, day, now)
    Bar.objects.filter(number=3).update(is_usable=False, set_aside_reason="bent")
    (text,) = pages_of(day, now.date())
    assert "HELD" in text and "Bar 3 is not jacked: bent" in text


def test_eight_bars_and_one_pass_fit_one_page_for_each_jack(county, now):
    bridge = make_deck_to_stress(county, now, force_lb=None)
    standing = with_bars(bridge, 8)
    for count in (1, 2):
        jacks = [make_jack(county.agency, f"Jack {n}", serial=f"{count}-{n}") for n in range(1, count + 1)]
        day = drafted(county, bridge, jacks, now, standing_lb=standing, method="equal_passes", pass_count=1)
        assert len(day.plan["pulls"]) == 8 / count
        texts = pages_of(day, now.date())
        assert len(texts) == count
        for number, text in enumerate(texts, start=1):
            assert f"Jack {number} sheet {number} of {count}" in text and "Nobody in line with a bar" in text


def test_thirty_bars_run_on_with_the_cautions_in_short(county, now):
    bridge = make_deck_to_stress(county, now, force_lb=None)
    standing = with_bars(bridge, 30)
    jack = make_jack(county.agency)
    day = drafted(county, bridge, [jack], now, standing_lb=standing, method="equal_passes", pass_count=1)
    texts = pages_of(day, now.date())
    assert 2 <= len(texts) <= 3
    for text in texts[1:]:
        assert "Nobody in line with a bar. No pull above" in text and "Gauge" in text
    assert f"page {len(texts)} of {len(texts)}" in texts[-1]


def test_the_same_sheet_prints_the_same_bytes(day, now):
    content = sheet_content(day, as_of=now.date())
    assert stressing_sheet_pdf(content) == stressing_sheet_pdf(content)


def test_words_of_the_record_are_never_markup(county, now):
    bridge = make_deck_to_stress(county, now)
    crew = '#panic("x") *bold* _em_ $x$ <label> <script>alert(1)</script>'
    day = drafted(county, bridge, [make_jack(county.agency, "Jack #1 *")], now, crew=crew)
    (text,) = pages_of(day, now.date())
    assert crew in text and "Jack #1 *" in text
    page = county.client("crew").get(f"/stressing/{day.pk}/sheet/").content.decode()
    assert "<script>alert" not in page


def test_the_page_and_the_pdf_are_served_and_say_the_same(county, day):
    crew = county.client("crew")
    page = crew.get(f"/stressing/{day.pk}/sheet/")
    pdf = crew.get(f"/stressing/{day.pk}/sheet.pdf")
    assert page.status_code == 200 and pdf.status_code == 200
    assert pdf["Content-Type"] == "application/pdf" and "stressing-sheet-Q-2-" in pdf["Content-Disposition"]
    text = page.content.decode()
    assert "NOT RELEASED" in text and "Nobody in line with a bar" in text
    for pull in day.plan["pulls"]:
        assert f"{pull['bars'][0]['gauge_psi']:,.0f}" in text
