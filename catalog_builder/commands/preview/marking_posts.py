"""What the preview server takes from a marking page: JSON that the page of this run sends, and nothing else."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from email.message import Message
from http import HTTPStatus
from io import BufferedIOBase
from secrets import compare_digest, token_urlsafe
from typing import Any

from catalog_builder.commands.preview.marking_desk import MOST_BYTES, MarkingDesk, QuestionError

# Where the pages of the bench are shown, and where a marking page sends its questions.
BENCH = "/.bench/"
POSTS = "/.marks/"


class RefusedError(Exception):
    """A request that is not answered: its status and why."""

    def __init__(self, status: HTTPStatus, why: str) -> None:
        super().__init__(why)
        self.status = status


@dataclass(frozen=True, slots=True)
class MarkingPosts:
    """Checks what is sent before anything of it is read. ``token`` is that of the run: a page of another lacks it."""

    desk: MarkingDesk
    token: str = field(default_factory=lambda: token_urlsafe(24))

    def file_of(self, path: str) -> str | None:
        """Give the path in the bench's folder that an address is for; None where it lacks the token."""
        token, _, rest = path.removeprefix(BENCH).partition("/")
        return rest if path.startswith(BENCH) and compare_digest(token.encode(), self.token.encode()) else None

    def page(self, page: bytes) -> bytes:
        """Put the token into a marking page as it is served."""
        return page.replace(b"</head>", f'<meta name="run" content="{self.token}">\n</head>'.encode(), 1)

    def answer(self, path: str, headers: Message, body: BufferedIOBase, hosts: tuple[str, ...]) -> bytes:
        """Answer a question that was sent by POST.

        Raises:
            RefusedError: it does not come from a page of this run, or is none.
        """
        answers: dict[str, Callable[[bytes], dict[str, Any]]] = {
            f"{POSTS}price": self.desk.price,
            f"{POSTS}save": self.desk.save,
        }
        host = headers.get("Host")
        if host not in hosts or headers.get("Origin") != f"http://{host}":
            raise RefusedError(HTTPStatus.FORBIDDEN, "This server answers its own pages alone")
        if not compare_digest(headers.get("X-Run", "").encode(), self.token.encode()):
            raise RefusedError(HTTPStatus.FORBIDDEN, "This page is of another run: load it again")
        if path not in answers:
            raise RefusedError(HTTPStatus.NOT_FOUND, "There is nothing to ask here")
        if headers.get("Content-Type") != "application/json":
            raise RefusedError(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "Only JSON is read")
        length = headers.get("Content-Length", "")
        if "Transfer-Encoding" in headers or not (length.isascii() and length.isdigit()):
            raise RefusedError(HTTPStatus.LENGTH_REQUIRED, "The length must be said")
        if len(length) > 9 or int(length) > MOST_BYTES:
            raise RefusedError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "This is too long")
        try:
            return json.dumps(answers[path](body.read(int(length)))).encode()
        except QuestionError as error:
            raise RefusedError(HTTPStatus.BAD_REQUEST, str(error)) from None
