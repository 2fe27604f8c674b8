"""The commands: what they print, what they write, and how they end."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
import threading
import time
import tomllib
from collections.abc import Iterator
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest
from click.testing import CliRunner, Result

from catalog_builder import __version__
from catalog_builder.cli import main
from catalog_builder.commands.terminal import reporting_mistakes
from tests.publish.demo import DAY, ROOT, lay_out, reworded
from tests.publish.page import read_page, text_of

COMMANDS = ("publish", "check", "why", "rates", "market", "begin", "look", "guide")
PANEL, CAPS = "net-loft-panel", "two-waxcaps"
ON_DAY = ("--day", DAY.isoformat())


def run(*arguments: str) -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(main, list(arguments))


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two of the demo's products, published."""
    folder = lay_out(tmp_path_factory.mktemp("commands") / "studio", PANEL, CAPS)
    assert run("publish", "--folder", str(folder), *ON_DAY).exit_code == 0
    return folder


@pytest.mark.parametrize("command", COMMANDS)
def test_help_says_what_a_command_does(command: str) -> None:
    """Each command explains itself with --help and -h, in its own words."""
    result = run(command, "--help")
    assert result.exit_code == 0
    assert result.output.startswith(f"Usage: main {command}")
    assert run(command, "-h").output == result.output
    doc = main.commands[command].help or ""
    assert doc.partition("\n")[0] in " ".join(result.output.split())


def test_help_lists_every_command() -> None:
    """Help without a command lists all there are."""
    listed = re.findall(r"^  ([a-z]+)  ", run("--help").output, flags=re.MULTILINE)
    assert set(listed) == set(main.commands) >= set(COMMANDS)


def test_version_is_the_packages() -> None:
    """The version that is told is that of the package, and that of the project's file."""
    told = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["version"]
    assert __version__ == told
    assert run("--version").output.strip().endswith(told)


@pytest.mark.parametrize(
    "arguments",
    [
        ("publish", "--speed"),
        ("publish", "--day", "tomorrow"),
        ("publish", "--day", "2026-02-30"),
        ("publish", "--workers", "0"),
        ("publish", "--workers", "many"),
        ("publish", "extra"),
        ("check", "--workers", "2"),
        ("why",),
        ("begin",),
        ("look", "--port", "80"),
        ("guide", "--all"),
        ("sell",),
    ],
    ids=" ".join,
)
def test_wrong_flags_end_with_2(arguments: tuple[str, ...]) -> None:
    """A flag, value or command that does not exist ends with 2 and says how the command is called."""
    result = run(*arguments)
    assert result.exit_code == 2
    assert "Usage:" in result.stderr
    assert "Error:" in result.stderr


def test_publish_says_what_it_made(project: Path) -> None:
    """Publishing ends with counts and with the three files to open, and each of them is there."""
    result = run("publish", "--folder", str(project), *ON_DAY, "--workers", "1")
    assert result.exit_code == 0
    counts = dict(re.findall(r"^(\w+) +(\d+)$", result.stdout, flags=re.MULTILINE))
    variants = len(list((project / "site_output" / "bench" / "cards").glob("*.html")))
    assert (counts["products"], counts["variants"]) == ("2", str(variants))
    assert counts["prices"] == str(4 * variants)
    opened = re.findall(r"^(?:Open)? +(/.*?)(?:  \(private\))?$|^Open (.*)$", result.stdout, flags=re.MULTILINE)
    files = [Path(one or other) for one, other in opened]
    assert [file.name for file in files] == ["index.html", "price_sheet.pdf", "index.html"]
    assert all(file.is_file() for file in files)


def test_publish_tells_what_it_carried_over(project: Path) -> None:
    """A file of the maker's own is named after each build."""
    own = project / "site_output" / "catalogue" / "CNAME"
    own.write_text("withyslip.example\n", encoding="utf-8")
    result = run("publish", "--folder", str(project), *ON_DAY)
    own.unlink()
    assert "Carried over, as no build made it: site_output/catalogue/CNAME" in result.stdout.splitlines()


def test_publish_tells_what_tags_it_left(project: Path) -> None:
    """Tags are set on the maker's word alone, so that a build says that those which lie there may be of before."""
    tags = project / "site_output" / "stall" / "tags.pdf"
    assert run("tags", "--folder", str(project), *ON_DAY).exit_code == 0
    before = tags.read_bytes()
    result = run("publish", "--folder", str(project), *ON_DAY)
    after = tags.read_bytes()
    tags.unlink()
    (told,) = [line for line in result.stdout.splitlines() if line.endswith(": site_output/stall/tags.pdf")]
    assert told.startswith("Left as `catalog-builder tags` made it")
    assert after == before


def test_check_counts_and_writes_nothing(tmp_path: Path) -> None:
    """Checking counts products and variants, ends well, and leaves no output."""
    folder = lay_out(tmp_path / "studio", PANEL)
    result = run("check", "--folder", str(folder), *ON_DAY)
    assert result.exit_code == 0
    assert "In order. Products: 1, variants: 2." in result.stdout
    assert sorted(path.name for path in folder.iterdir()) == ["content", "themes"]


@pytest.mark.parametrize("command", ["publish", "check"])
def test_mistakes_are_worded_and_end_with_1(tmp_path: Path, command: str) -> None:
    """A mistake is told with place, source line, what was expected and how to mend it; the command ends with 1."""
    folder = lay_out(tmp_path / "studio", PANEL)
    reworded(folder / "content" / "products" / PANEL / "product.md", ("series: quay", "series: key"))
    result = run(command, "--folder", str(folder), *ON_DAY)
    assert result.exit_code == 1
    lines = result.stderr.splitlines()
    record = f"content/products/{PANEL}/product.md"
    assert re.fullmatch(rf"{record}:\d+: the series 'key' is not in studio.toml", lines[0])
    assert lines[1].endswith("| series: key")
    assert lines[2].strip() == "|         ^^^"
    assert lines[3] == "  expected: one of: quay, shore, sky, wood"
    assert lines[4].startswith("  mend:     ")
    assert lines[5] == "1 mistake in 1 file. Nothing was published."
    assert "Traceback" not in result.output


def test_folder_without_content_is_told(tmp_path: Path) -> None:
    """A folder that holds no project is told in plain words."""
    result = run("check", "--folder", str(tmp_path))
    assert result.exit_code == 1
    assert "content/studio.toml: the file is missing, and so is the whole folder content/" in result.stderr
    assert "--folder" in result.stderr
    assert "Traceback" not in result.output


def test_why_adds_up_to_the_cost_card(project: Path) -> None:
    """The cost that `why` gives, and each channel's five amounts, are those of the variant's cost card."""
    for card in sorted((project / "site_output" / "bench" / "cards").glob("*.html")):
        result = run("why", card.stem, "--folder", str(project), *ON_DAY)
        assert result.exit_code == 0
        page = read_page(card)
        (cost,) = re.findall(r"^Cost of one +(\S+)$", result.stdout, flags=re.MULTILINE)
        assert cost == text_of(page.select(".sum dd")[0])
        for row in page.select("table")[0].select("tbody tr"):
            title, *amounts = (text_of(cell) for cell in row.select("th, td"))
            (line,) = [line for line in result.stdout.splitlines() if line.startswith(f"{title}  ")]
            assert line.removeprefix(title).split() == amounts


def test_why_adds_up(project: Path) -> None:
    """The lines of `why` add up to its total, to half a penny a line."""
    result = run("why", CAPS, "--folder", str(project), *ON_DAY)
    lines = re.findall(r"^  \S.* × .*?£(\d+\.\d\d)$", result.stdout, flags=re.MULTILINE)
    (cost,) = re.findall(r"^Cost of one +£(\S+)$", result.stdout, flags=re.MULTILINE)
    assert len(lines) > 12
    assert abs(sum(map(float, lines)) - float(cost)) <= 0.005 * len(lines) + 0.005


def test_why_of_a_product_names_its_variants(project: Path) -> None:
    """Asked for a product, `why` explains its first variant and names the codes of the others."""
    result = run("why", PANEL, "--folder", str(project), *ON_DAY)
    cards = {path.stem for path in (project / "site_output" / "bench" / "cards").glob(f"{PANEL}*.html")}
    (first,) = re.findall(rf"\(({PANEL}--\S+)\)$", result.stdout, flags=re.MULTILINE)
    (others,) = re.findall(r"^Other variants: (.*)$", result.stdout, flags=re.MULTILINE)
    assert {first, *others.split(", ")} == cards


@pytest.mark.parametrize(
    ("name", "mend"),
    [
        ("two-waxcap", "did you mean 'two-waxcaps'?"),
        ("net-loft-panel--black", "did you mean 'net-loft-panel--black--"),
        ("Net loft panel", "did you mean 'net-loft-panel'?"),
        ("zzz", "write the name of the product's folder"),
    ],
)
def test_why_of_an_unknown_product_gives_a_near_name(project: Path, name: str, mend: str) -> None:
    """A name that nothing has is told with the nearest one, and with those there are."""
    result = run("why", name, "--folder", str(project), *ON_DAY)
    assert result.exit_code == 1
    lines = result.stderr.splitlines()
    assert lines[0] == f"content/products: there is no product or variant {name!r}"
    assert lines[1] == f"  expected: one of: {PANEL}, {CAPS}, or the code of a variant"
    assert lines[2].startswith(f"  mend:     {mend}")


def test_keys_lists_every_key_of_the_demos_records() -> None:
    """The list of keys has every key that the demo's own records use."""
    text = run("guide", "keys").stdout
    studio = tomllib.loads((ROOT / "content" / "studio.toml").read_text(encoding="utf-8"))
    used = {key for table in ("studio", "bench", "making", "hanging") for key in studio[table]}
    used |= {key for channel in studio["channels"].values() for key in channel}
    used |= {key for step in studio["steps"].values() for key in step}
    used |= set((ROOT / "content" / "materials.csv").read_text(encoding="utf-8").partition("\n")[0].strip().split(","))
    used |= {"title", "summary", "series", "added", "sizes", "finishes", "glass", "photos", "alt", "focus"}
    words = set(re.findall(r"\w+", text))
    assert sorted(used - words) == []


def test_begin_lays_out_a_project_that_can_be_published(tmp_path: Path) -> None:
    """A fresh folder holds a worked example that checks and publishes without a mistake or a warning."""
    folder = tmp_path / "new" / "studio"
    begun = run("begin", str(folder))
    assert begun.exit_code == 0
    listed = [line.strip() for line in begun.stdout.splitlines() if line.startswith("  ")]
    assert "content/studio.toml" in listed
    assert f"catalog-builder add NAME DRAWING --folder {folder}\n" in begun.stdout
    assert sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()) == listed
    checked = run("check", "--folder", str(folder), *ON_DAY)
    assert (checked.exit_code, checked.stderr) == (0, "")
    assert checked.stdout == "In order. Products: 2, variants: 9.\n"
    published = run("publish", "--folder", str(folder), *ON_DAY)
    assert (published.exit_code, published.stderr) == (0, "")
    assert (folder / "site_output" / "catalogue" / "index.html").is_file()
    assert (folder / "site_output" / "stall" / "price_sheet.pdf").is_file()


def test_begin_leaves_a_folder_with_content_alone(tmp_path: Path) -> None:
    """Where there is a content folder already, nothing is written or changed."""
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "own.txt").write_text("mine", encoding="utf-8")
    result = run("begin", str(tmp_path))
    assert result.exit_code == 1
    assert "there is a content folder already" in result.stderr
    assert [path.name for path in tmp_path.rglob("*")] == ["content", "own.txt"]


def test_module_runs_as_a_program() -> None:
    """`python -m catalog_builder` is the program, and ends with 2 on a wrong flag."""
    command = [sys.executable, "-m", "catalog_builder", "publish", "--speed"]
    ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 2
    assert "No such option" in ended.stderr


# The window


def fetched(address: str) -> str:
    """Fetch a page from the window."""
    with urlopen(address, timeout=120) as answer:  # noqa: S310 - our own server on this machine
        return bytes(answer.read()).decode("utf-8")


def waited_for(address: str, words: str, seconds: float = 300) -> str:
    """Fetch a page until it holds some words."""
    text, end = "", time.monotonic() + seconds
    while time.monotonic() < end:
        text = fetched(address)
        if words in text:
            return text
        time.sleep(0.1)
    raise TimeoutError(f"{words!r} never came")


class Window:
    """The program's `look`, running over a project of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = int(free.getsockname()[1])
        command = [sys.executable, "-u", "-m", "catalog_builder", "look", "--folder", str(folder), "--no-browser"]
        # A shell that starts the tests in the background has Ctrl-C ignored, and a child would inherit that.
        asked = signal.signal(signal.SIGINT, signal.default_int_handler)
        self.process = subprocess.Popen(
            [*command, "--port", str(self.port)], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
        )
        signal.signal(signal.SIGINT, asked)
        # Reading what it prints would wait for ever on a program that hangs.
        self.limit = threading.Timer(600, self.process.kill)
        self.limit.start()
        self.address = f"http://127.0.0.1:{self.port}/"
        self.wait_until_it_says("Showing the catalogue at")

    def wait_until_it_says(self, words: str) -> str:
        """Read what the program prints until a line holds some words."""
        assert self.process.stdout is not None
        lines = []
        for line in self.process.stdout:
            lines.append(line)
            if words in line:
                return line
        raise AssertionError("".join(lines))

    def stop(self) -> int:
        """Press Ctrl-C, and give the program's exit code."""
        self.limit.cancel()
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        try:
            code = self.process.wait(timeout=300)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            raise
        finally:
            if self.process.stdout is not None:
                self.process.stdout.close()
        return code


@pytest.fixture
def window(tmp_path: Path) -> Iterator[Window]:
    """A window that shows a project of one product."""
    opened = Window(lay_out(tmp_path / "studio", PANEL))
    yield opened
    opened.stop()


def test_window_shows_follows_and_ends(window: Window) -> None:
    """The window serves the catalogue on this machine alone, follows an edit, outlives a mistake, ends on Ctrl-C."""
    front = fetched(window.address)
    assert "Withyslip Glass" in front
    assert "/.changes" in front
    assert "/.changes" not in (window.folder / "site_output" / "catalogue" / "index.html").read_text(encoding="utf-8")
    seen = fetched(f"{window.address}.changes")

    studio = window.folder / "content" / "studio.toml"
    reworded(studio, ("Small copper-foil pieces", "Little copper-foil pieces"))
    assert "Little copper-foil pieces" in waited_for(window.address, "Little copper-foil pieces")
    window.wait_until_it_says("Made ")
    assert waited_for(f"{window.address}.changes", str(int(seen) + 1)) != seen

    reworded(studio, ('currency = "GBP"', 'currency = "Pounds"'))
    assert "1 mistake in 1 file" in window.wait_until_it_says("The last good catalogue is still shown.")
    assert "Little copper-foil pieces" in fetched(window.address)

    reworded(studio, ('currency = "Pounds"', 'currency = "GBP"'), ("Little copper-foil", "Tiny copper-foil"))
    assert "Tiny copper-foil pieces" in waited_for(window.address, "Tiny copper-foil pieces")
    assert window.stop() == 0


def test_window_outlives_a_slip_in_a_template(window: Window) -> None:
    """A template that is left half-written is told, and the window goes on to show the mended one."""
    layout = window.folder / "themes" / "daylight" / "templates" / "about.html"
    good = layout.read_text(encoding="utf-8")
    layout.write_text("{% block", encoding="utf-8")
    window.wait_until_it_says("about.html")
    assert "Withyslip Glass" in fetched(window.address)
    layout.write_text(good + "<!-- mended -->", encoding="utf-8")
    window.wait_until_it_says("Made ")
    assert "Withyslip Glass" in fetched(f"{window.address}about.html")


def test_window_shows_nothing_but_the_catalogue(window: Window) -> None:
    """Stall, bench and records cannot be reached through the window."""
    for path in ("../bench/index.html", "..%2fbench%2findex.html", "%2e%2e/bench/index.html", "bench/index.html"):
        with pytest.raises(HTTPError, match="404"):
            urlopen(window.address + path, timeout=120)  # noqa: S310 - our own server on this machine


def test_window_says_that_its_port_is_taken(tmp_path: Path) -> None:
    """A port that another program holds is told in plain words, with what to do."""
    folder = lay_out(tmp_path / "studio", PANEL)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        command = [sys.executable, "-m", "catalog_builder", "look", "--folder", str(folder), "--no-browser"]
        ended = subprocess.run([*command, "--port", port], cwd=ROOT, capture_output=True, text=True, check=False)
    assert ended.returncode == 2
    assert f"Port {port} is taken" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.parametrize("stopped", [True, False])
def test_ctrl_c_while_a_library_is_loaded_is_told_as_it_is(
    stopped: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A library in C swallows Ctrl-C and says that it cannot be loaded: one that really cannot is a fault."""
    with pytest.raises(SystemExit if stopped else ImportError) as ended, reporting_mistakes(tmp_path, publishes=True):
        if stopped:
            with pytest.raises(KeyboardInterrupt):
                signal.raise_signal(signal.SIGINT)
        raise ImportError("initialization failed")
    told = capsys.readouterr().err
    if stopped:
        assert isinstance(ended.value, SystemExit)
        assert ended.value.code == 130
        assert told.startswith("Stopped. Nothing was published.")
        assert len(told.splitlines()) == 1
    else:
        assert told == ""
