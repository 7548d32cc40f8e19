"""Flow through the resin: bed volumes in an hour."""

import pytest

from waterkit.treatment.flows import service_flow_notes


# Service flow 8 to 40 bed volumes per hour (Davis, table 8-2).
@pytest.mark.parametrize(
    ("flow", "noted"), [(790.0, True), (800.0, False), (4000.0, False), (4001.0, True)]
)
def test_service_flow(flow: float, noted: bool) -> None:
    assert bool(service_flow_notes(flow, 100.0)) is noted
