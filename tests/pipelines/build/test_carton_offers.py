"""What is offered to the demo's parcels holds, is carried and keeps its flaps; what is left out saves nothing."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest

from models.carton_choice import fits
from models.carton_choice.demand import in_words
from models.packing.fit import Known
from models.packing.geometry import needed_flap_in, stocked_carton
from models.plain_rows import as_dicts
from pipelines.build.cartons import classes
from pipelines.shop import warehouse
from pipelines.shop.settings import load
from tests.sample_data import shop_files
from tests.shops import rows


@pytest.fixture(scope="module")
def work(
    demo_folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[warehouse.Connection, classes.Judged]]:
    folder = tmp_path_factory.mktemp("work") / "shop"
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("archive", "inbox", "reviews"))
    settings = load(folder)
    with warehouse.writing(settings, "test") as connection:
        connection.begin()
        with classes.working(connection):
            yield connection, classes.judge(connection, settings.cartons)
        connection.rollback()


def test_cutting_the_long_carton_would_do_too(work: tuple[warehouse.Connection, classes.Judged]) -> None:
    _, judged = work
    planted = shop_files.truth()["long_carton"]
    offered = judged.offered.rows
    cut = offered[(offered["carton_code"] == planted["carton_code"]) & (offered["option_kind"] == "cut")]
    (tripod,) = [packed for packed in judged.demand.contents.values() if in_words(packed) == "1 tripod"]
    held = fits.fits([tripod], judged.offered.insides_in[cut["option_key"]], Known())[0]
    heights = cut.loc[held, "cut_height_in"]
    # The lowest whole inch that holds the tripod: within what the biography says would avoid the surcharge.
    assert heights.min() == planted["needed_length_in"]
    assert cut.loc[cut["cut_height_in"] == planted["needed_length_in"], "length_in"].max() <= 48


def best_by_step(judged: classes.Judged) -> pd.DataFrame:
    """The least price of each class at each step of the ladder, which allows what the steps before it allow."""
    prices = judged.choices.pivot(index="class_key", columns="option_kind", values="price_cents")
    return prices[["stocked", "cut", "measured"]].astype(float).cummin(axis=1).ffill(axis=1)


def test_leaving_out_higher_cuts_and_beaten_cartons_changes_no_best_price(
    work: tuple[warehouse.Connection, classes.Judged], monkeypatch: pytest.MonkeyPatch, demo_folder: Path
) -> None:
    """By the demo's tariffs a smaller parcel never costs more, so what is left out was no cheaper anywhere."""
    connection, judged = work
    best = best_by_step(judged)
    monkeypatch.setattr("models.carton_choice.fits.useful", lambda answers, geometry: answers)
    monkeypatch.setattr("models.carton_choice.fits.unbeaten", lambda answers, rows: answers)
    try:
        whole = classes.judge(connection, load(demo_folder).cartons)
        assert len(whole.offered) == len(judged.offered)
        pd.testing.assert_frame_equal(best_by_step(whole), best)
    finally:
        monkeypatch.undo()
        classes.judge(connection, load(demo_folder).cartons)


def test_what_is_chosen_holds_is_carried_and_keeps_its_flaps(work: tuple[warehouse.Connection, classes.Judged]) -> None:
    connection, judged = work
    picked = judged.choices.merge(judged.offered.rows, on=["option_key", "option_kind"])
    boxes = picked[picked["is_rectangular"].astype(bool)]
    for key, option in boxes[["contents_key", "option_key"]].drop_duplicates().itertuples(index=False):
        volume = judged.demand.contents[key].volume_in3
        assert volume <= judged.offered.insides_in[option].prod()
    refused = connection.execute(
        "select count(*) from cartons.choices as c left join cartons.priced as q "
        "on q.request_id = c.class_key * 1048576 + c.option_key "
        "where q.expected_cents is null or q.lacking is not null"
    ).fetchall()
    assert refused == [(0,)]
    entries = {row["carton_code"]: row for row in as_dicts(judged.demand.catalogue)}
    for row in as_dicts(picked[picked["option_kind"] == "cut"].drop_duplicates("option_key")):
        carton = stocked_carton(entries[row["carton_code"]])
        assert carton.is_cuttable and carton.lowest_in <= row["cut_height_in"] < carton.inside_in[2]
        # What was wall becomes flap: at least half the width is there before anything is trimmed.
        assert carton.inside_in[1] / 2 + carton.inside_in[2] - row["cut_height_in"] >= needed_flap_in(carton)


def test_tubes_are_offered_only_to_goods_that_lay_in_them(work: tuple[warehouse.Connection, classes.Judged]) -> None:
    connection, judged = work
    tubes = judged.offered.rows.loc[~judged.offered.rows["is_rectangular"].astype(bool), "option_key"].tolist()
    found = rows(
        connection,
        "select distinct p.contents_key, o.carton_code from cartons.pairs as p "
        f"inner join cartons.offers as o on o.option_key = p.option_key where o.option_key in ({str(tubes)[1:-1]})",
    )
    used = set(judged.demand.used.itertuples(index=False, name=None))
    assert found and {(row["contents_key"], row["carton_code"]) for row in found} <= used


def test_a_bulging_carton_is_reckoned_as_it_closes(work: tuple[warehouse.Connection, classes.Judged]) -> None:
    _, judged = work
    planted = shop_files.truth()["long_carton"]
    whole = judged.offered.rows[judged.offered.rows["carton_code"] == planted["carton_code"]]
    whole = whole[whole["option_kind"] == "stocked"]
    assert whole["length_in"].round(1).unique().tolist() == [planted["usual_closed_length_in"]]
