"""The marking page at work: from the disk, by mouse and by keyboard; and under look, with prices and Save."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from queue import Queue
from threading import Thread

import pytest
from playwright.sync_api import Locator, Page, expect

from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Product, product_of, read_product
from catalog_builder.records.reading.source import Source
from tests.browser.axe_rules import violations
from tests.browser.conftest import Opener
from tests.browser.kinds import address
from tests.publish.demo import Demo, lay_out_known

pytestmark = pytest.mark.browser


def piece(page: Page, number: str) -> Locator:
    """The piece of a number, by the name that a screen reader says."""
    return page.locator(f'.field[aria-label^="Piece {number}:"]')


def words(page: Page) -> dict[str, str]:
    """The glass word of each piece by its number, as a screen reader says them."""
    names = page.locator(".field").evaluate_all("paths => paths.map((path) => path.getAttribute('aria-label'))")
    told = (re.match(r"Piece (\w+): (\w[\w-]*),", name) for name in names)
    return {match[1]: match[2] for match in told if match}


def ask(page: Page, question: str) -> None:
    """Open a question of the page, and wait until the pattern answers it."""
    page.locator(f'.question[data-question="{question}"] > summary').click()
    expect(page.locator("body")).to_have_attribute("data-asked", question)


def pasted(record: Product, lines: str) -> Product:
    """A product whose header has lines in place of the same keys, as a maker would paste them."""
    path = record.folder / "product.md"
    header, _, body = path.read_text(encoding="utf-8").removeprefix("---\n").partition("\n---\n")
    kept = re.sub(r"^(?:glass|hang|marks|parts):.*\n?(?:[ \t]+.*\n?)*", "", header + "\n", flags=re.MULTILINE)
    text = f"---\n{kept}{lines}\n---\n{body}"
    return product_of(record.folder.parents[2], record.folder, Source(record.source.path, text))


def read_back(demo: Demo, product: Product) -> dict[str, str]:
    """The glass word of each piece by its number, as the program reads them."""
    content = demo.calculated.content
    sized = read_sizes(product, content.studio.making, content.materials)[0]
    return {piece.number: piece.glass for pattern in sized.patterns.values() for piece in pattern.pieces}


def test_pieces_are_given_glass_from_the_disk(demo: Demo, open_page: Opener) -> None:
    """Clicked and dragged over, pieces take the brush; undo takes it back; Copy gives lines that a record can hold."""
    page = open_page(address(demo, "marking"))
    first = words(page)
    page.locator("summary", has_text="Another glass").click()
    page.locator('input[data-glass="glass-ruby"]').check()
    piece(page, "8").click()
    page.locator('input[data-word="glow"]').check()
    for number, moves in (("2", page.mouse.down), ("1", page.mouse.up)):
        box = page.locator(".numbers text", has_text=re.compile(f"^{number}$")).bounding_box()
        assert box is not None
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2, steps=6)
        moves()
    now = words(page)
    changed = {number: now[number] for number in now if now[number] != first[number]}
    assert changed == {"8": "glass-ruby", "1": "glow", "2": "glow"}
    expect(page.locator("#as-of")).to_have_text(re.compile("without your changes"))
    page.keyboard.press("Control+z")
    assert words(page) == {**first, "8": "glass-ruby"}
    page.locator("#redo").click()
    assert words(page) == now
    page.locator("#alike").uncheck()
    piece(page, "6L").click()
    page.locator("#copy").click()
    record = read_product(demo.project, demo.project / "content" / "products" / "quay-lantern")
    product = pasted(record, page.locator("#lines").input_value())
    assert read_back(demo, product) == words(page) == {**now, "6L": "glow"}
    assert {choice.pieces["glass-ruby"] for choice in product.keys.glass.values()} == {"glass-ruby"}
    assert [choice.title for choice in product.keys.glass.values()] == ["Riding light", "Green lamp, red flame"]


def test_all_is_done_by_keyboard(demo: Demo, open_page: Opener) -> None:
    """Tab leads to the pattern, arrow keys go from piece to piece, Enter answers the question; each change is said."""
    page = open_page(address(demo, "marking"), width=390, height=844)
    said = page.locator("#said")
    page.locator(".field").first.focus()
    page.keyboard.press("ArrowDown")
    focused = page.evaluate("() => document.activeElement.getAttribute('aria-label')")
    assert focused.startswith("Piece ")
    ask(page, "number")
    page.locator("#next").fill("8")
    piece(page, "9").focus()
    page.keyboard.press("Enter")
    expect(said).to_have_text(re.compile("^Piece 8:"))
    ask(page, "grain")
    page.locator("#degrees").fill("30")
    piece(page, "4L").focus()
    page.keyboard.press(" ")
    expect(piece(page, "4L")).to_have_attribute("aria-label", re.compile("grain 30°$"))
    expect(piece(page, "4R")).to_have_attribute("aria-label", re.compile("grain 150°$"))
    ask(page, "ring")
    page.locator(".spot").first.focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(said).to_have_text("Ring set.")
    ask(page, "open")
    piece(page, "7").focus()
    page.keyboard.press("Enter")
    expect(said).to_have_text("Open field, no glass")
    ask(page, "wire")
    for key in ("ArrowRight", "ArrowDown"):
        page.locator('.spot[tabindex="0"]').focus()
        page.keyboard.press("Enter")
        page.keyboard.press(key)
    page.locator('.spot[tabindex="0"]').focus()
    page.keyboard.press("Enter")
    page.locator("#wire-end").press("Enter")
    expect(said).to_have_text("Wire marked.")
    page.locator("#copy").press("Enter")
    record = read_product(demo.project, demo.project / "content" / "products" / "quay-lantern")
    product = pasted(record, page.locator("#lines").input_value())
    assert read_back(demo, product) == words(page)
    marks = product.keys.marks
    assert sorted((mark.number, mark.grain) for mark in marks.pieces if mark.number) == [("8", None), ("9", None)]
    # The right half is drawn.
    assert [mark.grain for mark in marks.pieces if mark.grain is not None] == [150]
    assert (len(marks.rings), len(marks.open), len(marks.wires[0].points)) == (2, 1, 3)
    for _ in range(12):
        page.keyboard.press("Control+z")
    expect(page.locator("#undo")).to_be_disabled()
    assert violations(page) == []


def test_a_proposal_names_its_hardware(demo: Demo, open_page: Opener) -> None:
    """A ring that needs a loop along the rim is copied with it; undo gives the record's own hardware back."""
    page = open_page(address(demo, "marking"))
    ask(page, "ring")
    by = page.evaluate("() => record.drawings[0].proposals.map((each) => each.by)")
    page.locator(".proposal").nth(by.index("loop")).click()
    page.locator("#copy").click()
    record = read_product(demo.project, demo.project / "content" / "products" / "quay-lantern")
    looped = pasted(record, page.locator("#lines").input_value()).keys
    assert (looped.hang.by, len(looped.marks.rings)) == (HardwareKind.LOOP, 1)
    page.locator("#undo").click()
    page.locator("#copy").click()
    assert "hang:" not in page.locator("#lines").input_value()


def test_a_grain_arrow_is_drawn(demo: Demo, open_page: Opener) -> None:
    """An arrow drawn in a piece sets its grain, in degrees anticlockwise."""
    page = open_page(address(demo, "marking"))
    ask(page, "grain")
    page.evaluate("() => scrollTo(0, 0)")
    box = piece(page, "8").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x - 20, y + 8)
    page.mouse.down()
    page.mouse.move(x + 20, y - 32 + 0, steps=4)
    page.mouse.up()
    expect(piece(page, "8")).to_have_attribute("aria-label", re.compile("grain 45°$"))


@dataclass(frozen=True)
class Looking:
    """The command ``look`` at work on a project."""

    project: Path
    lines: Queue[str]

    def says(self, words: str) -> str:
        """Wait for a line of the terminal."""
        while words not in (line := self.lines.get(timeout=90)):
            pass
        return line


@pytest.fixture
def looking(tmp_path: Path) -> Iterator[Looking]:
    """The command ``look`` on a studio with one product, ended in the end."""
    project = lay_out_known(tmp_path / "studio", "net-loft-panel")
    path = project / "content" / "products" / "net-loft-panel" / "product.md"
    path.write_text(path.read_text(encoding="utf-8").replace("\nglass:", "\n# The glass.\nglass:"), encoding="utf-8")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    command = [sys.executable, "-u", "-m", "catalog_builder", "look", "--no-browser", "--port", port, "--folder"]
    process = subprocess.Popen([*command, str(project)], stdout=subprocess.PIPE, text=True)
    lines: Queue[str] = Queue()

    def read() -> None:
        for line in process.stdout or ():
            lines.put(line)

    thread = Thread(target=read, daemon=True)
    thread.start()
    yield Looking(project, lines)
    process.terminate()
    process.wait(30)
    thread.join(10)
    if process.stdout:
        process.stdout.close()


def test_price_follows_and_save_writes_the_record(looking: Looking, open_page: Opener) -> None:
    """Under look the price follows a change, Save writes it with all comments kept, and the catalogue follows."""
    bench = looking.says("Showing the bench").split()[-1]
    page = open_page(f"{bench}marking/net-loft-panel.html")
    path = looking.project / "content" / "products" / "net-loft-panel" / "product.md"
    before, cost = path.read_text(encoding="utf-8"), page.locator("#money dd").first.inner_text()
    select = page.locator(".word select").first
    dearer = page.evaluate("() => Object.keys(record.glasses).find((name) => name.includes('ruby'))")
    select.select_option(dearer)
    expect(page.locator("#as-of")).to_have_text("With your changes.", timeout=30_000)
    follows = page.locator("#money dd").first.inner_text()
    assert follows != cost
    assert path.read_text(encoding="utf-8") == before
    page.locator("#save").click()
    expect(page.locator("#said")).to_have_text("Saved in the record. The catalogue follows.", timeout=30_000)
    after = path.read_text(encoding="utf-8")
    assert "# The glass.\nglass:" in after
    assert dearer in after
    assert len(after.splitlines()) == len(before.splitlines())
    looking.says("Made ")
    expect(page.locator("#as-of")).to_have_text("As at the last build.", timeout=30_000)
    expect(page.locator("#money dd").first).to_have_text(follows)
    shop = open_page(f"{bench.partition('/.bench/')[0]}/products/net-loft-panel.html")
    own_site = page.locator("#money div", has_text="Own site").locator("dd").inner_text()
    expect(shop.locator("body")).to_contain_text(own_site.removesuffix(".00"))
