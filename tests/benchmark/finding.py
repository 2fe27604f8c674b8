"""How soon the finder of a large studio shows what is asked for, on a processor as slow as a phone's."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Browser, CDPSession, ViewportSize

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
PHONE: ViewportSize = {"width": 390, "height": 844}
TYPED = "ferry"
PATIENCE_MS = 120_000
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
    """Measure the time to the first results: as the page is opened, and after a word is typed.

    Each is given twice: by the clock in a browser whose processor is made slower, and as the seconds that the page's
    own thread works, so many times, which other programs of the machine change little.
    """
    lay_out(folder / "studio", DRAWN)
    calculated = calculate(folder / "studio", DAY, quiet)
    few = catalogue_content(calculated, make_pictures(calculated, 1, quiet))
    content = many(few, products, lambda number, _: title(number))
    written = write_lists(content, folder / "lists", ["find.html"])
    with opened() as browser, serving(written) as host:
        for name, query in ASKED.items():
            yield from _both(f"{name}, {products:,} products", browser, f"{host}find.html{query}", "")
        yield from _both(f"a word typed, {products:,} products", browser, f"{host}find.html", TYPED)


def _both(name: str, browser: Browser, address: str, word: str) -> Iterator[Figure]:
    slow = statistics.median(first_results(browser, address, word, SLOWER)[0] for _ in range(ROUNDS))
    worked = SLOWER * statistics.median(first_results(browser, address, word, 1)[1] for _ in range(ROUNDS))
    yield Figure(f"finder {name}: first results, {SLOWER} times slower", slow, "1 s", MOST_S, "s", 1.0)
    yield Figure(f"finder {name}: work of the page, {SLOWER} times", worked, "1 s", MOST_S, "s", 1.0)


def first_results(browser: Browser, address: str, word: str, slower: int) -> tuple[float, float]:
    """Open a page and type a word, if any; give the seconds to the first results, and those that the page worked."""
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    tools = context.new_cdp_session(page)
    tools.send("Performance.enable", {"timeDomain": "threadTicks"})
    tools.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    page.add_init_script(f"({WATCH})()")
    page.goto(address, wait_until="networkidle" if word else "commit")
    before = 0.0
    if word:
        before = _worked_s(tools)
        page.evaluate("window.before = found.textContent; window.begun = performance.now(); delete window.shown")
        page.locator("#words").fill(word)
    page.wait_for_function("window.shown !== undefined")
    worked = _worked_s(tools) - before
    shown = float(page.evaluate("window.shown")) / 1000
    context.close()
    return shown, worked


def _worked_s(tools: CDPSession) -> float:
    """Give the seconds that the page's thread has worked so far."""
    metrics = tools.send("Performance.getMetrics")["metrics"]
    return float(next(each["value"] for each in metrics if each["name"] == "TaskDuration"))
