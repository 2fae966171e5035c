"""Fragments of the SQL texts are written out, wherever a text is read."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.sql_texts import sql_texts, written_out

ROOT = Path(__file__).parents[2]
SQL = ROOT / "models" / "sql"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("{each income: c.$_cents}", "c.shipping_charged_cents,\n    c.allowance_cents"),
        ("({sum income: c.$_cents})", "(c.shipping_charged_cents + c.allowance_cents)"),
        (
            "{union income: select '$' as k}",
            "select 'shipping_charged' as k\n    union all\n    select 'allowance' as k",
        ),
        (
            "on {valid k on p.shipped_on}",
            "on p.shipped_on >= k.effective_from and (k.effective_before is null or p.shipped_on < k.effective_before)",
        ),
        (
            "on {in_force t on p.shipped_on}",
            "on t.effective_from <= p.shipped_on and coalesce(t.effective_to, date '2099-12-31') >= p.shipped_on",
        ),
        (
            "{sums d.over_cents, d.credited_cents}",
            "cast(sum(d.over_cents) as bigint) as over_cents,\n    "
            "cast(sum(d.credited_cents) as bigint) as credited_cents",
        ),
        ("{max w.zone, w.packer}", "max(w.zone) as zone,\n    max(w.packer) as packer"),
        ("{min w.shipped_on}", "min(w.shipped_on) as shipped_on"),
        ("{or_unknown j.zone}", "coalesce(j.zone, 'unknown') as zone"),
        (
            "{mean s.x_cents over s.n}",
            "case when s.n > 0 then cast(round(cast(s.x_cents as double) / s.n) as bigint) end",
        ),
        (
            "{in_each a.x, a.y: select '$' as t from $ as s}",
            "select 'a.x' as t from a.x as s\n    union all\n    select 'a.y' as t from a.y as s",
        ),
        ("{values side in 'a b', 'c'}", "select 'a b' as side\n    union all\n    select 'c' as side"),
        (
            "{facts r}",
            "r.length_in, r.width_in, r.height_in, r.is_rectangular, r.scale_weight_lb, r.is_residential, "
            "r.destination_prefix, r.declared_value_cents",
        ),
        ("{longest r.}", "greatest(r.length_in, r.width_in, r.height_in)"),
        ("{shortest c.inside_}", "least(c.inside_length_in, c.inside_width_in, c.inside_height_in)"),
        (
            "{second r.}",
            "r.length_in + r.width_in + r.height_in - greatest(r.length_in, r.width_in, r.height_in) "
            "- least(r.length_in, r.width_in, r.height_in)",
        ),
        ("{milli a.x + a.y}", "floor((a.x + a.y) * 1000 + 0.500001)"),
        (
            "{key a.x, a.y}",
            "cast('0x' || substr(md5(coalesce(cast(a.x as varchar), chr(28)) || chr(29) || "
            "coalesce(cast(a.y as varchar), chr(28))), 1, 15) as bigint)",
        ),
        (
            "{last_stated x, y in c by k, s}",
            "last_value(c.x ignore nulls) over (partition by c.k, c.s order by c.effective_from) as x,\n    "
            "last_value(c.y ignore nulls) over (partition by c.k, c.s order by c.effective_from) as y",
        ),
        (
            "{packed_lb q.lb from k to f with v.void_lb}",
            "q.lb + greatest(v.void_lb - k.used_void_lb + coalesce(f.tare_lb - k.used_tare_lb, 0), 0.01 - q.lb)",
        ),
        ("select 1", "select 1"),
    ],
)
def test_fragments_are_written_out(text: str, expected: str) -> None:
    assert written_out(text) == expected


@pytest.mark.parametrize("text", ["{each nothing: $}", "{every income: $}"])
def test_an_unknown_fragment_or_list_is_an_error(text: str) -> None:
    with pytest.raises(KeyError):
        written_out(text)


def test_no_text_leaves_a_fragment_behind() -> None:
    folders = [file.parent.relative_to(SQL) for file in SQL.rglob("*.sql")]
    texts = [text for folder in set(folders) for text in sql_texts(folder.as_posix()).values()]
    assert len(texts) > 100
    assert not any("{" in text or "}" in text for text in texts)


@pytest.mark.parametrize(
    "written", ["effective_before is null or", "coalesce(t.effective_to", "0.500001", "ignore nulls", "tare_lb - "]
)
def test_what_a_fragment_says_is_not_written_by_hand(written: str) -> None:
    assert [file.name for file in SQL.rglob("*.sql") if written in file.read_text(encoding="utf-8")] == []
