"""Pitch against Praat over the whole range, and the notes of scales against mir_eval.

    python -m tests.bench.sounds_pitch

Bassoon B♭1-E5 and oboe B♭3-E5 from two General MIDI sound sets, every third
note, detuned by -30 and +20 cents, clean and at 20 dB signal-to-noise.
The bar: median 2 cents, 95th percentile 8, no octaves. Printed beside it: in
how many of the held frames each finds a pitch at all (an unvoiced frame has no
error), and how far each lies from the pitch that was asked of the sound set,
which shows an octave that both got wrong. The sets are themselves some cents
out of tune, and their vibrato counts as error there.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import mir_eval
import numpy as np
import parselmouth

from annotate.listen import notes, pitch
from tests.bench.makers import tones

RATE_HZ = 44_100


@dataclass
class Compared:
    """Frames of one setting: cents of ours from Praat's, of each from the known pitch, and how many there were."""

    apart: list[np.ndarray] = field(default_factory=list)
    ours_off: list[np.ndarray] = field(default_factory=list)
    theirs_off: list[np.ndarray] = field(default_factory=list)
    frames: int = 0

    def add(self, samples: np.ndarray, known_hz: float) -> None:
        """Compare over the held part of one tone."""
        ours = pitch.track(samples, RATE_HZ)
        theirs = parselmouth.Sound(samples, RATE_HZ).to_pitch_ac(
            time_step=0.01, pitch_floor=50, pitch_ceiling=1400, very_accurate=True
        )
        held = (ours.time_ms > 250) & (ours.time_ms < 1150)
        reference = np.array([theirs.get_value_at_time(ms / 1000) for ms in ours.time_ms[held]])
        hz = ours.hz[held]
        both = (reference > 0) & (hz > 0)
        self.apart.append(np.abs(1200 * np.log2(hz[both] / reference[both])))
        self.ours_off.append(np.abs(1200 * np.log2(hz[hz > 0] / known_hz)))
        self.theirs_off.append(np.abs(1200 * np.log2(reference[reference > 0] / known_hz)))
        self.frames += int(held.sum())

    def told(self) -> str:
        apart = np.concatenate(self.apart)
        lines = [
            f"{self.frames} frames, {apart.size} with a pitch in both ({apart.size / self.frames:.2%}); "
            f"ours from Praat's: {_spread(apart)}"
        ]
        for name, parts in (("ours", self.ours_off), ("Praat's", self.theirs_off)):
            off = np.concatenate(parts)
            lines.append(f"   {name}: a pitch in {off.size / self.frames:.2%}; from the known pitch: {_spread(off)}")
        return "\n".join(lines)


def _spread(cents: np.ndarray) -> str:
    return (
        f"median {np.median(cents):.3f}, 95th percentile {np.percentile(cents, 95):.3f}, "
        f"most {cents.max():.1f} cents, an octave off: {(cents > 600).sum()}"
    )


def note_scores(sound_set: str) -> np.ndarray:
    """Precision, recall and F1 of mir_eval (start within 50 ms, pitch within 50 cents) over 24 phrases, in mean."""
    scores = []
    for program in (tones.BASSOON, tones.OBOE):
        for number in range(12):
            random = np.random.default_rng(800 + number)
            phrase = tones.phrase(random, program)
            found = notes.find_notes(tones.render(sound_set, program, phrase), tones.RATE_HZ)
            scores.append(
                mir_eval.transcription.precision_recall_f1_overlap(
                    np.array([[start, start + length] for start, length, _, _ in phrase]),
                    np.array([440 * 2 ** ((key - 69) / 12) for _, _, key, _ in phrase]),
                    np.array([[note.start_ms / 1000, note.end_ms / 1000] for note in found]),
                    np.array([note.hz for note in found]),
                    offset_ratio=None,
                )[:3]
            )
    return np.mean(scores, axis=0)


def main() -> None:
    for sound_set in tones.SOUND_SETS:
        precision, recall, f1 = note_scores(sound_set)
        print(f"notes of {sound_set}: precision {precision:.3f}, recall {recall:.3f}, F1 {f1:.3f}")
    for snr_db in (None, 20.0):
        found = Compared()
        for sound_set in tones.SOUND_SETS:
            for program, lowest in ((tones.BASSOON, 34), (tones.OBOE, 58)):
                for number in range(lowest, 77, 3):
                    for cents in (-30, 20):
                        made = tones.render(sound_set, program, [(0.05, 1.2, number, 90)], cents, RATE_HZ)
                        samples = made[: int(1.4 * RATE_HZ)].astype(float)
                        if snr_db is not None:
                            noise = np.random.default_rng(number).normal(0, 1, samples.size)
                            samples += noise * np.sqrt((samples**2).mean()) * 10 ** (-snr_db / 20)
                        found.add(samples, 440 * 2 ** ((number - 69) / 12 + cents / 1200))
        print(f"{'clean' if snr_db is None else f'{snr_db:.0f} dB'}: {found.told()}")


if __name__ == "__main__":
    main()
