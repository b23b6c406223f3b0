"""A piece to change, with ids that count."""

import pytest

from tests.services.piece_desk import Desk


@pytest.fixture
def desk() -> Desk:
    return Desk()
