"""The worked example of a topic of the guide, carried out as its reader would: the text itself says what to do.

These sentences are instructions, and the block after each is what they are about:
"Write `FILE`:", "Add to `FILE`:", "After `TEXT` in `FILE`, add:", "`FILE` now holds:"; and without a block
"In `FILE`, change `OLD` to `NEW`.", "Copy `FOLDER` to `FOLDER`.", "Delete `PATH`.",
"Delete the last N lines of `FILE`." A block of ``sh`` holds commands, one a line. A block of ``text`` holds
lines that the commands before it print; ``...`` stands for what is left out.
"""

from __future__ import annotations

import re
import shlex
import shutil
from dataclasses import dataclass, field
from pathlib import Path

from click.testing import CliRunner

from catalog_builder.cli import main

_BLOCK = re.compile(r"^(`{3,})(\w*)\n(.*?)^\1$", re.MULTILINE | re.DOTALL)
_CHANGE = re.compile(r"In `([^`]+)`, change `([^`]+)` to `([^`]+)`\.")
_COPY = re.compile(r"Copy `([^`]+)` to `([^`]+)`\.")
_DELETE = re.compile(r"Delete `([^`]+)`\.")
_SHORTEN = re.compile(r"Delete the last (\d+) lines of `([^`]+)`\.")
_BEFORE_BLOCK = re.compile(r"(Write|Add to|After `([^`]+)` in|) ?`([^`]+)`(?:|, add| now holds):$")
_RESULT = re.compile(r"`((?:site_output|content)/[\w./-]+\.\w+)`")


@dataclass
class GuideExample:
    """A topic's example, carried out step by step in the folder of a studio.

    ``commands`` and ``checks`` count what was run and what was compared.
    """

    studio: Path
    printed: str = ""
    commands: int = 0
    checks: int = 0
    outcome: list[int] = field(default_factory=list)

    def run(self, text: str) -> None:
        """Carry out all steps of an example's Markdown.

        Raises:
            AssertionError: a step cannot be done, or its result is not what the text says.
        """
        place = 0
        for block in _BLOCK.finditer(text):
            sentences = self._prose(text[place : block.start()])
            self._block(sentences, block[2], block[3])
            place = block.end()
        self._prose(text[place:])

    def _prose(self, text: str) -> str:
        sentences = " ".join(text.split())
        steps = [
            (step.start(), action, step.groups())
            for pattern, action in (
                (_CHANGE, self._change),
                (_COPY, self._copy),
                (_DELETE, self._delete),
                (_SHORTEN, self._shorten),
            )
            for step in pattern.finditer(sentences)
        ]
        for _, action, words in sorted(steps, key=lambda step: step[0]):
            action(*words)
        for name in _RESULT.findall(_DELETE.sub("", re.sub(_BEFORE_BLOCK, "", sentences))):
            assert (self.studio / name).exists(), f"{name} is not there"
            self.checks += 1
        return sentences

    def _block(self, sentences: str, language: str, text: str) -> None:
        before = _BEFORE_BLOCK.search(sentences)
        if language == "sh":
            self._commands(text)
        elif language == "text":
            assert printed_in(text, self.printed), f"not printed:\n{text}\nbut:\n{self.printed}"
            self.checks += 1
        else:
            assert before, f"nothing is said of the block after: {sentences[-80:]}"
            self._file(before, text)

    def _commands(self, text: str) -> None:
        self.printed = ""
        for line in text.splitlines():
            program, *arguments = shlex.split(line)
            assert program == "catalog-builder", line
            result = CliRunner().invoke(main, arguments)
            assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
            self.outcome.append(result.exit_code)
            self.printed += result.output
            self.commands += 1

    def _file(self, before: re.Match[str], text: str) -> None:
        action, line_end, path = before[1], before[2], self.studio / before[3]
        old = path.read_text(encoding="utf-8") if path.exists() else ""
        if before[0].endswith("now holds:"):
            assert printed_in(text, old), f"not in {path}:\n{text}"
            self.checks += 1
            return
        assert (action == "Write") == (old == ""), f"{action} {path}"
        path.parent.mkdir(parents=True, exist_ok=True)
        if line_end:
            assert old.count(f"{line_end}\n") == 1
            path.write_text(old.replace(f"{line_end}\n", f"{line_end}\n{text}"), encoding="utf-8")
        else:
            path.write_text(old + text, encoding="utf-8")

    def _change(self, name: str, old: str, new: str) -> None:
        text = (self.studio / name).read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        (self.studio / name).write_text(text.replace(old, new), encoding="utf-8")

    def _copy(self, source: str, target: str) -> None:
        shutil.copytree(self.studio / source, self.studio / target)

    def _delete(self, name: str) -> None:
        path = self.studio / name
        shutil.rmtree(path) if path.is_dir() else path.unlink()

    def _shorten(self, lines: str, name: str) -> None:
        path = self.studio / name
        kept = path.read_text(encoding="utf-8").splitlines(keepends=True)[: -int(lines)]
        path.write_text("".join(kept), encoding="utf-8")


def printed_in(excerpt: str, printed: str) -> bool:
    """Say whether lines stand in a text in this order, blanks aside; ``...`` is any text, lines too."""
    parts = [r"\s+".join(map(re.escape, part.split())) for part in excerpt.split("...")]
    return re.search(r"(?<!\w)" + r"[\s\S]*?".join(parts) + r"(?!\w)", printed) is not None


def example_of(text: str) -> str:
    """Give the section of a topic that is its worked example."""
    _, found, example = text.partition("\n## Example\n")
    assert found, "no section `## Example`"
    return example.partition("\n## ")[0]
