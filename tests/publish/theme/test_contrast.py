"""Contrast of colours, against figures of the standard and a general law of mixing."""

from __future__ import annotations

import pytest

from catalog_builder.publish.theme.contrast import READABLE, contrast, least_contrast, luminance, mixed, readable


def test_black_on_white_is_21_to_1() -> None:
    """WCAG 2.2, definition "contrast ratio": ratios go from 1 to 21."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#83390f", "#83390f") == 1


@pytest.mark.parametrize(("colour", "share"), [("#ff0000", 0.2126), ("#00ff00", 0.7152), ("#0000ff", 0.0722)])
def test_luminance_weighs_the_three_colours(colour: str, share: float) -> None:
    """WCAG 2.2, definition "relative luminance": 0.2126 R + 0.7152 G + 0.0722 B."""
    assert luminance(colour) == pytest.approx(share)


def test_the_lightest_grey_that_can_be_read_on_white() -> None:
    """#767676 is the last grey that passes 4.5 to 1 on white, #777777 the first that fails (from memory)."""
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)
    assert readable("#777777", ["#ffffff"]) == "#767676"


@pytest.mark.parametrize("papers", [["#ffffff"], ["#12181e", "#26323d"], ["#808080"], ["#e9eef0", "#cfd0cf"]])
@pytest.mark.parametrize("colour", ["#ff9944", "#83390f", "#808080", "#ffffff", "#000000"])
def test_what_is_offered_can_be_read_and_is_the_nearest(colour: str, papers: list[str]) -> None:
    """The colour offered passes on every paper; one step less black or white would not."""
    offered = readable(colour, papers)
    assert least_contrast(offered, papers) >= READABLE
    if offered == colour:
        return
    steps = [mixed(colour, pole, step / 255) for step in range(256) for pole in ("#000000", "#ffffff")]
    before = steps[: steps.index(offered) // 2 * 2]
    assert all(least_contrast(tried, papers) < READABLE for tried in before)


def test_where_nothing_can_be_read_the_better_pole_is_given() -> None:
    """On black, grey and white at once no colour can be read; black or white is given, not an error."""
    papers = ["#000000", "#777777", "#ffffff"]
    assert readable("#ff9944", papers) in ("#000000", "#ffffff")
    assert least_contrast(readable("#ff9944", papers), papers) < READABLE
