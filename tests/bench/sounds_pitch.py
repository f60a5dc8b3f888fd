"""Pitch against Praat over the whole range, and the notes of scales against mir_eval.

    python -m tests.bench.sounds_pitch

Bassoon B♭1-E5 and oboe B♭3-E5 from two General MIDI sound sets, every third
note, detuned by -30 and +20 cents, clean and at 20 dB signal-to-noise.
The bar: median 2 cents, 95th percentile 8, no octaves.
"""

from __future__ import annotations

import numpy as np
import parselmouth

from annotate.listen import pitch
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


def main() -> None:
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
