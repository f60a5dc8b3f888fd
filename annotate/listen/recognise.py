"""Speech in an array becomes lines of words with times, only where someone speaks.

The sound is taken part by part (about five minutes, ended in a pause), so that
memory stays bounded, finished parts can be stored, and a run that was killed
goes on from the last stored part's ``end_ms``. In each part the voice detector
finds the speech, which is packed into 30 s pieces and recognised in batches;
what a batch lost or looped on is recognised again by itself.

Conventions: float32 mono at 16 kHz; times in integer ms on the clock whose zero
is ``start_ms`` before the first sample given.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from annotate.errors import BadInput, NoModel, ToolFailed
from annotate.listen.heard import (
    NO_SPEECH,
    NOTHING,
    POOR_LOG_PROBABILITY,
    Heard,
    Pass,
    as_word,
    by_joint,
    is_spoken,
    joined,
    placed,
    uncovered,
    unlooped,
)
from annotate.listen.line_cut import Spelled, Utterance, cut_lines
from annotate.listen.loops import has_copies, is_suspect
from annotate.listen.pace import Pace
from annotate.listen.parts import in_parts
from annotate.listen.recognition import Part, Recognition, Watch, Wishes
from annotate.listen.voiced import RATE_HZ, Piece, Samples, Stretch, pack, voiced
from annotate.listen.word_times import in_order
from annotate.model import Instead

__all__ = ["Part", "Recogniser", "Recognition", "Utterance", "Watch", "Wishes"]

# Whisper's window holds 448 tokens, prompt and text together; 30 s of fast speech need about 200. The library
# cuts a prompt at 223.
HINT_TOKENS = 215
# More retries cost more than they mend.
AGAIN_TEMPERATURES = [0.0, 0.4]
LANGUAGE_LOOKS = 3
SPEECH_COST = 0.06  # seconds for one of speech, base model, two cores: only the first part's progress rests on it
# Written without blanks between words; the list is the recogniser's own.
UNSPACED = frozenset({"zh", "ja", "th", "lo", "my", "yue"})


def _supported() -> set[str]:
    import ctranslate2

    return set(ctranslate2.get_supported_compute_types("cpu"))


class Recogniser:
    """A loaded speech model. One per process is enough: loading takes about a second."""

    def __init__(self, model_dir: Path, threads: int = 0, supported: Callable[[], set[str]] = _supported) -> None:
        from faster_whisper import WhisperModel

        from annotate.listen.second_look import SecondLook

        self.note = ""
        self.compute_type = "int8"
        if "int8" not in supported():
            self.compute_type = "float32"
            self.note = "This processor has no fast 8-bit arithmetic: recognition takes longer."
        try:
            self._model = WhisperModel(
                str(model_dir), device="cpu", compute_type=self.compute_type, cpu_threads=threads
            )
        except (RuntimeError, ValueError, OSError) as error:
            raise NoModel(f"the speech model cannot be loaded ({error})", str(model_dir), "Choose another.") from error
        self._batched = SecondLook(self._model)

    @property
    def languages(self) -> tuple[str, ...]:
        """Codes of the languages this model knows."""
        return tuple(self._model.supported_languages)

    def fit_hints(self, hints: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The hints that fit the model's window, and those left out; doubles and empty ones are dropped."""
        wanted = list(dict.fromkeys(" ".join(hint.split()) for hint in hints if hint.strip()))
        used: list[str] = []
        for number, hint in enumerate(wanted):
            tokens = self._model.hf_tokenizer.encode(_as_hint((*used, hint)), add_special_tokens=False).ids
            if len(tokens) > HINT_TOKENS:
                return tuple(used), tuple(wanted[number:])
            used.append(hint)
        return tuple(used), ()

    def detect_language(self, samples: Samples, stretches: Sequence[Stretch] | None = None) -> tuple[str, float]:
        """The language of the voiced parts and its score 0..1; ('', 0.0) where nobody speaks."""
        pieces = pack(samples, voiced(samples) if stretches is None else stretches)
        if not pieces:
            return "", 0.0
        if not self._model.model.is_multilingual:
            return "en", 1.0
        step = max(1, len(pieces) // LANGUAGE_LOOKS)
        looked = pieces[::step][:LANGUAGE_LOOKS]
        scores: dict[str, float] = {}
        for piece in looked:
            for code, score in self._model.detect_language(audio=piece.samples)[2]:
                scores[code] = scores.get(code, 0.0) + float(score) / len(looked)
        best = max(scores, key=lambda code: scores[code])
        return best, scores[best]

    def recognise(
        self, samples: Samples, wishes: Wishes | None = None, *, start_ms: int = 0, watch: Watch | None = None
    ) -> Recognition:
        """All of an array at once; long recordings are better taken with :meth:`parts`."""
        wishes = wishes or Wishes()
        used, left = self.fit_hints(wishes.hints)
        total_ms = start_ms + len(samples) * 1000 // RATE_HZ
        parts = list(self.parts([samples], wishes, start_ms=start_ms, total_ms=total_ms, watch=watch))
        known = [part for part in parts if part.language]
        return Recognition(
            tuple(line for part in parts for line in part.utterances),
            known[0].language if known else wishes.language or "",
            known[0].language_score if known else 0.0,
            used,
            left,
        )

    def parts(
        self,
        blocks: Iterable[Samples],
        wishes: Wishes | None = None,
        *,
        start_ms: int = 0,
        total_ms: int | None = None,
        watch: Watch | None = None,
    ) -> Iterator[Part]:
        """The lines part by part, as the sound comes in blocks.

        Parameters
        ----------
        blocks
            Sound without gaps, as from ``audio.sound_blocks``.
        start_ms
            Time of the first sample; a run goes on with the last part's ``end_ms``.
        total_ms
            The recording's end, for ``watch.progress`` and as the last time a word may have.
        """
        wishes, watch = wishes or Wishes(), watch or Watch()
        if wishes.language and wishes.language not in self.languages:
            raise BadInput("is not a language the speech model knows", wishes.language, "Use a code such as en or fr.")
        run = _Run(self, replace(wishes, hints=self.fit_hints(wishes.hints)[0]), watch, start_ms, total_ms)
        for samples, at_ms, stretches in in_parts(blocks, start_ms, wishes.spans):
            yield run.part(samples, at_ms, stretches)

    def _passes(
        self, pieces: Sequence[Piece], language: str, wishes: Wishes, has_times: bool = False
    ) -> Iterator[Pass]:
        """One pass over each piece, in batches of even size.

        With ``has_times`` the recogniser also writes sentence times: slower,
        but then it leaves out no sentence that was said twice.
        """
        if not pieces:
            return
        edges = np.cumsum([0, *(len(piece.samples) for piece in pieces)])
        batches = -(-len(pieces) // wishes.batch)
        segments, _ = self._batched.transcribe(
            np.concatenate([piece.samples for piece in pieces]),
            language=language,
            word_timestamps=True,
            vad_filter=False,
            clip_timestamps=[
                {"start": edges[number] / RATE_HZ, "end": edges[number + 1] / RATE_HZ} for number in range(len(pieces))
            ],
            batch_size=-(-len(pieces) // batches),
            beam_size=wishes.beams,
            hotwords=_as_hint(wishes.hints) or None,
            without_timestamps=not has_times,
        )
        starts = [round(edge / RATE_HZ * 100) - 1 for edge in edges[1:]]
        with self._batched.own_found() as instead:
            for number, found in groupby(segments, key=lambda segment: bisect_right(starts, segment.seek)):
                parts = list(found)
                yield _pass(parts, pieces[number], int(edges[number]), instead.pop(parts[0].seek, NOTHING))

    def _again(self, piece: Piece, language: str) -> Pass:
        """A careful pass over one piece: no hints, with the library's own retries at other temperatures."""
        segments, _ = self._model.transcribe(
            piece.samples,
            language=language,
            word_timestamps=True,
            condition_on_previous_text=False,
            temperature=AGAIN_TEMPERATURES,
        )
        return _pass(list(segments), piece, 0)


def _pass(
    segments: Sequence[Any], piece: Piece, offset: int, instead: Mapping[int, tuple[Instead, ...]] = NOTHING
) -> Pass:
    if not segments:
        return Pass(piece)
    words = [word for segment in segments for word in segment.words or ()]
    return Pass(
        piece,
        placed(words, piece, offset, instead),
        max(segment.no_speech_prob for segment in segments),
        sum(segment.avg_logprob for segment in segments) / len(segments),
    )


@dataclass
class _Run:
    """One recognition under way: what the parts share."""

    recogniser: Recogniser
    wishes: Wishes
    watch: Watch
    start_ms: int
    total_ms: int | None
    language: str = field(init=False)
    score: float = field(init=False, default=1.0)
    pace: Pace = field(init=False)

    def __post_init__(self) -> None:
        self.language = self.wishes.language or ""
        self.pace = Pace(self.watch.progress, SPEECH_COST)

    def part(self, samples: Samples, at_ms: int, stretches: Sequence[Stretch]) -> Part:
        self.watch.check()
        end_ms = at_ms + len(samples) * 1000 // RATE_HZ
        if stretches and not self.language:
            self.language, self.score = self.recogniser.detect_language(samples, stretches)
        spoken_s = sum(end - start for start, end in stretches) / RATE_HZ
        try:
            with self.pace.step(self._share(at_ms, end_ms), self._share(end_ms, end_ms), spoken_s):
                heard = self._heard(samples, stretches) if stretches else []
        except (RuntimeError, ValueError) as error:
            raise ToolFailed(
                f"the recogniser gave up ({error})", next_step="Try again, or use another model."
            ) from error
        limit_ms = min(end_ms, self.total_ms) if self.total_ms is not None else end_ms
        lines = tuple(cut_lines(_timed(self._whole_words(heard), at_ms, limit_ms)))
        self.watch.progress(self._share(end_ms, end_ms))
        return Part(at_ms, end_ms, lines, self.language, self.score if self.language else 0.0)

    def _share(self, at_ms: int, end_ms: int) -> float:
        """How much of the whole lies before a moment; up to ``end_ms`` if the whole's end is not known."""
        whole = (self.total_ms or end_ms) - self.start_ms
        return min(1.0, (at_ms - self.start_ms) / whole) if whole > 0 else 1.0

    def _heard(self, samples: Samples, stretches: Sequence[Stretch]) -> list[Heard]:
        """Words of the part in order, from the batch or, where that failed, from a second pass."""
        kept: list[Heard] = []
        for done in self.recogniser._passes(pack(samples, stretches), self.language, self.wishes):
            self.watch.check()
            kept.extend(self._whole(samples, stretches, done))
        return sorted(kept, key=lambda word: (word.start, word.end))

    def _whole_words(self, heard: Sequence[Heard]) -> list[Heard]:
        """Parts that the library splits off ("0" and ".45", "one" and "-eyed") put back to their word."""
        return list(heard) if self.language in UNSPACED else joined(heard)

    def _whole(self, samples: Samples, stretches: Sequence[Stretch], done: Pass) -> list[Heard]:
        """The words of a pass, with what it lost filled in by a second one."""
        words = self._sound(done)
        for start, end in list(uncovered(stretches, done.piece, words)):
            self.watch.check()
            (piece,) = pack(samples, [(start, end)])
            again = self._sound(self.recogniser._again(piece, self.language))
            if len(again) > sum(start <= word.start < end for word in words):
                words = [word for word in words if not start <= word.start < end] + again
        return words

    def _sound(self, done: Pass) -> list[Heard]:
        """The words of a pass that can be believed: loops mended, words over noise dropped."""
        if is_suspect([as_word(one) for one in done.words]):
            done = self.recogniser._again(done.piece, self.language)
        elif has_copies([as_word(one) for one in done.words]):
            (careful,) = self.recogniser._passes([done.piece], self.language, self.wishes, has_times=True)
            done = careful if len(careful.words) > len(done.words) else done
        words = unlooped(done.words)
        if done.no_speech > NO_SPEECH and done.log_probability < POOR_LOG_PROBABILITY:
            return []
        return [word for joint in by_joint(words, done.piece) for word in joint if is_spoken(joint, done)]


def _as_hint(hints: Sequence[str]) -> str:
    """Hints as sentences: after a bare list the recogniser writes lists too, without capitals and full stops."""
    words = [hint for hint in hints if not hint.endswith(".")]
    told = [f"On the bench today: {', '.join(words)}."] if words else []
    return " ".join([*told, *(hint for hint in hints if hint.endswith("."))])


def _timed(heard: Sequence[Heard], at_ms: int, limit_ms: int) -> list[Spelled]:
    blanks = [one.has_blank for one in heard]
    moved = in_order([as_word(one) for one in heard], max(limit_ms - at_ms, 0))
    return [
        Spelled(replace(word, start_ms=word.start_ms + at_ms, end_ms=word.end_ms + at_ms), blank)
        for word, blank in zip(moved, blanks[len(blanks) - len(moved) :], strict=True)
    ]
