"""Pitch against Praat over the whole range, and the notes of scales against mir_eval.

    python -m tests.bench.sounds_pitch

Bassoon B♭1-E5 and oboe B♭3-E5 from two General MIDI sound sets, every third
note, detuned by -30 and +20 cents, clean and at 20 dB signal-to-noise.
The bar: median 2 cents, 95th percentile 8, no octaves.
"""

from __future__ import annotations

import mir_eval
import numpy as np
import parselmouth

from annotate.listen import notes, pitch
from tests.bench.makers import tones

RATE_HZ = 44_100


def errors(samples: np.ndarray) -> np.ndarray:
    """Cents between ours and Praat's pitch over the held part."""
    ours = pitch.track(samples, RATE_HZ)
    theirs = parselmouth.Sound(samples, RATE_HZ).to_pitch_ac(
        time_step=0.01, pitch_floor=50, pitch_ceiling=1400, very_accurate=True
    )
    held = (ours.time_ms > 250) & (ours.time_ms < 1150)
    reference = np.array([theirs.get_value_at_time(ms / 1000) for ms in ours.time_ms[held]])
    both = (reference > 0) & (ours.hz[held] > 0)
    return np.abs(1200 * np.log2(ours.hz[held][both] / reference[both]))


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
        found = []
        for sound_set in tones.SOUND_SETS:
            for program, lowest in ((tones.BASSOON, 34), (tones.OBOE, 58)):
                for number in range(lowest, 77, 3):
                    for cents in (-30, 20):
                        made = tones.render(sound_set, program, [(0.05, 1.2, number, 90)], cents, RATE_HZ)
                        samples = made[: int(1.4 * RATE_HZ)].astype(float)
                        if snr_db is not None:
                            noise = np.random.default_rng(number).normal(0, 1, samples.size)
                            samples += noise * np.sqrt((samples**2).mean()) * 10 ** (-snr_db / 20)
                        found.append(errors(samples))
        every = np.concatenate(found)
        print(
            f"{'clean' if snr_db is None else f'{snr_db:.0f} dB'}: {every.size} frames, median {np.median(every):.3f}, "
            f"95th percentile {np.percentile(every, 95):.3f}, most {every.max():.1f} cents, "
            f"an octave off: {(every > 600).sum()}"
        )


if __name__ == "__main__":
    main()
