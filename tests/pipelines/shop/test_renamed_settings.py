"""Settings, options and files that had another name once: read still, with a note; never under both names."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from models.errors import SettingsError
from models.settings.renaming import RENAMED
from pipelines.cli import main
from pipelines.shop import run_log, toml_files
from pipelines.shop.settings import load

NAMES = [(section, old, present) for section, names in RENAMED.items() for old, present in names.items()]


def written(folder: Path, text: str) -> Path:
    (folder / "dunnage.toml").write_text(text, encoding="utf-8")
    toml_files._note.cache_clear()
    return folder


@pytest.mark.parametrize(("section", "old", "present"), NAMES)
def test_an_old_name_is_read_with_a_note_and_never_beside_the_present_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], section: str, old: str, present: str
) -> None:
    value = 1001 if section == "reading" else 21
    folder = written(tmp_path, f"[{section}]\n{old} = {value}\n")
    assert getattr(getattr(load(folder), section), present) == value
    load(folder)
    (note,) = capsys.readouterr().err.splitlines()
    assert note.endswith(f"[{section}] {old} is now named {present}; the old name is still read")
    for lines in ((old, present), (present, old)):
        text = "\n".join(f"{name} = {value}" for name in lines)
        with pytest.raises(SettingsError, match=f"{old} is the old name of {present}, which is stated too") as found:
            load(written(tmp_path, f"[{section}]\n{text}\n"))
        assert f"line {2 + lines.index(old)}" in found.value.where and found.value.next_step == f"remove {old}"


def test_no_old_name_is_a_present_one_of_its_section() -> None:
    for section, names in RENAMED.items():
        assert set(names).isdisjoint(names.values()), section


def test_a_wrong_value_under_an_old_name_is_refused_on_its_line(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="alert_after_hours = 0 is too small") as found:
        load(written(tmp_path, "[schedule]\nreview_day = 3\ntell_after_hours = 0\n"))
    assert "line 3 [schedule]" in found.value.where


def test_the_old_option_of_trace_is_read_with_a_note(demo_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def shown(*words: str) -> tuple[str, str]:
        assert main(["--shop", str(demo_folder), "trace", "marts.item_type_costs", *words]) == 0
        said = capsys.readouterr()
        return said.out, said.err

    out, note = shown("--most", "3")
    assert (out, note) == (shown("--limit", "3")[0], "--most is now named --limit; the old name is still read\n")
    with pytest.raises(SystemExit):
        main(["trace", "marts.item_type_costs", "--limit", "3", "--most", "4"])
    assert "--most is the old name of --limit, which is stated too" in capsys.readouterr().err


def test_the_owner_hears_no_second_time_of_a_failure_noted_under_the_old_name(tmp_path: Path) -> None:
    settings, now = load(written(tmp_path, "[shop]\n")), datetime(2026, 11, 20, 12, tzinfo=UTC)
    run_log.note_reported(settings, "intake", now)
    (tmp_path / "schedule-intake.reported").rename(tmp_path / "schedule-intake.told")
    assert run_log.is_reported(settings, "intake", now)
