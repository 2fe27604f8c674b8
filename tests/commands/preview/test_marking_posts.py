"""What a marking page may send to the preview server: priced by the build itself, saved with care, attacked in vain."""

from __future__ import annotations

import json
import socket
import threading
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from catalog_builder.build import build, calculate
from catalog_builder.commands.preview.marking_desk import MOST_BYTES
from catalog_builder.commands.preview.preview_server import PreviewServer
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.keeping.mark_keeping import record_digest
from tests import studio

RECORD = studio.record(keys="# The ring is in the drawing.").replace(
    "{left: reed, right: slate}", studio.GLASS + " # two"
)


GOLD = {"kind": "glass", "pack_size": "1", "pack_unit": "dm2", "thickness_mm": "3", "colour": "#d4a017"}


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PreviewServer]:
    """A server of a small studio that has been built."""
    root = tmp_path_factory.mktemp("marking")
    project = studio.project(root, {"pane": RECORD}, materials={"gold": GOLD}, prices="gold,2030-02-01,90.00\n")
    build(project, studio.DAY, 1, quiet)
    with PreviewServer(project, 0) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield server
        server.shutdown()
        thread.join(10)


@pytest.fixture
def server(opened: PreviewServer) -> PreviewServer:
    """The server, its record as it was first and read anew."""
    path = record_of(opened)
    path.unlink()
    path.write_text(RECORD, encoding="utf-8")
    opened.desk.calculated = calculate(opened.bench.parents[1], studio.DAY, quiet)
    return opened


def record_of(server: PreviewServer) -> Path:
    """The one record of the studio."""
    return server.bench.parents[1] / "content" / "products" / "pane" / "product.md"


def question(server: PreviewServer) -> dict[str, Any]:
    """What the page asks when the second piece is given other glass, a number and a grain, and the ring is set."""
    calculated = server.desk.calculated
    assert calculated is not None
    (product,) = calculated.content.products
    pieces = [{"at": [75, 30.25], "number": "7", "glass": "new", "grain": 30}]
    return {
        "product": "pane",
        "seen": record_digest(product),
        "glass": {"plain": {"left": "reed", "new": "gold"}},
        "marks": {"": {"pieces": pieces, "rings": [[50, 0]]}},
    }


def sent(
    server: PreviewServer,
    what: str,
    body: object,
    headers: Mapping[str, str | None] | None = None,
    method: str = "POST",
) -> tuple[int, dict[str, Any]]:
    """Send a question as the page does, but for some headers; give the status and the answer."""
    port = server.server_address[1]
    data = body if isinstance(body, bytes) else json.dumps(body).encode()
    usual: dict[str, str | None] = {
        "Host": f"127.0.0.1:{port}",
        "Origin": f"http://127.0.0.1:{port}",
        "Content-Type": "application/json",
        "Content-Length": str(len(data)),
        "X-Run": server.posts.token,
    }
    lines = [f"{name}: {value}" for name, value in {**usual, **(headers or {})}.items() if value is not None]
    head = "\r\n".join([f"{method} {what} HTTP/1.0", *lines, "", ""])
    with socket.create_connection(("127.0.0.1", port), timeout=20) as line:
        line.sendall(head.encode("latin-1") + data)
        line.shutdown(socket.SHUT_WR)
        answer = b"".join(iter(lambda: line.recv(65_536), b""))
    first, _, rest = answer.partition(b"\r\n\r\n")
    status = int(first.split()[1])
    return status, json.loads(rest) if status == 200 else {}


def test_prices_are_those_of_the_next_build(server: PreviewServer) -> None:
    """The answer to a change is what the build says once the change is saved; comments stay in the record."""
    path, asked = record_of(server), question(server)
    status, priced = sent(server, "/.marks/price", asked)
    assert (status, priced["faults"], path.read_text(encoding="utf-8")) == (200, [], RECORD)
    (before,) = (variant.cost.total for variant in calculated_in(server).values())
    status, saved = sent(server, "/.marks/save", asked)
    assert (status, saved["faults"], saved["prices"]) == (200, [], priced["prices"])
    (after,) = calculated_in(server).values()
    assert after.cost.total > before
    assert saved["prices"] == {
        after.offer.sku: [
            f"€{amount:.2f}" for amount in (after.cost.total, *(price.printed for price in after.prices.values()))
        ]
    }
    text = path.read_text(encoding="utf-8")
    assert "    pieces: {left: reed, new: gold}" in text
    assert " # two\n# The ring is in the drawing.\nmarks:\n" in text
    assert "    - {at: [75, 30.25], number: '7', glass: new, grain: 30}\n" in text
    assert [cut.number for cut in after.made.cuts] == ["1", "7"]
    assert sent(server, "/.marks/save", {**asked, "seen": saved["seen"]})[1]["faults"] == []


def calculated_in(server: PreviewServer) -> Mapping[str, Any]:
    """Every variant as a build from nothing calculates it, by its code."""
    variants = calculate(server.bench.parents[1], studio.DAY, quiet).calculations
    return {variant.offer.sku: variant for variant in variants}


@pytest.mark.parametrize(
    ("headers", "expected"),
    [
        ({"X-Run": "wrong"}, 403),
        ({"X-Run": None}, 403),
        ({"X-Run": "\xff"}, 403),
        ({"Host": "evil.example"}, 403),
        ({"Host": None}, 403),
        ({"Origin": "http://evil.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": None}, 403),
        ({"Content-Type": "text/plain"}, 415),
        ({"Content-Type": None}, 415),
        ({"Content-Length": None}, 411),
        ({"Content-Length": "-1"}, 411),
        ({"Content-Length": "²"}, 411),
        ({"Content-Length": str(MOST_BYTES + 1)}, 413),
        ({"Content-Length": "9" * 5000}, 413),
        ({"Transfer-Encoding": "chunked"}, 411),
        ({"Content-Length": "5"}, 400),
    ],
)
def test_a_request_that_is_not_the_pages_own_is_refused(
    server: PreviewServer, headers: dict[str, str | None], expected: int
) -> None:
    """Another page, another run, another kind of data or a length that is none: nothing is read or written."""
    assert sent(server, "/.marks/save", question(server), headers)[0] == expected
    assert record_of(server).read_text(encoding="utf-8") == RECORD


@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE", "PATCH", "OPTIONS"])
def test_another_method_is_refused(server: PreviewServer, method: str) -> None:
    """Marks come by POST alone."""
    assert sent(server, "/.marks/save", question(server), method=method)[0] in (404, 501)
    assert record_of(server).read_text(encoding="utf-8") == RECORD


@pytest.mark.parametrize("path", ["/.marks/other", "/.marks/", "/", "/.marks/save/../price", "/.marks/save?x"])
def test_another_address_is_not_there(server: PreviewServer, path: str) -> None:
    """Nothing but the two questions can be asked."""
    assert sent(server, path, question(server))[0] == 404


@pytest.mark.parametrize("length", [MOST_BYTES + 1, 20_000_000])
def test_a_huge_body_is_refused(server: PreviewServer, length: int) -> None:
    """What is longer than anybody marks is not read."""
    try:
        status = sent(server, "/.marks/save", b"[" * length)[0]
    except OSError:
        status = 413  # the server has hung up before all of it was sent
    assert status == 413
    assert sent(server, "/.marks/price", question(server))[0] == 200


@pytest.mark.parametrize("body", [b"", b"[]", b"[" * 100_000, b"\xff", b"NaN", b'{"product": NaN}', b"1e999"])
def test_what_is_no_question_is_refused(server: PreviewServer, body: bytes) -> None:
    """Empty, deep, broken or endless data are no question."""
    assert sent(server, "/.marks/save", body)[0] == 400


def changed(path: str, value: object) -> Callable[[dict[str, Any]], None]:
    """Put a value into a question, at a path of keys."""

    def change(asked: dict[str, Any]) -> None:
        *keys, last = path.split("/")
        for key in keys:
            asked = asked[key]
        asked[last] = value

    return change


@pytest.mark.parametrize(
    "change",
    [
        changed("product", "../pane"),
        changed("product", "pane/../pane"),
        changed("product", "/etc"),
        changed("product", "no-such"),
        changed("product", "pane\0"),
        changed("title", "Mine"),
        changed("glass/plain/left", "reed}\n---\ntitle: Mine"),
        changed("glass/plain/x\ntitle: Mine", "reed"),
        changed("marks//joins", [{"line": [0, 0, 1, 1]}]),
        changed("marks//pieces", [{"at": [1, 1], "photos": []}]),
        changed("marks//rings", [[0, "0"]]),
        changed("marks//rings", [[0, 1e300]]),
        changed("marks//fold", [0, 0, 1]),
    ],
)
def test_a_question_about_anything_else_is_refused(
    server: PreviewServer, change: Callable[[dict[str, Any]], None]
) -> None:
    """Names that lead elsewhere, other keys, and values that are no marks change nothing."""
    asked = deepcopy(question(server))
    change(asked)
    assert sent(server, "/.marks/save", asked)[0] == 400
    assert record_of(server).read_text(encoding="utf-8") == RECORD


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (changed("seen", "another"), "changed on the disk"),
        (changed("glass/plain/new", "no-such-glass"), "no-such-glass"),
        (changed("glass/other", {"left": "reed"}), "has no choice of glass"),
        (changed("marks/wing", {}), "has no choice of glass or part"),
        (changed("marks//rings", [[25, 0]]), "the foil of one piece alone"),
        (changed("glass/plain/more", "reed"), "which the drawing does not have"),
    ],
)
def test_what_cannot_be_made_is_not_saved(
    server: PreviewServer, change: Callable[[dict[str, Any]], None], words: str
) -> None:
    """The answer says what is wrong and how to mend it, and the record stays."""
    asked = deepcopy(question(server))
    change(asked)
    status, answer = sent(server, "/.marks/save", asked)
    assert status == 200
    assert words in " ".join(answer["faults"])
    assert set(answer) == {"faults"}
    assert record_of(server).read_text(encoding="utf-8") == RECORD


def test_a_linked_record_is_not_written(server: PreviewServer) -> None:
    """A record that is a link to another file is left alone, and so is that file."""
    path, asked = record_of(server), question(server)
    elsewhere = path.with_name("elsewhere.md")
    path.rename(elsewhere)
    path.symlink_to(elsewhere)
    _, answer = sent(server, "/.marks/save", asked)
    assert "is a link to a file elsewhere" in answer["faults"][0]
    assert path.is_symlink()
    assert elsewhere.read_text(encoding="utf-8") == RECORD


def test_before_the_first_build_nothing_is_known(server: PreviewServer) -> None:
    """Where no build has succeeded yet, there is no product to ask about."""
    asked = question(server)
    server.desk.calculated = None
    assert sent(server, "/.marks/price", asked)[0] == 400


def shown(server: PreviewServer, path: str) -> tuple[int, bytes]:
    """Ask for a page and give the status and all that comes."""
    port = server.server_address[1]
    with socket.create_connection(("127.0.0.1", port), timeout=10) as line:
        line.sendall(f"GET {path} HTTP/1.0\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
        answer = b"".join(iter(lambda: line.recv(65_536), b""))
    return int(answer.split()[1]), answer


def test_the_bench_is_shown_to_those_who_know_the_run(server: PreviewServer) -> None:
    """The bench's pages are at an address that holds the token of the run; a marking page is served with the token."""
    token = server.posts.token
    assert server.bench_address == f"http://127.0.0.1:{server.server_address[1]}/.bench/{token}/"
    status, front = shown(server, f"/.bench/{token}/")
    assert (status, b"marking/pane.html" in front, b"/.changes" in front) == (200, True, True)
    status, page = shown(server, f"/.bench/{token}/marking/pane.html")
    assert (status, f'<meta name="run" content="{token}">'.encode() in page) == (200, True)
    assert b"frame-ancestors 'none'" in page
    assert b"location.reload" not in page
    assert shown(server, f"/.bench/{token}/assets/bench_marks.js")[0] == 200
    for path in ("/.bench/", "/.bench/wrong/", "/.bench//", "/bench/index.html", "/marking/pane.html"):
        assert shown(server, path)[0] == 404
    for path in (f"{token}", f"{token}/marking", f"{token}/../catalogue/index.html", f"{token}/%2e%2e/.kept/lock"):
        assert shown(server, f"/.bench/{path}")[0] == 404


def test_the_token_is_in_no_built_file(server: PreviewServer) -> None:
    """What lies on the disk holds no token, and no page of the catalogue or the stall leads to a marking page."""
    output = server.bench.parent
    files = [path for path in output.rglob("*") if path.is_file()]
    assert (output / "bench" / "marking" / "pane.html") in files
    assert [path for path in files if server.posts.token.encode() in path.read_bytes()] == []
    public = [path for path in files if "bench" not in path.relative_to(output).parts and ".kept" not in path.parts]
    assert len(public) > 10
    assert [path for path in public if b"marking" in path.read_bytes()] == []


def test_a_loop_is_priced_and_saved(server: PreviewServer) -> None:
    """A proposal that needs a loop along the rim writes its hardware; asked again for a ring, the key goes."""
    asked = {**question(server), "by": "loop"}
    (_, ring), (_, loop) = sent(server, "/.marks/price", question(server)), sent(server, "/.marks/price", asked)
    assert (ring["faults"], loop["faults"]) == ([], [])
    assert ring["prices"] != loop["prices"]
    _, saved = sent(server, "/.marks/save", asked)
    assert (saved["faults"], saved["prices"]) == ([], loop["prices"])
    assert "\nhang: {by: loop}\n" in record_of(server).read_text(encoding="utf-8")
    server.desk.calculated = calculate(server.bench.parents[1], studio.DAY, quiet)
    _, back = sent(server, "/.marks/save", {**asked, "seen": saved["seen"], "by": "ring"})
    assert (back["faults"], back["prices"]) == ([], ring["prices"])
    assert "hang:" not in record_of(server).read_text(encoding="utf-8")
