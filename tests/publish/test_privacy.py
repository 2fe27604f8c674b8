"""Private stays private: canaries in every private field, and none of them where the public looks."""

from __future__ import annotations

import csv
import re
import struct
import zlib
from collections.abc import Iterator
from decimal import Decimal
from io import StringIO
from pathlib import Path

import pytest
from PIL import Image, PngImagePlugin

from catalog_builder.publish.theme.loading import read_theme
from tests.publish.demo import ROOT, Demo, build_in, bytes_of, give_photos, lay_out_known, reworded
from tests.publish.page import pages_in, read_page, text_of
from tests.publish.photos import quarters, saved
from tests.publish.profile import p3_profile
from tests.publish.sheet import pdf_text

PUBLIC = ("catalogue", "stall")
PRODUCTS = ("net-loft-panel", "quay-lantern", "shore-crab", "two-waxcaps")
PHOTOGRAPHED = PRODUCTS[1]
# No text and no number of the demo looks like these.
WORD = "Zyqwroth"
TAIL = "731198426"


def canary(field: str) -> str:
    """Give a word that stands for a private text."""
    return f"{WORD}{field}{WORD}"


def plant(project: Path) -> None:
    """Put a canary into every private field of the records, and into everything beside a photo's pixels."""
    content = project / "content"
    _plant_in_materials(content / "materials.csv")
    _plant_in_prices(content / "material_prices.csv")
    _plant_in_studio(content / "studio.toml")
    boxes = list(csv.DictReader(StringIO((content / "boxes.csv").read_text(encoding="utf-8"))))
    _write_rows(content / "boxes.csv", [{**row, "title": canary("box")} for row in boxes])
    (content / "price_book.csv").write_text(
        "date,variant,channel,price,why\n"
        f"2026-11-01,{PHOTOGRAPHED}--small--copper--riding,trade,9.{TAIL},{canary('why')}\n",
        encoding="utf-8",
    )
    for slug in PRODUCTS:
        record = content / "products" / slug / "product.md"
        reworded(
            record,
            ("\nseries:", f"\n# {canary('header')}\nmarket_price: 83.{TAIL}\nseries:"),
            ("\n```svg\n", f"\n<!-- {canary('remark')} -->\n\n```svg\n"),
            (
                "\n</svg>",
                f"\n<!-- {canary('drawing')} --><metadata>{canary('metadata')}</metadata>"
                f"<desc>{canary('desc')}</desc></svg>",
            ),
        )
        (record.parent / "notes.txt").write_text(canary("beside"), encoding="utf-8")
    give_photos(
        project,
        PHOTOGRAPHED,
        {"zyqwrothfile.jpg": _jpeg(), "zyqwrothsecond.png": _png(), "zyqwroththird.webp": _webp()},
    )
    for page in ("about", "care"):
        with (content / f"{page}.md").open("a", encoding="utf-8") as file:
            file.write(f"\n<!-- {canary(page)} -->\n")
    _plant_in_logs(content)
    _plant_in_quote(content / "quotes")
    (content / "stock.csv").write_text(
        f"material,amount,note\nglass-tide,1.{TAIL},{canary('stock')}\n", encoding="utf-8"
    )
    (content / "batches").mkdir()
    (content / "batches" / "zyqwroth-batch.toml").write_text(
        f'# {canary("remark")}\ntitle = "{canary("plan")}"\nbegins = 2026-11-26\nready_by = 2026-12-04\n'
        f'hours_a_day = "5.{TAIL}"\nmake = [{{product = "{PHOTOGRAPHED}", size = "small", finish = "copper", '
        'glass = "riding", count = 4}]\n',
        encoding="utf-8",
    )


def _plant_in_quote(folder: Path) -> None:
    """A commission: nothing of it, down to its drawing and its names, is anybody else's to see."""
    folder.mkdir()
    (folder / "zyqwroth-hall.toml").write_text(
        f'# {canary("remark")}\nbuyer = "{canary("buyer")}"\ncontact = "{canary("contact")}"\ndated = 2026-11-02\n'
        f'until = 2026-12-31\ndelivery = "{canary("delivery")}"\nterms = "{canary("terms")}"\n'
        f'carriage = "7.{TAIL}"\nitems = [{{product = "{PHOTOGRAPHED}", title = "{canary("item")}", '
        f'note = "{canary("agreed")}", width = "77.{TAIL} mm", finish = "copper", glass = "riding"}}]\n',
        encoding="utf-8",
    )
    (folder / "zyqwroth-drawing.svg").write_text(f"<svg><desc>{canary('sketch')}</desc></svg>", encoding="utf-8")


def _plant_in_materials(path: Path) -> None:
    rows = list(csv.DictReader(StringIO(path.read_text(encoding="utf-8"))))
    for row in rows:
        row["title"] = canary(f"title{row['material']}")
        row["supplier"] = canary("supplier")
        if row["kind"] == "glass":
            assert row["shown_as"], f"{row['material']} has no words for buyers"
    _write_rows(path, rows)


def _plant_in_prices(path: Path) -> None:
    rows = list(csv.DictReader(StringIO(path.read_text(encoding="utf-8"))))
    for row in rows:
        row["note"] = canary("note")
        row["price"] = f"{Decimal(row['price']):.2f}{TAIL}"
    _write_rows(path, rows)


def _plant_in_logs(content: Path) -> None:
    """Timed batches, weighed spools, a packing list and sales; names are small letters, as the records want them."""
    product = f"{PHOTOGRAPHED},small,copper,riding"
    (content / "markets").mkdir()
    texts = {
        "bench_made.csv": f"batch,product,size,finish,glass,count\n{canary('batch')},{product},4\n",
        "bench_log.csv": "date,batch,step,minutes,note\n"
        f"2026-10-01,{canary('batch')},cut,9.{TAIL},{canary('timing')}\n",
        "spools.csv": f"batch,before_g,after_g,note\n{canary('batch')},500,401.{TAIL},{canary('spool')}\n",
        "markets/zyqwrothmarket.csv": f"product,size,finish,glass,count,box\n{product},2,{canary('crate')}\n",
        "ready.csv": f"date,product,size,finish,glass,count,note\n2026-11-02,{product},3,{canary('shelf')}\n",
        "sales.csv": f"market,product,size,finish,glass,count,price\nzyqwrothmarket,{product},1,44.{TAIL}\n",
    }
    for name, text in texts.items():
        (content / name).write_text(text, encoding="utf-8")
    market = (
        'code = "quay-december"\npitch_fee = 28\nstall_hours = 8\n',
        f'code = "zyqwrothmarket"\npitch_fee = "28.5{TAIL}"\nstall_hours = "8.5{TAIL}"\n',
    )
    reworded(content / "studio.toml", market, ("{ each = 2, count = 10 },", f'{{ each = "2.5{TAIL}", count = 10 }},'))


def _write_rows(path: Path, rows: list[dict[str, str]]) -> None:
    out = StringIO()
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    path.write_text(out.getvalue(), encoding="utf-8", newline="\n")


def _plant_in_studio(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for key in ("hourly_rate", "overheads_a_year", "day_fee"):
        text, count = re.subn(rf'^({key} = "\d+)\.\d+"', rf'\1.5{TAIL}"', text, flags=re.MULTILINE)
        assert count == 1, key
    # Minutes of steps, what channels take and leave, and what else is reckoned with.
    numbers = "bench_hours_a_year|allowance_percent|item|piece|edge_m|dm2|markup_percent|margin_percent"
    for words, whole in ((rf"(?:{numbers}|fee_percent)", r"\d+"), (r"fee_(?:percent|each)", r'"\d+\.\d+')):
        text, count = re.subn(
            rf"^({words} = {whole})(?=[\"\n])", rf"\g<1>{'' if '.' in whole else '.5'}{TAIL}", text, flags=re.MULTILINE
        )
        assert count >= 3, words
    for table in ("steps", "channels"):
        heads = rf"^(\[{table}\..*\]\ntitle = \").*\"|^(\[finishes\..*\.steps\..*\]\ntitle = \").*\""
        text, count = re.subn(heads, rf'\1\2{canary(table)}"', text, flags=re.MULTILINE)
        assert count >= 4, table
    path.write_text(f"# {canary('remark')}\n{text}", encoding="utf-8", newline="\n")


def _jpeg() -> bytes:
    exif = Image.Exif()
    for tag in (0x010E, 0x010F, 0x0110, 0x0131, 0x013B, 0x8298, 0x9C9C):
        exif[tag] = canary("exif")
    place = exif.get_ifd(0x8825)
    place[1], place[2], place[29] = "N", (53.0, 21.0, 7.5), canary("gps")
    camera = exif.get_ifd(0x8769)
    # The maker's own notes, the user's comment, the owner, the serial numbers of body and lens (CIPA DC-008, 4.6.6).
    camera[0x927C], camera[0x9286] = canary("makernote").encode(), canary("usercomment").encode()
    camera[0xA430], camera[0xA431], camera[0xA435] = canary("owner"), canary("serial"), canary("lens")
    xmp = f'<x:xmpmeta xmlns:x="adobe:ns:meta/">{canary("xmp")}</x:xmpmeta>'.encode()
    profile, comment = p3_profile(canary("profile")), canary("comment").encode()
    data = saved(quarters((900, 600)), "JPEG", exif=exif, xmp=xmp, comment=comment, icc_profile=profile)
    return _with_thumbnail(data) + canary("trailer").encode()


def _with_thumbnail(data: bytes) -> bytes:
    """Put behind a JPEG's beginning a second Exif block, of a thumbnail with words of its own, and Photoshop's."""
    small = saved(quarters((160, 120)), "JPEG", comment=canary("thumbnail").encode())
    # Two directories: an empty one, and one with the thumbnail's offset and length (TIFF 6.0, section 2).
    second = struct.pack("<HHHIIHHIII", 2, 0x0201, 4, 1, 44, 0x0202, 4, 1, len(small), 0)
    exif = b"Exif\0\0" + b"II*\0" + struct.pack("<IHI", 8, 0, 14) + second + small
    caption = b"\x1c\x02\x78" + struct.pack(">H", len(canary("iptc"))) + canary("iptc").encode()
    iptc = b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">I", len(caption)) + caption
    parts = b"".join(
        bytes((0xFF, mark)) + struct.pack(">H", len(part) + 2) + part for mark, part in ((0xE1, exif), (0xED, iptc))
    )
    return data[:2] + parts + data[2:]


def _webp() -> bytes:
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA431] = canary("webpserial")
    xmp = f'<x:xmpmeta xmlns:x="adobe:ns:meta/">{canary("webpxmp")}</x:xmpmeta>'.encode()
    return saved(quarters((900, 600)), "WEBP", exif=exif, xmp=xmp, icc_profile=p3_profile(canary("webpprofile")))


def _png() -> bytes:
    text = PngImagePlugin.PngInfo()
    text.add_text("Author", canary("pngtext"))
    text.add_itxt("XML:com.adobe.xmp", canary("pngxmp"))
    return saved(quarters((900, 600)), "PNG", pnginfo=text)


def readings(data: bytes) -> Iterator[bytes]:
    """Give a file's bytes, and what is packed in them, as one could read it."""
    yield data
    for match in re.finditer(rb"stream\r?\n", data):
        try:
            yield zlib.decompressobj().decompress(data[match.end() :])
        except zlib.error:
            continue


def holds(data: bytes, words: tuple[str, ...]) -> bool:
    """Say whether a file holds any of some words, in capitals or not, in 8 or in 16 bits a character."""
    lowered = [word.lower() for word in words]
    needles = [code for word in lowered for code in (word.encode(), word.encode("utf-16-le"), word.encode("utf-16-be"))]
    return any(needle in reading.lower() for reading in readings(data) for needle in needles)


@pytest.fixture(scope="module")
def planted(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Four of the demo's products with canaries in every private field, built."""
    project = lay_out_known(tmp_path_factory.mktemp("privacy") / "studio-at-home", *PRODUCTS)
    plant(project)
    return build_in(project)


def public_files(demo: Demo) -> dict[str, bytes]:
    """Give every file that the public may see."""
    return {f"{name}/{path}": data for name in PUBLIC for path, data in bytes_of(demo.output / name).items()}


def test_canaries_are_planted_and_can_be_found(planted: Demo) -> None:
    """The search finds the canaries in the records and photos, and those of them that the bench is to read."""
    content = bytes_of(planted.project / "content")
    assert [path for path, data in content.items() if holds(data, (WORD,))]
    for field in (
        "supplier",
        "note",
        "steps",
        "channels",
        "why",
        "header",
        "metadata",
        "beside",
        "stock",
        "timing",
        "spool",
        "crate",
    ):
        assert any(holds(data, (canary(field),)) for data in content.values()), field
    photo = content[f"products/{PHOTOGRAPHED}/zyqwrothfile.jpg"]
    seen = ("exif", "gps", "usercomment", "xmp", "comment", "profile", "trailer")
    for field in (*seen, "makernote", "owner", "serial", "lens", "thumbnail", "iptc"):
        assert holds(photo, (canary(field),)), field
    for field in ("webpserial", "webpxmp", "webpprofile"):
        assert holds(content[f"products/{PHOTOGRAPHED}/zyqwroththird.webp"], (canary(field),)), field
    bench = bytes_of(planted.output / "bench")
    for word in (
        canary("steps"),
        canary("channels"),
        canary("titlesolder-60-40"),
        canary("batch"),
        canary("plan"),
        canary("crate"),
        canary("box"),
        TAIL,
    ):
        assert any(holds(data, (word,)) for data in bench.values()), word


def test_no_canary_in_anything_public(planted: Demo) -> None:
    """No private text, no private number and nothing that lay beside a photo's pixels is in any public file."""
    files = public_files(planted)
    assert len(files) > 30
    assert [path for path, data in files.items() if WORD.lower() in path.lower()] == []
    assert [path for path, data in files.items() if holds(data, (WORD, TAIL))] == []
    papers = [path for name in PUBLIC for path in (planted.output / name).rglob("*.pdf")]
    assert papers
    assert [path.name for path in papers if WORD.lower() in pdf_text(path).lower()] == []


def test_every_kind_of_public_file_can_be_searched(planted: Demo) -> None:
    """No public file is of a kind in which the search for canaries could not find one: packed, or of a new kind."""
    # Letters and icons of the theme are packed, but come from the theme alone.
    known = {"html", "css", "js", "svg", "xml", "txt", "json", "webmanifest", "pdf", "jpg", "webp", "woff2", "png"}
    assert {path.rpartition(".")[2] for path in public_files(planted)} <= known
    own = {path.name: path.read_bytes() for kind in ("woff2", "png") for path in (ROOT / "themes").rglob(f"*.{kind}")}
    for path, data in public_files(planted).items():
        if path.endswith(("woff2", "png")):
            assert own[path.rpartition("/")[2]] == data


def test_names_of_materials_are_not_public(demo: Demo) -> None:
    """The names by which records call glass, solder and rings are in no public page; buyers read other words."""
    names = [name for name in demo.calculated.content.materials.rows if "-" in name]
    assert len(names) > 20
    assert [path for path, data in public_files(demo).items() if holds(data, tuple(names))] == []


def test_no_path_of_the_machine_is_published(planted: Demo) -> None:
    """No published file tells in which folder of the maker's machine it was made."""
    files = {f"bench/{path}": data for path, data in bytes_of(planted.output / "bench").items()}
    files |= public_files(planted)
    theme = read_theme(planted.project, "daylight", "en-GB")
    words = (str(planted.project), planted.project.name, str(ROOT), str(theme.folder), str(Path.home()) + "/")
    assert [path for path, data in files.items() if holds(data, words)] == []


def public_texts(demo: Demo) -> dict[str, str]:
    """Give all that can be read in public pages, with attributes and data for machines, and in the PDF."""
    texts = {}
    for name in PUBLIC:
        for path in pages_in(demo.output / name):
            page = read_page(path)
            # A drawing's coordinates are numbers of millimetres; its texts are read with the page's.
            tags = [tag for tag in page.find_all(True) if tag.name != "svg" and not tag.find_parent("svg")]
            attributes = " ".join(str(value) for tag in tags for value in tag.attrs.values())
            scripts = " ".join(script.string or "" for script in page.select("script"))
            # A style sheet that stands in a page is the theme's, with numbers of its own.
            styles = " ".join(style.string or "" for style in page.select("style"))
            # Texts of two tags side by side are not one number.
            words = page.get_text(" ").replace(styles, "")
            texts[path.name] = f"{words} {attributes} {scripts}"
    for name in ("price_sheet.pdf", "care_slips.pdf"):
        texts[name] = pdf_text(demo.output / "stall" / name)
    for path in (demo.output / "catalogue" / "to-send").iterdir():
        texts[path.name] = read_page(path).select("body")[0].get_text(" ") if path.suffix == ".html" else pdf_text(path)
    return texts


def test_no_cost_or_floor_price_is_public(demo: Demo) -> None:
    """No variant's cost, floor, trade price or earning can be read in public, but where it equals a public price."""
    prices = {one.prices[name].printed for one in demo.calculations for name in ("online", "stall")}
    public = prices | {band.price for band in demo.calculated.content.postage}
    private: set[Decimal] = set()
    for one in demo.calculations:
        private.add(one.cost.total.quantize(Decimal("0.01"), rounding="ROUND_HALF_UP"))
        private |= {price.printed for price in one.prices.values()}
        for earning in one.earnings.values():
            kept = (earning.floor, earning.left_after_fees, earning.profit, earning.an_hour, earning.fees)
            private |= {amount.quantize(Decimal("0.01"), rounding="ROUND_HALF_UP") for amount in kept}
    wanted = {f"{amount:.2f}" for amount in private - public}
    assert len(wanted) > 500
    read = {name: set(re.findall(r"\d+[.,]\d\d(?!\d)", text)) for name, text in public_texts(demo).items()}
    for name, text in public_texts(demo).items():
        # The borders of the bands in which a buyer looks for a price are round amounts of their own.
        if name != "find.html":
            read[name] |= {f"{whole}.00" for whole in re.findall(r"£(\d+)(?![\d.,]*\d)", text)}
    assert {f"{amount:.2f}" for amount in prices} <= set().union(*read.values())
    assert {name: sorted(found & wanted) for name, found in read.items() if found & wanted} == {}


def test_no_unrounded_cost_is_public(demo: Demo) -> None:
    """No file of the public's holds a cost with all its digits, as a slip of a template would print it."""
    costs = tuple({str(one.cost.total)[:10] for one in demo.calculations})
    assert min(map(len, costs)) == 10
    assert [path for path, data in public_files(demo).items() if holds(data, costs)] == []


def test_bench_pages_say_that_they_are_private(demo: Demo) -> None:
    """Every page of the bench says that it is private, and asks search engines to stay away."""
    pages = pages_in(demo.output / "bench")
    assert len(pages) > len(demo.calculations)
    for path in pages:
        page = read_page(path)
        assert "Private" in text_of(page.select("header.private")[0])
        assert page.select('meta[name="robots"][content="noindex"]'), path.name


def test_nothing_public_leads_to_the_bench(demo: Demo) -> None:
    """No public page, sitemap or style names the bench's folder or a cost card."""
    files = {
        path: data for path, data in public_files(demo).items() if path.endswith((".html", ".xml", ".txt", ".json"))
    }
    assert [path for path, data in files.items() if re.search(rb"bench/|cards/|cost_card|price_list", data)] == []
