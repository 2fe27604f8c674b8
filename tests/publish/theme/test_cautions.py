"""A caution reaches whoever takes a piece home or works at the bench; the studio can reword it, but not silence it."""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Sequence
from pathlib import Path

import pytest

from catalog_builder.build import build, calculate
from catalog_builder.mistake import MistakeError
from catalog_builder.offer import cautions, with_lead_frame
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Hang
from catalog_builder.records.studio_tables.caution import BenchCautions, Cautions
from tests import studio
from tests.publish.demo import ROOT, reworded
from tests.publish.page import read_page, text_of
from tests.publish.printed import pages_of

LABELS = tomllib.loads((ROOT / "themes/daylight/labels/en.toml").read_text(encoding="utf-8"))
OWN = "Mind it: {lead} in every seam & rim."
ALSO = "Carry it flat, never by its ring."
ONE = "Its left edge is proud; feel for it."
BENCH_OWN = "Open both windows before the iron is hot."
BENCH_ALSO = "The stool by the kiln is hot."
TABLES = {
    "cautions": f'lead_solder = "{OWN}"\nalso = ["{ALSO}"]',
    "bench_cautions": f'fume = "{BENCH_OWN}"\nalso = ["{BENCH_ALSO}"]',
}


def plain(pdf: Path) -> str:
    """The words of a PDF with single blanks."""
    return " ".join(" ".join(page.text() for page in pages_of(pdf.read_bytes())).split())


def said_on(page: Path, place: str) -> list[str]:
    """The lines of a list on a page."""
    return [text_of(line) for line in read_page(page).select(f"{place} li")]


@pytest.fixture(scope="module")
def output(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The output of a studio that rewords a caution and adds to them, with two products, one with its own."""
    records = {
        "pane": studio.record(keys=f'cautions: ["{ONE}"]'),
        "quarrel": studio.record(keys="hang: {by: cord, length: 300 mm, outdoors: true}").replace(
            "title: Pane", "title: Quarrel"
        ),
    }
    root = studio.project(tmp_path_factory.mktemp("cautions"), records, TABLES)
    build(root, studio.DAY, 1, quiet)
    return root / "site_output"


def test_every_caution_has_words_in_the_theme() -> None:
    """The theme words each caution there is, in the order in which they are read, and no other."""
    assert tuple(LABELS["cautions"]) == Cautions.codes()
    assert tuple(LABELS["bench_cautions"]) == BenchCautions.codes()


# Those of single kinds of hardware.
OF_KIND = ("suction", "magnet", "stand", "stake", "clip", "outdoors_standing", "flame", "tealight")


@pytest.mark.parametrize(
    ("by", "also", "added"),
    [
        (HardwareKind.SUCTION_HOOK, {}, {"hang_point", "suction"}),
        (HardwareKind.MAGNET, {}, {"hang_point", "magnet"}),
        (HardwareKind.SCREW_EYE, {}, {"hang_point"}),
        (HardwareKind.STAND, {}, {"stand", "flame"}),
        (HardwareKind.STAND, {"tealight": True}, {"stand", "tealight"}),
        (HardwareKind.STAKE, {"outdoors": True}, {"stake", "outdoors_standing", "flame"}),
        (HardwareKind.CLIP, {}, {"clip", "flame"}),
    ],
)
def test_cautions_go_by_what_holds_a_piece(by: HardwareKind, also: dict[str, bool], added: set[str]) -> None:
    """What stands is not told where to hang it, and is to be kept from flames, or made for a tealight."""
    codes = cautions(Hang.model_validate({"by": by, **also}), False, False, True, False)
    held = {"hang_point", "uneven_rings", "cord", "outdoors", "heavy", *OF_KIND}
    assert set(codes) & held == added | ({"heavy"} if by.hangs else set())
    assert list(codes) == sorted(codes, key=Cautions.codes().index)


@pytest.mark.parametrize("leaded", [True, False])
@pytest.mark.parametrize("corded", [True, False])
@pytest.mark.parametrize("heavy", [True, False])
@pytest.mark.parametrize("patina", [True, False])
@pytest.mark.parametrize("outdoors", [True, False])
@pytest.mark.parametrize("uneven", [True, False])
def test_cautions_go_by_what_a_piece_contains(
    leaded: bool, patina: bool, heavy: bool, corded: bool, outdoors: bool, uneven: bool
) -> None:
    """Lead or lead-free, patina, weight, cord and wind each bring their caution; the rest stands for every piece."""
    by = HardwareKind.CORD if corded else HardwareKind.RING
    codes = cautions(Hang.model_construct(by=by, outdoors=outdoors), leaded, patina, heavy, uneven)
    by_content = {
        "lead_solder": leaded,
        "lead_free": not leaded,
        "lead_frame": False,
        "patina": patina,
        "heavy": heavy,
        "cord": corded,
        "outdoors": outdoors,
        "uneven_rings": uneven,
        **dict.fromkeys(OF_KIND, False),
    }
    assert set(codes) == {code for code in Cautions.codes() if by_content.get(code, True)}
    assert list(codes) == sorted(codes, key=Cautions.codes().index)
    framed = with_lead_frame(codes)
    assert list(framed) == sorted({*codes, "lead_frame"}, key=Cautions.codes().index)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("lead_solder", "lead"),
        ("not_toy", "not a toy"),
        ("children", "out of reach of small children"),
        ("not_food", "not for food or drink"),
        ("wash_hands", "Wash your hands"),
        ("hang_point", "fixture that holds"),
        ("sun_heat", "sun"),
        ("cord", "neck"),
        ("outdoors", "before a storm"),
        ("damage", "take it down at once"),
        ("uneven_rings", "two rings at unequal heights"),
        ("local_rules", "qualified person"),
    ],
)
def test_usual_cautions_are_said_plainly(code: str, words: str) -> None:
    """The program's own wording says what such pieces are usually sold with: common practice, no source."""
    assert words in LABELS["cautions"][code]


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("fume", "fumes away"),
        ("dust", "Grind wet"),
        ("coloured_glass", "cadmium, selenium or lead"),
        ("eyes", "eye protection"),
        ("lead", "Do not eat"),
        ("chemicals", "safety data sheet"),
        ("children", "pregnant"),
        ("waste", "local rules on waste"),
        ("local_rules", "qualified person"),
    ],
)
def test_bench_cautions_are_said_plainly(code: str, words: str) -> None:
    """The bench is told of fumes, dust, eyes, lead, chemicals, children, waste and who decides: common practice."""
    assert words in LABELS["bench_cautions"][code]


def test_own_words_stand_everywhere(output: Path) -> None:
    """A reworded caution stands on product page, care page and slip, brace and all, and the program's nowhere."""
    places = [said_on(output / f"catalogue/products/{name}.html", ".pane-caution") for name in ("pane", "quarrel")]
    places.append(said_on(output / "catalogue/care.html", ".pane-caution"))
    for lines in places:
        assert lines[0] == OWN
        assert LABELS["cautions"]["lead_solder"] not in lines
    slips = plain(output / "stall/care_slips.pdf")
    # A page for each of the two kinds: four slips of the short one, two of the one with wind, weight and cord.
    assert slips.count(OWN) == 6
    assert LABELS["cautions"]["lead_solder"] not in slips


def test_what_is_not_reworded_stays(output: Path) -> None:
    """Rewording one caution and adding others silences none: each of the others stands in the program's words."""
    lines = said_on(output / "catalogue/products/pane.html", ".pane-caution")
    wanted = [LABELS["cautions"][code] for code in cautions(Hang.model_construct(), True, False, False, False)[1:]]
    assert lines == [OWN, *wanted, ALSO, ONE]


def test_added_cautions_stand_in_catalogue_care_page_and_slip(output: Path) -> None:
    """The studio's additions stand for every product, a product's own for itself, by name on the page on care."""
    pane, quarrel = (
        said_on(output / f"catalogue/products/{name}.html", ".pane-caution") for name in ("pane", "quarrel")
    )
    assert (pane[-2:], quarrel[-1]) == ([ALSO, ONE], ALSO)
    assert said_on(output / "catalogue/care.html", ".pane-caution")[-2:] == [ALSO, f"Pane: {ONE}"]
    first, second = (" ".join(page.text().split()) for page in pages_of((output / "stall/care_slips.pdf").read_bytes()))
    assert (first.count("Goes with: Pane"), first.count(ALSO), first.count(ONE)) == (4, 4, 4)
    assert (second.count("Goes with: Quarrel"), second.count(ALSO), second.count(ONE)) == (2, 2, 0)


def test_cord_is_told_where_there_is_one(output: Path) -> None:
    """A piece on a cord warns of small children's necks; one on its ring does not."""
    words = LABELS["cautions"]["cord"]
    assert words in said_on(output / "catalogue/products/quarrel.html", ".pane-caution")
    assert words not in said_on(output / "catalogue/products/pane.html", ".pane-caution")
    assert words in said_on(output / "catalogue/care.html", ".pane-caution")


def test_wind_is_told_where_it_hangs_outdoors(output: Path) -> None:
    """A piece that is meant to hang outdoors warns of the wind; one that is not does not."""
    words = LABELS["cautions"]["outdoors"]
    assert words in said_on(output / "catalogue/products/quarrel.html", ".pane-caution")
    assert words not in said_on(output / "catalogue/products/pane.html", ".pane-caution")
    assert words in plain(output / "stall/care_slips.pdf")


def bench_lines() -> Sequence[str]:
    """What the bench reads: every caution, one of them in the studio's words, and its addition."""
    words = {**LABELS["bench_cautions"], "fume": BENCH_OWN}
    return (*words.values(), BENCH_ALSO)


def test_bench_pages_carry_every_caution(output: Path) -> None:
    """Every page of the bench ends in all cautions for the bench, the studio's own words among them."""
    pages = sorted((output / "bench").rglob("*.html"))
    assert len(pages) >= 5
    for page in pages:
        assert said_on(page, "footer .caution") == [*bench_lines()], page.name


def test_pattern_sheets_carry_every_caution(output: Path) -> None:
    """A pattern sheet lists all cautions for the bench after its pieces."""
    (sheet,) = (output / "bench" / "patterns").glob("pane*.pdf")
    words = plain(sheet)
    assert [line for line in bench_lines() if line not in words] == []


def test_nothing_of_the_bench_is_told_in_public(output: Path) -> None:
    """What the studio says to itself at the bench is on no public page."""
    public = [path for name in ("catalogue", "stall") for path in (output / name).rglob("*.html")]
    assert [path for path in public if BENCH_ALSO in path.read_text(encoding="utf-8")] == []


@pytest.mark.parametrize("put", ["", 'sun_heat = "  "\n'])
def test_a_theme_cannot_silence_a_caution(tmp_path: Path, put: str) -> None:
    """A theme of one's own that leaves a caution out, or empty, is refused by the caution's name."""
    root = studio.project(tmp_path, {"pane": studio.record()})
    theme = root / "themes" / "daylight"
    shutil.copytree(ROOT / "themes" / "daylight", theme)
    line = f'sun_heat = "{LABELS["cautions"]["sun_heat"]}"\n'
    reworded(theme / "labels/en.toml", (line, put))
    with pytest.raises(MistakeError) as caught:
        calculate(root, studio.DAY, quiet)
    assert caught.value.mistakes[0].wrong == ("studio.theme: the theme 'daylight' has no words for cautions.sun_heat")
