"""Any dormers, put together as solids: they fit, and no part of a slope is left without rafters."""

from __future__ import annotations

from hypothesis import HealthCheck, event, example, given, settings

from cutlist.checks.run import CAUTIONS, UNDER_DORMERS, cautions
from tests.dormers import DORMER, NEAR_A_PEAK, SHED_DORMER, any_dormers, any_shed_dormers
from tests.jobs import Tables, job_of, why_refused
from tests.roof.test_carried import assert_carried
from tests.roof.test_overlay import LAID

ANY = settings(
    max_examples=20,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


@ANY
@example(NEAR_A_PEAK)
@given(any_dormers())
def test_any_dormers_fit(tables: Tables) -> None:
    refused = why_refused(tables)
    event("refused" if refused else "framed")
    if not refused:
        assert_carried(tables)


@ANY
@given(any_shed_dormers())
def test_any_shed_dormers_fit(tables: Tables) -> None:
    event("refused" if why_refused(tables) else "framed")


def test_what_is_beneath_a_dormer_is_to_be_designed() -> None:
    for tables in (DORMER, SHED_DORMER):
        assert cautions(job_of(tables)) == (*CAUTIONS, UNDER_DORMERS)
    assert cautions(job_of(LAID)) == CAUTIONS
