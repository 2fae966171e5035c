"""The section [damage]: what a new shop's comment shows are the defaults; what cannot be is refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from models.errors import SettingsError
from models.settings.damage import Damage
from pipelines.shop.settings import Shop, load
from pipelines.shop.starting import settings_text


def test_the_commented_section_of_a_new_shop_states_every_default(tmp_path: Path) -> None:
    commented = re.search(r"^# \[damage\]\n(?:# .+\n)+", settings_text(Shop()), re.MULTILINE)
    assert commented
    shown = re.sub(r"^# ", "", commented.group(), flags=re.MULTILINE)
    (tmp_path / "dunnage.toml").write_text(shown, encoding="utf-8")
    assert load(tmp_path).damage == Damage()
    assert all(f"\n{name} = " in shown for name, default in vars(Damage()).items() if default is not None)
    assert "\n# claims_to = " in shown


@pytest.mark.parametrize(
    "line",
    [
        'causes = ["weather"]',
        "causes = []",
        "window_days = 0",
        "min_parcels = 0",
        "chance_needed = 1.0",
        "false_discovery_rate = 0.0",
        "weeks_between_false_alarms = 1",
        "handling_cents = -1",
        'months = "two"',
        "half_life = 3",
    ],
)
def test_a_section_that_cannot_be_used_is_named(line: str, tmp_path: Path) -> None:
    (tmp_path / "dunnage.toml").write_text(f"[damage]\n{line}\n", encoding="utf-8")
    with pytest.raises(SettingsError, match=r"\[damage\]"):
        load(tmp_path)
