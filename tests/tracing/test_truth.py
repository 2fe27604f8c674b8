"""A few pictures of known designs, traced and matched piece by piece; ``python -m tests.tracing`` tries many more."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.tracing.trace_options import read_trace_options
from catalog_builder.tracing.traced_drawing import drawing_of
from tests.tracing.matching import match
from tests.tracing.pictures.drawn_kinds import KINDS, make_shot

# Enough to see every line, and a third of the work of a phone's 12.
_MEGAPIXELS = 5.0
# A kind and the number of a picture.
_TRIED = (("photo", 0), ("scan", 1), ("half", 0), ("light table", 0), ("misses", 0), ("islands", 0))


@pytest.mark.parametrize(("kind", "number"), _TRIED)
def test_a_trace_has_every_piece_where_it_was_drawn(kind: str, number: int, tmp_path: Path) -> None:
    """Each piece is matched with its truth; borders, width and area keep to what the kind is held to."""
    shot = make_shot(kind, number, "check", _MEGAPIXELS)
    told = {**dict.fromkeys(("paper", "dpi", "width", "half")), **shot.options}
    drawing = drawing_of(shot.save(tmp_path), read_trace_options(**told))
    result = match(shot.truth, drawing.svg)
    assert result.amiss == ()
    assert result.right == result.pieces > 2
    assert result.borders.max() <= KINDS[kind].borders
    assert result.width <= KINDS[kind].width
    assert result.area <= 1.0
