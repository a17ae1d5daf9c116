"""Say the result of a scan by sound too: a short rising pair, or two long low tones."""

from __future__ import annotations

import array
import math
import wave
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

_RATE = 22_050
# Hertz and seconds. The two differ in rhythm, not in pitch alone: a machine's hum hides pitch.
GOOD = ((1200, 0.08), (0, 0.03), (1800, 0.1))
REFUSED = ((300, 0.32), (0, 0.12), (300, 0.32))
Tones = Sequence[tuple[int, float]]


def write_tones(path: Path, tones: Tones) -> None:
    """Write tones as a mono WAV file of 16 bits; hertz 0 is silence."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(_RATE)
        file.writeframes(_samples(tuple(tones)))


@cache  # one process may start the app often, as the tests do
def _samples(tones: tuple[tuple[int, float], ...]) -> bytes:
    samples = array.array("h")
    for hertz, seconds in tones:
        count = round(_RATE * seconds)
        for at in range(count):
            # 5 ms in and out, or the ear hears a click
            swell = min(1.0, at / 110, (count - at) / 110)
            samples.append(round(24_000 * swell * math.sin(2 * math.pi * hertz * at / _RATE)))
    return samples.tobytes()


class Sounds:
    """The two sounds, loaded ahead so that the first scan is not late."""

    def __init__(self, folder: Path, *, wanted: bool, volume: int = 100) -> None:
        """Take whether sounds are wanted, and how loud, 0 to 100; at 0 there are none."""
        self._volume = volume / 100
        self._good: Any = None
        self._refused: Any = None
        if wanted and volume:
            self._good = self._ready(folder / "good.wav", GOOD)
            self._refused = self._ready(folder / "refused.wav", REFUSED)

    @property
    def is_on(self) -> bool:
        """Tell whether anything can be heard: without a device the length is 0."""
        return all(sound is not None and sound.length > 0 for sound in (self._good, self._refused))

    def play(self, *, good: bool) -> None:
        """Play one of the two; without a device nothing happens."""
        sound = self._good if good else self._refused
        if sound is not None:
            sound.stop()
            sound.play()

    def _ready(self, path: Path, tones: Tones) -> Any:
        sound = self._load(path, tones)
        if sound is not None:
            sound.volume = self._volume
        return sound

    @staticmethod
    def _load(path: Path, tones: Tones) -> Any:
        from kivy.core.audio import SoundLoader

        try:
            write_tones(path, tones)
        except OSError:
            return None
        return SoundLoader.load(str(path))
