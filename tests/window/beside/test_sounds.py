"""Three short sounds that differ; they are told by name whether or not anything can play them."""

import io
import wave
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fusemap.window.beside import sounds
from fusemap.window.beside.sounds import RATE, SOUNDS, Herald, find_player, samples, wave_bytes


def loudest(part: np.ndarray[Any, Any]) -> float:
    """The frequency that is loudest in some samples [Hz], by numpy's Fourier transform."""
    spectrum = np.abs(np.fft.rfft(part * np.hanning(part.size), 1 << 15))
    return float(np.fft.rfftfreq(1 << 15, 1 / RATE)[int(np.argmax(spectrum))])


@pytest.mark.parametrize("name", list(SOUNDS))
def test_a_sound_is_short_and_neither_clips_nor_clicks(name: Any) -> None:
    made = samples(name)
    assert made.size / RATE < 0.5
    assert np.abs(made).max() < 1.0
    # it begins and ends in silence, and no step is louder than a tone's own slope
    assert abs(made[0]) < 0.01
    assert abs(made[-1]) < 0.01


@pytest.mark.parametrize("name", list(SOUNDS))
def test_the_tones_are_what_the_table_says(name: Any) -> None:
    made, at = samples(name), 0
    for frequency, long_s in SOUNDS[name]:
        count = round(long_s * RATE)
        if frequency:
            assert loudest(made[at : at + count]) == pytest.approx(frequency, rel=0.03)
        at += count
    assert at == made.size


def test_they_are_told_apart_by_how_they_go() -> None:
    """One tone, falling, rising: that is heard under a dashboard, too."""
    goes = {name: [tone for tone, _ in tones if tone] for name, tones in SOUNDS.items()}
    assert len(goes["stored"]) == 1
    assert goes["doubted"] == sorted(goes["doubted"], reverse=True) != goes["stored"]
    assert goes["done"] == sorted(goes["done"])
    assert len(goes["done"]) == 3


def test_the_file_is_a_wave_that_any_player_reads() -> None:
    for name in SOUNDS:
        with wave.open(io.BytesIO(wave_bytes(name))) as file:
            assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, RATE)
            assert file.getnframes() == samples(name).size


def test_it_tells_by_name_and_is_quiet_where_nobody_listens(qapp: Any) -> None:
    herald, heard, said = Herald(voice=True), [], []
    herald.sounded.connect(heard.append)
    herald.spoke.connect(said.append)
    herald.tell("stored", "F2, Radio")
    herald.sound = herald.voice = False
    herald.tell("done", "F3")
    assert (heard, said) == (["stored"], ["F2, Radio"])


def test_the_systems_own_player_is_used_where_there_is_no_other(
    qapp: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sounds, "has_ears", lambda: True)
    monkeypatch.setattr(sounds.sys, "platform", "linux")
    log = tmp_path / "played"
    program = tmp_path / "paplay"
    program.write_text(f'#!/bin/sh\necho "$1" > {log}\n')
    program.chmod(0o755)
    monkeypatch.setattr(sounds, "import_module", _no_module)
    monkeypatch.setattr(
        sounds.shutil, "which", lambda name: str(program) if name == "paplay" else None
    )
    monkeypatch.setattr(sounds, "state_folder", lambda: tmp_path / "state")
    started: list[Any] = []
    real = sounds.subprocess.Popen
    monkeypatch.setattr(
        sounds.subprocess, "Popen", lambda *a, **k: started.append(real(*a, **k)) or started[-1]
    )
    herald = Herald()
    herald.tell("stored")
    assert started[0].wait(timeout=10) == 0
    written = tmp_path / "state" / "sound-stored.wav"
    assert log.read_text().strip() == str(written)
    assert written.read_bytes() == wave_bytes("stored")


def _no_module(name: str) -> Any:
    raise ImportError(name)


def test_offscreen_nothing_is_looked_for(qapp: Any) -> None:
    assert find_player(qapp) is None
