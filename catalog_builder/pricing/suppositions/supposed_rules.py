"""Suppositions about ``studio.toml`` and about batches: a key by the tables that lead to it, as the file has it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TypeVar

from catalog_builder.making.quantities import MEASURES
from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, suggestion
from catalog_builder.pricing.suppositions.assumptions import Assumptions
from catalog_builder.records.product import Product, ProductKeys
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Record
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.channel_check import check_channels
from catalog_builder.records.studio import Bench, Studio, WorkStep

# Short names of keys of [bench].
SHORT = {"rate": "hourly_rate", "overheads": "overheads_a_year", "batch": "batch"}
OF_BENCH = ("hourly_rate", "overheads_a_year", "bench_hours_a_year", "allowance_percent", "batch")
# The rules of which a channel has one.
RULES = ("margin_percent", "markup_percent", "times_trade")
OF_CHANNELS = (*RULES, "at_percent", "fee_percent", "fee_each", "day_fee", "day_hours", "sales_a_day", "tax_percent")
OF_STEPS = ("batch", *MEASURES)

# Gives a number in place of the present one, which may be missing.
Amend = Callable[[Decimal | None], Decimal]
Model = TypeVar("Model", bound=Record)


def known_names(assumed: Assumptions) -> tuple[str, ...]:
    """Give what may be supposed of the studio and of products, without the keys that follow a table's name."""
    studio = assumed.studio
    return (
        *SHORT,
        *(f"bench.{key}" for key in OF_BENCH),
        *(f"channels.{name}.{key}" for name in studio.channels for key in (*OF_CHANNELS, "rounding")),
        *dict.fromkeys(key for channel in studio.channels.values() for key in _standing(channel)),
        *(f"steps.{name}" for name in studio.steps),
        *(f"finishes.{name}.steps.{step}" for name, finish in studio.finishes.items() for step in finish.steps),
        *(f"products.{product.slug}.batch" for product in assumed.products),
    )


def suppose_rule(assumed: Assumptions, name: str, amend: Amend, word: str, text: str) -> Assumptions | None:
    """Give what is assumed with another number for a key; ``word`` stands in its place for a key that takes words.

    None where nothing has that name.

    Raises:
        MistakeError: the key cannot have that value.
    """
    return _Supposition(assumed, amend, word, text).of(name)


def _standing(channel: Channel) -> tuple[str, ...]:
    return tuple(key for key in OF_CHANNELS if key in channel.model_fields_set and getattr(channel, key) is not None)


def _number(value: Decimal | int | None) -> Decimal | None:
    return None if value is None else Decimal(value)


@dataclass(frozen=True, slots=True)
class _Supposition:
    assumed: Assumptions
    amend: Amend
    word: str
    text: str

    def of(self, name: str) -> Assumptions | None:
        """Give what is assumed as it would be; None where the name leads to nothing."""
        if self.word:
            return self._of_word(name)
        studio = self.assumed.studio
        path = f"bench.{SHORT[name]}" if name in SHORT else name
        match path.split("."):
            case ["bench", key] if key in OF_BENCH:
                return self._bench(key)
            case [key] if key in OF_CHANNELS:
                return self._channels([name for name, each in studio.channels.items() if key in _standing(each)], key)
            case ["channels", channel, key] if channel in studio.channels and key in OF_CHANNELS:
                return self._channels([channel], key)
            case ["steps", step, *keys]:
                steps = self._steps(studio.steps, step, keys)
                return self._with_studio({"steps": steps}) if steps else None
            case ["finishes", finish, "steps", step, *keys] if finish in studio.finishes:
                return self._finish(finish, step, keys)
            case ["products", slug, "batch"]:
                return self._products(slug)
            case _:
                return None

    def _of_word(self, name: str) -> Assumptions | None:
        channels = self.assumed.studio.channels
        match name.split("."):
            case ["rounding"]:
                return self._channels(list(channels), "rounding")
            case ["channels", channel, "rounding"] if channel in channels:
                return self._channels([channel], "rounding")
            case _:
                return None

    def _bench(self, key: str) -> Assumptions:
        bench = self.assumed.studio.bench
        amended = self._validated(Bench, bench, {key: self.amend(Decimal(getattr(bench, key)))})
        return replace(self.assumed, studio=self.assumed.studio.with_bench(amended))

    def _channels(self, names: Sequence[str], key: str) -> Assumptions | None:
        changed = dict(self.assumed.studio.channels)
        for name in names:
            channel = changed[name]
            updates: dict[str, object] = dict.fromkeys((*RULES, "follows", "at_percent")) if key in RULES else {}
            updates[key] = self.word or self.amend(_number(getattr(channel, key)))
            changed[name] = self._validated(Channel, channel, updates)
        if not names:
            return None
        mistakes = Mistakes()
        check_channels(changed, self._source, mistakes)
        mistakes.raise_if_any()
        studio = self.assumed.studio.model_copy(update={"channels": changed})
        return replace(self.assumed, studio=studio.with_bench(studio.bench))

    def _finish(self, name: str, step: str, keys: list[str]) -> Assumptions | None:
        finish = self.assumed.studio.finishes[name]
        steps = self._steps(finish.steps, step, keys)
        if not steps:
            return None
        finishes = {**self.assumed.studio.finishes, name: finish.model_copy(update={"steps": steps})}
        return self._with_studio({"finishes": finishes})

    def _steps(self, steps: Mapping[str, WorkStep], name: str, keys: list[str]) -> dict[str, WorkStep] | None:
        """Give steps with other minutes for one: for a key of it, or for all of its keys alike."""
        if name not in steps or len(keys) > 1 or not set(keys) <= set(OF_STEPS):
            return None
        step = steps[name]
        chosen = keys or [key for key in OF_STEPS if getattr(step, key)]
        if not keys and "%" not in self.text:
            raise MistakeError.at(
                Place(path=f"--suppose {self.text}"),
                wrong=f"the step {name!r} has minutes for {listed(chosen)}",
                expected="a change of them all in percent, or a key after the step's name",
                mend=f"write, for example, steps.{name}=-10% or steps.{name}.{chosen[0] if chosen else 'item'}=2",
            )
        updates: dict[str, object] = {key: self.amend(getattr(step, key)) for key in chosen}
        return {**steps, name: self._validated(WorkStep, step, updates)}

    def _products(self, slug: str) -> Assumptions | None:
        if slug not in {product.slug for product in self.assumed.products}:
            return None
        products = tuple(self._batched(each) if each.slug == slug else each for each in self.assumed.products)
        return replace(self.assumed, products=products)

    def _batched(self, product: Product) -> Product:
        count = self.amend(Decimal(product.keys.batch or self.assumed.studio.bench.batch))
        checked = self._validated(Bench, self.assumed.studio.bench, {"batch": count}).batch
        keys: ProductKeys = product.keys.model_copy(update={"batch": checked})
        return replace(product, keys=keys)

    @property
    def _source(self) -> Source:
        return Source(f"--suppose {self.text}", "")

    def _with_studio(self, tables: Mapping[str, object]) -> Assumptions:
        studio: Studio = self.assumed.studio.model_copy(update=dict(tables))
        return replace(self.assumed, studio=studio)

    def _validated(self, model: type[Model], record: Model, updates: Mapping[str, object]) -> Model:
        """Give a record with other values, checked as if they stood in its file."""
        values = {key: getattr(record, key) for key in type(record).model_fields if key in record.model_fields_set}
        return validate(model, {**values, **updates}, self._source, lambda _: None)


def unknown(assumed: Assumptions, name: str, text: str, others: set[str]) -> MistakeError:
    """Make the error of a name that nothing has; ``others`` are names beside those of the studio's keys."""
    known = {*others, *known_names(assumed)}
    return MistakeError.at(
        Place(path=f"--suppose {text}"),
        wrong=f"nothing is named {name!r}",
        expected=f"one of: {listed(sorted(others | set(SHORT)), most=60)}; or a key of studio.toml with its tables",
        mend=suggestion(name, known, "write the name of a material, a kind of material, or a key"),
    )
