"""Nothing that a record says is run by a browser, and nothing is fetched for it from elsewhere."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from tests.publish.demo import Demo, build_in
from tests.publish.hostile import lay_out_hostile
from tests.publish.page import pages_in

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """One product whose every text tries to be more than text, built."""
    return build_in(lay_out_hostile(tmp_path_factory.mktemp("hostile") / "studio"))


def test_no_page_runs_or_fetches_what_a_record_says(hostile: Demo, browser: Browser) -> None:
    """Every page and drawing is opened, and every link in a page's words pressed: nothing runs, no host is asked."""
    alerts: list[str] = []
    loaded: list[str] = []
    context = browser.new_context()
    # Whatever would run says so: each harm in the records calls for an alert with a number of its own.
    context.add_init_script("window.alert = (what) => console.error(`alert ${what}`)")
    context.on("request", lambda request: loaded.append(request.url))
    context.on("console", lambda message: alerts.append(f"{message.page and message.page.url}: {message.text}"))
    page = context.new_page()
    files = pages_in(hostile.output) + sorted(hostile.output.rglob("*.svg"))
    for file in files:
        page.goto(file.as_uri())
        page.mouse.move(300, 300)
        for link in page.locator(".prose a:not([href^='http'], [href='terms.html'])").all():
            link.click(no_wait_after=True)
    context.close()
    assert len(files) > 12
    assert alerts == []
    assert [url for url in loaded if not url.startswith(("file:", "data:", "mailto:"))] == []


def test_alert_would_be_seen(browser: Browser) -> None:
    """The check does see a script that runs, and a picture that is fetched."""
    context = browser.new_context()
    said: list[str] = []
    context.add_init_script("window.alert = (what) => console.error(`alert ${what}`)")
    context.on("console", lambda message: said.append(message.text))
    page = context.new_page()
    with page.expect_console_message(lambda message: message.text == "alert 1"):
        page.set_content("<img src=x onerror=alert(1)>")
    context.close()
    assert "alert 1" in said
