"""The server behind ``look``: it answers this computer alone, shows the catalogue alone, and survives rude clients."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalog_builder.commands.preview.preview_server import PortError, PreviewServer


@pytest.fixture
def server(tmp_path: Path) -> Iterator[PreviewServer]:
    """A server of a small catalogue, with private things beside it and links that lead to them."""
    catalogue = tmp_path / "site_output" / "catalogue"
    (catalogue / "products").mkdir(parents=True)
    (catalogue / "index.html").write_text("<body>front</body>", encoding="utf-8")
    (catalogue / "products" / "leaf.html").write_text("<body>leaf</body>", encoding="utf-8")
    (catalogue / "style.css").write_text("body{}", encoding="utf-8")
    (tmp_path / "site_output" / "bench").mkdir()
    (tmp_path / "site_output" / "bench" / "index.html").write_text("costs", encoding="utf-8")
    (catalogue / "out").symlink_to(tmp_path / "site_output" / "bench")
    (catalogue / "out.html").symlink_to(tmp_path / "site_output" / "bench" / "index.html")
    (catalogue / "loop").symlink_to(catalogue / "loop")
    with PreviewServer(tmp_path, 0) as opened:
        thread = threading.Thread(target=opened.serve_forever, daemon=True)
        thread.start()
        yield opened
        opened.shutdown()
        thread.join(120)


def asked(server: PreviewServer, path: str, host: str | None = None, method: str = "GET") -> tuple[int, bytes]:
    """Send a request as it is, without a library that would tidy it, and give the status and the body."""
    port = server.server_address[1]
    head = f"{method} {path} HTTP/1.0\r\nHost: {host or f'127.0.0.1:{port}'}\r\n\r\n"
    with socket.create_connection(("127.0.0.1", port), timeout=120) as line:
        line.sendall(head.encode("latin-1"))
        answer = b"".join(iter(lambda: line.recv(65_536), b""))
    first, _, rest = answer.partition(b"\r\n\r\n")
    return int(first.split()[1]), rest


@pytest.mark.parametrize(
    ("path", "words"), [("/", b"front"), ("/index.html?a=1", b"front"), ("/products/leaf.html", b"leaf")]
)
def test_pages_are_shown_with_the_script_that_follows_changes(server: PreviewServer, path: str, words: bytes) -> None:
    """A page is served with the script; a HEAD request gives no body."""
    status, body = asked(server, path)
    assert (status, words in body, b"/.changes" in body) == (200, True, True)
    assert asked(server, path, method="HEAD") == (200, b"")
    assert asked(server, "/style.css") == (200, b"body{}")


@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", "127.0.0.1", "localhost:1", "[::1]:80"])
def test_another_host_is_refused(server: PreviewServer, host: str) -> None:
    """A page from elsewhere whose name was made to lead here reads nothing."""
    for path in ("/", "/.changes"):
        status, body = asked(server, path, host)
        assert (status, b"front" in body) == (403, False)
    assert asked(server, "/", f"localhost:{server.server_address[1]}")[0] == 200


@pytest.mark.parametrize(
    "path",
    [
        "/../bench/index.html",
        "/%2e%2e/bench/index.html",
        "/..%2fbench%2findex.html",
        "/out/index.html",
        "/out/",
        "/out.html",
        "/loop",
        "/products/",
        "/%00",
        "/index.html%00.css",
        "/" + "a" * 5_000,
        "/%ff%fe",
    ],
)
def test_nothing_outside_the_catalogue_is_shown(
    server: PreviewServer, path: str, capfd: pytest.CaptureFixture[str]
) -> None:
    """Ways around, links that lead out, lists of folders and names that no disk takes are not found, in silence."""
    status, body = asked(server, path)
    assert (status, b"costs" in body) == (404, False)
    assert capfd.readouterr().err == ""


def test_a_browser_that_hangs_up_is_no_fault(server: PreviewServer, capfd: pytest.CaptureFixture[str]) -> None:
    """A connection that is dropped in the middle of a request or an answer says nothing on the terminal."""
    (server.catalogue / "large.css").write_bytes(bytes(20_000_000))
    for words in (b"GET /", b"GET /large.css HTTP/1.0\r\nHost: %s\r\n\r\n" % server.hosts[0].encode(), b"\xff" * 100):
        line = socket.create_connection(("127.0.0.1", server.server_address[1]), timeout=120)
        line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\x01\0\0\0\0\0\0\0")
        line.sendall(words)
        line.close()
    assert asked(server, "/")[0] == 200
    assert "Traceback" not in capfd.readouterr().err


def test_a_port_that_is_taken_is_told(server: PreviewServer, tmp_path: Path) -> None:
    """Two servers cannot listen at one port."""
    with pytest.raises(PortError):
        PreviewServer(tmp_path, server.server_address[1])
