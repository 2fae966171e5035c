"""Item types from titles: the same words here and in the SQL, and proposals from what titles share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as tried
from hypothesis import strategies as st

from models.errors import SettingsError
from models.sql_texts import sql_texts
from models.titles import TitleCount, proposals, telling, words_of
from pipelines.build import shop_words
from pipelines.shop import warehouse
from pipelines.shop.settings import Settings, Shop
from tests.shops import build_tables, built, fill, rows

RULES = [("60mm refractor", "small refractor"), ("refractor", "refractor"), ("Eye-piece", "eyepiece"), ("50%", "half")]
TITLES = {
    "60mm REFRACTOR telescope - rare": "small refractor",
    "Refractor, 60mm (L@@K)": "small refractor",
    "80mm refractor": "refractor",
    "refractors, a pair": None,
    "eye piece set": "eyepiece",
    "piece of an eye": "eyepiece",
    "EYE/PIECE\u00a0set": "eyepiece",
    "50 mm finder": "half",
    "500 mm mirror lens": None,
    "r_fractor": None,
    "": None,
    "'; drop table -- \\": None,
}


def item_type_of(title: str, rules: Sequence[tuple[str, str]]) -> str | None:
    """The item type of the first rule (words, item type) that fits the title; None where none does."""
    there = set(words_of(title))
    return next((item_type for said, item_type in rules if words_of(said) and there >= set(words_of(said))), None)


def titled(folder: Path, titles: list[str]) -> dict[str, str | None]:
    """The item type that the SQL model gives each title."""
    with warehouse.scratch() as connection:
        shop_words.load(connection, Settings(folder=folder))
        fill(connection, "sales", [{"sale_id": f"S{n}", "item_type": None, "title": t} for n, t in enumerate(titles)])
        found = connection.execute(sql_texts("core")["sale_titles"]).df()
    item_types = found["item_type"].astype(object).where(found["item_type"].notna(), None)
    return dict(zip(found["title"], item_types, strict=True))


def test_the_first_rule_whose_words_all_stand_in_the_title_counts(tmp_path: Path) -> None:
    shop_words.add_rules(Settings(folder=tmp_path), RULES)
    assert titled(tmp_path, list(TITLES)) == TITLES
    assert {title: item_type_of(title, RULES) for title in TITLES} == TITLES


def test_python_and_the_engine_agree_on_any_title(tmp_path: Path) -> None:
    shop_words.add_rules(Settings(folder=tmp_path), RULES)
    alphabet = st.sampled_from(["60mm", "refractor", "eye", "piece", "50", "é", "ß", "telescope", "RARE"])
    signs = st.sampled_from([" ", "-", "/", "_", "%", "\\", "'", '"', ".", "  ", "@", "|", "~", "", "\u00a0"])

    @given(st.lists(st.lists(st.tuples(alphabet, signs), max_size=6), min_size=40, max_size=80))
    @tried(max_examples=3, derandomize=True, deadline=None)
    def agree(made: list[list[tuple[str, str]]]) -> None:
        titles = list(dict.fromkeys("".join(word + sign for word, sign in each) for each in made))
        assert titled(tmp_path, titles) == {title: item_type_of(title, RULES) for title in titles}

    agree()


def test_history_regroups_when_rules_change(tmp_path: Path) -> None:
    settings = Settings(folder=tmp_path)
    asked = "select item_type, parcel_count from marts.item_type_costs"
    with warehouse.scratch() as connection:
        fill(
            connection,
            "sales",
            [{"sale_id": "S1", "item_type": None, "title": "Old 60mm refractor", "parcel_id": "P1"}],
        )
        fill(connection, "charges", [{"parcel_id": "P1", "charge_kind": "base", "amount_cents": 500}])
        build_tables(connection, settings)
        assert rows(connection, asked) == [{"item_type": "unknown", "parcel_count": 1}]
        warned = rows(connection, "select row_count from analysis.warnings where warning = 'unknown titles'")
        assert warned == [{"row_count": 1}]
        shop_words.add_rules(settings, [("refractor", "refractor")])
        build_tables(connection, settings)
        assert rows(connection, asked) == [{"item_type": "refractor", "parcel_count": 1}]


def test_rules_are_written_replaced_in_their_place_and_removed(tmp_path: Path) -> None:
    settings = Settings(folder=tmp_path)
    shop_words.add_rules(settings, [("refractor", "refractor"), ("mirror", "mirror")])
    shop_words.add_rules(settings, [("REFRACTOR!", "tube"), ("60MM", "small")])
    assert [(each.words, each.item_type) for each in shop_words.said(settings).titles] == [
        ("REFRACTOR!", "tube"),
        ("mirror", "mirror"),
        ("60MM", "small"),
    ]
    for number in (2, 2, 1):
        shop_words.remove_rule(settings, number)
    assert shop_words.said(settings) == shop_words.Said()
    with pytest.raises(SettingsError, match="holds no word"):
        shop_words.add_rules(settings, [("- @ -", "nothing")])


CLASSES = {
    (1, 12): "up to 1 lb, up to 12 in",
    (1.01, 12.01): "up to 5 lb, up to 24 in",
    (50, 72): "up to 50 lb, up to 72 in",
    (71, 73): "over 70 lb, over 72 in",
    (5, None): "up to 5 lb",
    (None, 20): "unknown",
}


@pytest.fixture(scope="module")
def shop() -> Iterator[warehouse.Connection]:
    """Titles beside item types and stock numbers, and single pieces of all sizes."""
    sides = [(f"C{n}", weight, side) for n, (weight, side) in enumerate(CLASSES)]
    with built(
        sales=[
            {"sale_id": "S1", "item_type": "mount", "title": "refractor"},
            {"sale_id": "S2", "item_type": None, "sku": "M-1", "title": "refractor"},
            {"sale_id": "S3", "item_type": None, "sku": "unheard of", "title": "refractor"},
            *({"sale_id": f"S-{p}", "item_type": None, "title": "One of a kind", "parcel_id": p} for p, _, _ in sides),
        ],
        skus=[{"sku": "M-1", "item_type": "mount"}],
        charges=[
            {
                "parcel_id": parcel,
                "charge_kind": "base",
                "amount_cents": 500,
                "billed_weight_lb": weight,
                "billed_length_in": side,
                "billed_width_in": side and 1,
                "billed_height_in": side and 1,
            }
            for parcel, weight, side in sides
        ],
    ) as connection:
        yield connection


def test_a_known_item_type_or_stock_number_counts_before_a_title(shop: warehouse.Connection) -> None:
    asked = "select sale_id, item_type, has_unknown_title from core.sale_lines where sale_id < 'S-' or sale_id > 'S1'"
    found = [tuple(row.values()) for row in rows(shop, f"{asked} order by 1")]
    assert found[-2:] == [("S2", "mount", False), ("S3", "unknown", True)]


def test_single_pieces_are_classed_by_what_was_billed(shop: warehouse.Connection) -> None:
    found = rows(shop, "select item_type, parcel_count, billed_cents from marts.item_type_costs")
    assert {row["item_type"] for row in found} == set(CLASSES.values())
    assert [(row["parcel_count"], row["billed_cents"]) for row in found] == [(1, 500)] * len(CLASSES)


METRIC = {
    (2.2046226, 11.8110236): "up to 1 kg, up to 30 cm",
    (11.1, 12): "up to 10 kg, up to 60 cm",
    (67, None): "over 30 kg",
}


def test_a_metric_shop_has_its_classes_in_its_own_units() -> None:
    """One kilogram and thirty centimetres, read into pounds and inches, stay within their class."""
    said = Shop(units="metric").shown_units.for_models()
    with warehouse.scratch() as connection:
        columns = ", ".join(f"? as {name}" for name in said)
        connection.execute(f"create table shop.settings as select {columns}", list(said.values()))
        for number, (weight, side) in enumerate(METRIC):
            charge = {"parcel_id": f"P{number}", "billed_weight_lb": weight, "billed_length_in": side}
            fill(connection, "charges", [{**charge, "invoice_number": f"I{number}"}])
        found = rows(connection, f"{sql_texts('core')['size_classes']} order by 1")
    assert [row["size_class"] for row in found] == list(METRIC.values())


def test_praise_falls_away() -> None:
    assert telling("L@@K! 60mm Refractor - rare - must see") == ("60mm", "refractor")
    assert words_of("L@@K") == ("l", "k")


def test_proposals_are_the_words_that_titles_share() -> None:
    titles = {
        "Vintage 60mm refractor telescope - rare": 900,
        "60mm refractor telescope L@@K": 800,
        "60mm refractor telescope, boxed": 700,
        "Brass marine sextant": 600,
        "Marine sextant in case": 500,
        "Oak plant stand": 400,
    }
    found = list(proposals(TitleCount(title, 1, cents) for title, cents in titles.items()))
    assert [(set(each.words), each.line_count, each.money_cents) for each in found] == [
        ({"60mm", "refractor", "telescope"}, 3, 2_400),
        ({"marine", "sextant"}, 2, 1_100),
    ]
    assert all(item_type_of(each.example, [(each.item_type, "x")]) == "x" for each in found)


def test_every_proposal_serves_what_it_counts() -> None:
    made = [TitleCount(f"{a} {b} {c}", n + 1, 10 * n) for n, (a, b, c) in enumerate(WORDS)]
    left = dict.fromkeys(made)
    for each in proposals(made):
        served = [title for title in left if item_type_of(title.title, [(each.item_type, "x")])]
        assert (sum(t.line_count for t in served), sum(t.money_cents for t in served)) == (
            each.line_count,
            each.money_cents,
        )
        for title in served:
            del left[title]


WORDS = [
    (a, b, c)
    for a in ("brass", "oak", "steel", "tin")
    for b in ("lamp", "stand", "rod")
    for c in ("rare", "boxed", "1950")
]
