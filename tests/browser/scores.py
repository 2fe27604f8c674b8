"""Lighthouse's scores of a page out of 100, by its settings for a phone, and which pages are scored."""

from __future__ import annotations

import json
from pathlib import Path

from tests.browser.checkers import page_report
from tests.browser.chromium import FLAGS, executable

LEAST = 95
PAGES = ("home", "series", "product-with-photos", "product", "about")


def scores_of(address: str, categories: tuple[str, ...], profile: Path) -> tuple[dict[str, int], list[str]]:
    """Give a page's scores out of 100, and what cost it some."""
    report = json.loads(page_report(address, categories, executable(), FLAGS, profile))
    if fault := report.get("runtimeError"):
        raise RuntimeError(f"Lighthouse failed on {address}: {fault}")
    scores = {name: round(100 * category["score"]) for name, category in report["categories"].items()}
    audits = [report["audits"][one["id"]] for part in report["categories"].values() for one in part["auditRefs"]]
    short = [one for one in audits if one["score"] is not None and one["score"] < LEAST / 100]
    return scores, [f"{one['id']} {one['score']} {one.get('displayValue', '')}".strip() for one in short]
