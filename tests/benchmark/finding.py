"""How soon the finder of a large studio shows what is asked for, on a processor as slow as a phone's."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Page

from catalog_builder.build import calculate
from catalog_builder.publish.audiences import catalogue_content
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.studio_pictures import make_pictures
from tests.benchmark.figure import Figure
from tests.benchmark.studio import DAY, lay_out, title
from tests.browser.chromium import opened
from tests.browser.host import serving
from tests.publish.catalogue.long_lists import many, write_lists

# How many products are calculated and drawn; all others are copies of them with titles of their own.
DRAWN = 24
# How many times slower the processor is made.
SLOWER = 6
ROUNDS, MOST_S = 5, 1.0
PHONE = {"width": 390, "height": 844}
# The addresses that are opened: nothing asked, a choice, words that many have, a word of few, and both.
ASKED = {
    "opened": "",
    "opened with a choice": "?finish=Bright",
    "opened with a common word": "?words=moon",
    "opened with a rare word": "?words=ferry",
    "opened with both": "?finish=Black&words=moon",
}
# Notes the moment at which a piece and its count can be seen, in ms from the beginning.
WATCH = """() => {
  window.begun = 0;
  const seen = () => {
    const card = document.querySelector("#pieces .card h2"), found = document.getElementById("found");
    return card?.getClientRects().length && /\\d/.test(found?.textContent) &&
      found.textContent !== window.before;
  };
  const look = () => {
    if (window.shown === undefined && seen()) window.shown = performance.now() - window.begun;
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}"""


def figures(folder: Path, products: int) -> Iterator[Figure]:
    """Measure the time to the first results: as the page is opened, and after a word is typed."""
    lay_out(folder / "studio", DRAWN)
    calculated = calculate(folder / "studio", DAY, quiet)
    few = catalogue_content(calculated, make_pictures(calculated, 1, quiet))
    content = many(few, products, lambda number, _: title(number))
    written = write_lists(content, folder / "lists", ["find.html"])
    with opened() as browser, serving(written) as host:
        for name, query in ASKED.items():
            times = list[float]()
            for _ in range(ROUNDS):
                page = browser.new_context(viewport=PHONE).new_page()  # type: ignore[arg-type]
                slowed(page)
                page.add_init_script(f"({WATCH})()")
                page.goto(f"{host}find.html{query}")
                times.append(shown_s(page))
                page.context.close()
            yield _figure(f"{name}, {products:,} products", times)
        times = list[float]()
        for _ in range(ROUNDS):
            page = browser.new_context(viewport=PHONE).new_page()  # type: ignore[arg-type]
            slowed(page)
            page.add_init_script(f"({WATCH})()")
            page.goto(f"{host}find.html", wait_until="networkidle")
            page.evaluate("window.before = found.textContent; window.begun = performance.now(); delete window.shown")
            page.locator("#words").fill("ferry")
            times.append(shown_s(page))
            page.context.close()
        yield _figure(f"a word typed, {products:,} products", times)


def slowed(page: Page) -> None:
    """Make a page's processor slower."""
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})


def shown_s(page: Page) -> float:
    """Wait for the first results, and give the seconds that they took."""
    page.wait_for_function("window.shown !== undefined")
    return float(page.evaluate("window.shown")) / 1000


def _figure(name: str, times: list[float]) -> Figure:
    return Figure(
        f"finder {name}: first results, processor {SLOWER} times slower",
        statistics.median(times),
        "1 s",
        MOST_S,
        "s",
        1.0,
    )
