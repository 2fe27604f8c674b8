"""Discounts that buyers ask for at a stall: those that the private sheet calculates."""

from __future__ import annotations

from decimal import Decimal

from pydantic import Field, model_validator

from catalog_builder.records.reading.values import Percent, Record, refusal


class Bundle(Record):
    """So many pieces for the price of fewer, each at the same price."""

    take: int = Field(ge=2, le=20, description="how many the buyer takes ...")
    pay: int = Field(ge=1, le=19, description="... and for how many of them the price is paid")

    @model_validator(mode="after")
    def _fewer(self) -> Bundle:
        if self.pay >= self.take:
            wrong = f"{self.take} for the price of {self.pay} is no discount"
            raise refusal(wrong, "`pay` smaller than `take`", "write { take = 3, pay = 2 } for three for two")
        return self


class Discounts(Record):
    """``[discounts]``: the steps of the private sheet on discounts. The defaults are common practice, no source."""

    percents: tuple[Percent, ...] = Field(
        (Decimal(5), Decimal(10), Decimal(15), Decimal(20)), max_length=6, description="percent off, in rising order"
    )
    bundles: tuple[Bundle, ...] = Field(
        (Bundle(take=3, pay=2),),
        max_length=3,
        description="such as [{ take = 3, pay = 2 }]: three for the price of two",
    )
