"""The page of published ponds is what the model says today, and it holds up as well as its ranges promise."""

import re
from pathlib import Path

import pytest

from validation import report

PAGE = Path(__file__).parents[2] / "docs/trust.md"


@pytest.fixture(scope="module")
def found():
    return report.gather()


def parts(text):
    return re.findall(r"[-+]?\d+(?:\.\d+)?|[^\d\s]+", text)


def near(part):
    """Give numbers some way: another processor may round the last digit the other way."""
    if not part[-1].isdigit():
        return part
    return pytest.approx(float(part), rel=0.02, abs=1.01 * 10.0 ** -len(part.partition(".")[2]))


def read(part):
    return float(part) if part[-1].isdigit() else part


def test_the_page_is_the_model_of_today(found):
    # to see what changed: python -m validation, then read the difference
    assert [read(part) for part in parts(PAGE.read_text("utf-8"))] == [near(part) for part in parts(report.page(found))]


def test_eight_in_ten_growth_series_end_inside_their_range(found):
    held = sum(one.holds for one in found.series)
    assert len(found.series) >= 20
    assert held >= 0.75 * len(found.series)


def test_no_start_up_and_at_most_one_share_of_nitrogen_misses(found):
    missed = [check.id for check in found.windows if check.verdict == "misses"]
    assert set(missed) <= {"N2"}


def test_of_water_what_misses_is_known_by_name(found):
    # W1 Timmons & Ebeling, W3 a river in batches, W4 and W5 Yang & Kim 2020: told on the page, not hidden
    missed = {check.id for check in found.waters if check.verdict == "misses"}
    assert missed == {"W1", "W3", "W4", "W5"}
    assert len(found.waters) == 9


def test_marks_of_what_holds_bacteria_up_miss_by_name(found):
    # the published values of F1 to F3 exclude each other; F4 is a step where the model has a slope
    assert {check.id for check in found.marks if check.verdict == "misses"} == {"F2", "F3", "F4"}


def test_what_set_the_model_is_not_counted_as_proof(found):
    assert {check.id for check in found.windows if not check.blind} >= {"S1", "S2", "S3", "S4", "N1"}
    assert sum(check.blind for check in found.windows) >= 6


def test_growth_fitted_on_its_first_third_ends_within_a_fifth_but_for_two(found):
    # asked for: within 20 %. G3 (Yanik et al. 2002) and G6 (Legendre et al. 1992) miss, and stand so on the page
    assert len(found.thirds) == 8
    assert {one.series.id for one in found.thirds if not one.close} == {"G3", "G6"}
    assert {one.series.id for one in found.thirds if not one.holds} == {"G3", "G6"}


def test_weigh_ins_bring_the_end_nearer_in_most_series(found):
    before = {one.series.id: abs(one.error) for one in found.series}
    nearer = [one.series.id for one in found.thirds if abs(one.error) < before[one.series.id]]
    assert len(nearer) >= 6
