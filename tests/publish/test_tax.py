"""What a buyer reads about tax: the same on every page and paper, and what is paid where the tax comes on top."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.build import build
from catalog_builder.cli import main
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.page import read_page, structured_data, text_of
from tests.publish.printed import pages_of
from tests.studio import DAY, TABLES, project, record

OWN = "No VAT is shown: small business, § 19 {UStG}."
# What the one variant costs the buyer: the tax is rounded with the price, or after it where it comes on top.
SAID = {
    'tax_percent = 20\ntax = "included"': ("Prices include VAT.", "€22.16", "incl. VAT"),
    'tax_percent = 20\ntax = "added"': ("VAT is added to these prices.", "€18.47 + VAT = €22.16", "+ VAT = €22.16"),
    "": (OWN, "€18.47", ""),
}


def taxed(root: Path, theme: str, tax: str) -> Path:
    """A studio whose channels have a tax or none, with its own sentence for none."""
    channels = {name: f"{TABLES[name]}\n{tax}" for name in ("channels.online", "channels.stall")}
    shops = {"channels.trade": f'title = "Shops"\nshown_on = "shops"\nmarkup_percent = 50\n{tax}'}
    studio = {"studio": f'{TABLES["studio"]}theme = "{theme}"\nno_tax_note = "{OWN}"\n'}
    return project(root, {"pane": record()}, {**studio, **channels, **shops})


def paper(path: Path) -> str:
    """The words of a PDF."""
    return " ".join(" ".join(page.text() for page in pages_of(path.read_bytes())).split())


@pytest.mark.parametrize("theme", ["daylight", "limewash"])
@pytest.mark.parametrize("tax", SAID)
def test_everything_that_a_buyer_reads_says_the_same(tmp_path: Path, theme: str, tax: str) -> None:
    """Pages, finder, the files to send, price sheets and tags; the words for no tax are the studio's own."""
    root = taxed(tmp_path, theme, tax)
    build(root, DAY, 1, quiet)
    assert CliRunner().invoke(main, ["tags", "--folder", str(root), "--day", DAY.isoformat()]).exit_code == 0
    sentence, price, on_tag = SAID[tax]
    output = root / "site_output"
    (one_file,), (book,) = ((output / "catalogue" / "to-send").glob(f"*.{ending}") for ending in ("html", "pdf"))
    pages = [output / "catalogue" / name for name in ("products/pane.html", "find.html", "series/panes.html")]
    texts = [
        text_of(read_page(path).select("body")[0]) for path in (*pages, one_file, output / "stall/price_sheet.html")
    ]
    texts += [paper(path) for path in (book, output / "stall/price_sheet.pdf", output / "bench/trade_price_sheet.pdf")]
    for text in texts:
        assert sentence in text
        assert price in text
    tag = paper(output / "stall" / "tags.pdf")
    assert price.split()[0] in tag
    assert on_tag in tag
    (variant,) = structured_data(read_page(pages[0]))["hasVariant"]
    assert ("priceSpecification" in variant["offers"]) == bool(tax)
