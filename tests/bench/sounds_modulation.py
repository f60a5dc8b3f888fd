"""Roughness of crows made with known modulation: how far rate, depth and lowest pitch lie from what was put in.

    python -m tests.bench.sounds_modulation

Crows of eight partials, at 300-700 Hz, modulated 16-148 times a second, 10 to
95 % deep, 0.4-2 s long, at 16 kHz as the program hears them; clean, and at 30
and 20 dB signal-to-noise. The bar: rate within 2 %, depth within 10 % (of
itself). Steady tones show what depth is read where there is none.
"""

from __future__ import annotations

import itertools

import numpy as np

from annotate.listen.crow import measure_crow

RATE_HZ = 16_000
TONES_HZ = (300.0, 420.0, 523.25, 700.0)
RATES_HZ = (16.0, 20.0, 25.0, 33.0, 48.0, 75.0, 100.0, 120.0, 148.0)
DEPTHS = (0.1, 0.2, 0.35, 0.5, 0.75, 0.95)
SECONDS = (0.4, 0.7, 1.0, 2.0)


def crow(hz: float, rate_hz: float, depth: float, seconds: float, snr_db: float | None) -> np.ndarray:
    at = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    tone = sum(np.exp(-0.35 * k) * np.sin(2 * np.pi * hz * k * at + k) for k in range(1, 9))
    ends = np.clip(at / 0.03, 0, 1) * np.clip((seconds - at) / 0.03, 0, 1)
    made = 0.1 * tone * ends * (1 + depth * np.sin(2 * np.pi * rate_hz * at))
    if snr_db is not None:
        made = made + np.random.default_rng(7).normal(0, np.sqrt((made**2).mean()) * 10 ** (-snr_db / 20), made.size)
    return made


def main() -> None:
    for snr_db, seconds in itertools.product((None, 30.0, 20.0), SECONDS):
        rates, depths, lowest, unread = [], [], [], 0
        for hz, rate_hz, depth in itertools.product(TONES_HZ, RATES_HZ, DEPTHS):
            found = measure_crow(crow(hz, rate_hz, depth, seconds, snr_db), RATE_HZ)
            if found is None or not found.roughness_rate_hz or found.roughness_depth is None:
                unread += 1
                continue
            rates.append(100 * abs(found.roughness_rate_hz / rate_hz - 1))
            depths.append(100 * abs(found.roughness_depth / depth - 1))
            lowest.append(abs(1200 * np.log2(found.lowest.hz / hz)))
        steady = [measure_crow(crow(hz, 0, 0, seconds, snr_db), RATE_HZ) for hz in TONES_HZ]
        none = max((one.roughness_depth or 0.0 for one in steady if one is not None), default=0.0)
        wide, deep, away = np.array(rates), np.array(depths), np.array(lowest)
        name = "clean" if snr_db is None else f"{snr_db:.0f} dB"
        print(
            f"{name}, {seconds:g} s, {wide.size} crows ({unread} not read): "
            f"rate off by {np.median(wide):.2f} % (most {wide.max():.2f}), over 2 %: {(wide > 2).sum()}; "
            f"depth off by {np.median(deep):.1f} % (most {deep.max():.1f}), over 10 %: {(deep > 10).sum()}; "
            f"lowest pitch off by more than 20 cents: {(away > 20).sum()}; a steady tone reads {100 * none:.1f} % deep"
        )


if __name__ == "__main__":
    main()
