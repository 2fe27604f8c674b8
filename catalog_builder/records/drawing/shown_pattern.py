"""How much of a pattern the public sees: a design is a maker's living."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

SHOWN = (
    "`in colour`: a drawing without numbers; `yes`: its lines with the pieces' numbers too; `no`: nothing but photos"
)


def _said(value: Any) -> Any:
    """Take true and false as yes and no."""
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else value


ShownPattern = Annotated[Literal["in colour", "yes", "no"], BeforeValidator(_said)]
