"""Lists of many products, shown on several pages: which products stand on which, and the way from page to page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from catalog_builder.offer import Listing
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.views import LinkView

# So many cards are a page of about 70 kB and 750 elements: what a phone shows without a wait.
SHOWN = 48
# How far the numbered links of a page lead: with the first and the last, any of 300 pages is a few steps away.
_STEPS = (1, 2, 10, 50)
# No name of a product or a series has two hyphens in a row, so that no other page has such an address.
_MARK = "--"


@dataclass(frozen=True, slots=True, kw_only=True)
class ListPageView:
    """Which page of a list is shown, and links to others; all is empty where the list stands on a single page.

    ``before`` and ``after`` lead to the next pages on both sides; one of them is missing at each end. ``runs`` are
    links with the numbers of pages that follow each other, this page among them; between two runs pages are left out.
    """

    words: str = ""
    before: LinkView | None = None
    after: LinkView | None = None
    runs: tuple[tuple[LinkView, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class ListPage:
    """A page of the list at ``path``: its number, counted from 1, of how many, and what stands on it."""

    path: str
    number: int
    count: int
    listings: tuple[Listing, ...]

    @property
    def own_path(self) -> str:
        """Give the page's own path; the first is at the list's."""
        return _path_of(self.path, self.number)

    def titled(self, theme: Theme, title: str) -> str:
        """Name the page by its list's title; the first page has that alone."""
        if self.number == 1:
            return title
        return theme.words("list_pages", "titled", title=title, number=self.number, count=self.count)

    def view(self, theme: Theme) -> ListPageView:
        """Word the way to the other pages."""
        if self.count == 1:
            return ListPageView()
        near = {self.number + sign * step for step in (0, *_STEPS) for sign in (-1, 1)}
        numbers = sorted({1, self.count} | {number for number in near if 1 <= number <= self.count})
        runs: list[list[int]] = []
        for number in numbers:
            if runs and runs[-1][-1] == number - 1:
                runs[-1].append(number)
            else:
                runs.append([number])
        return ListPageView(
            words=theme.words("list_pages", "page", number=self.number, count=self.count),
            before=self._link(self.number - 1, theme.words("list_pages", "before")) if self.number > 1 else None,
            after=self._link(self.number + 1, theme.words("list_pages", "after")) if self.number < self.count else None,
            runs=tuple(tuple(self._link(number, str(number)) for number in run) for run in runs),
        )

    def _link(self, number: int, text: str) -> LinkView:
        href = _path_of(self.path, number).rpartition("/")[2]
        return LinkView(text=text, href=href, current=number == self.number)


def list_pages(path: str, listings: Sequence[Listing]) -> list[ListPage]:
    """Share the products of the list at ``path`` among its pages, in their order."""
    count = max(1, ceil(len(listings) / SHOWN))
    return [ListPage(path, at + 1, count, tuple(listings[at * SHOWN : (at + 1) * SHOWN])) for at in range(count)]


def list_path(path: str) -> str:
    """Give the path of the list whose page a path is; of any other page its own."""
    whole, mark, _ = path.partition(_MARK)
    return f"{whole}.html" if mark else path


def _path_of(path: str, number: int) -> str:
    return path if number == 1 else f"{path.removesuffix('.html')}{_MARK}{number}.html"
