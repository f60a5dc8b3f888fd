"""Real speech: five LibriVox recordings with their texts and a reference alignment.

Source: the source package of pocketsphinx 5.1.1 on the Python registry,
``test/data/librivox`` (wav, txt, and json with word starts from its aligner).
Fetched by pip into a cache at test time, not copied in.
"""

import difflib
import json
import os
import subprocess
import sys
import tarfile
from pathlib import Path

import jiwer
import numpy as np
import pytest
from platformdirs import user_cache_path
from whisper_normalizer.english import EnglishTextNormalizer

from annotate.listen.audio import read_sound
from annotate.listen.model_files import find_model
from annotate.listen.recognise import Recogniser, Recognition

pytestmark = pytest.mark.outside

PACKAGE = "pocketsphinx==5.1.1"
INSIDE = "pocketsphinx-5.1.1/test/data/librivox/"


def librivox() -> Path:
    """The folder with the recordings, fetched once."""
    cache = user_cache_path("benchreel") / "test-data"
    folder = cache / INSIDE
    if not (folder / "fileids").is_file():
        cache.mkdir(parents=True, exist_ok=True)
        command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--no-binary", ":all:"]
        subprocess.run([*command, "--dest", str(cache), PACKAGE], check=True, env={**os.environ, "PIP_NO_INPUT": "1"})
        with tarfile.open(next(cache.glob("pocketsphinx-5.1.1.tar.*"))) as archive:
            # The list of files goes last: with it the folder counts as whole.
            members = sorted(archive.getmembers(), key=lambda member: member.name.endswith("/fileids"))
            archive.extractall(cache, [one for one in members if one.name.startswith(INSIDE)], filter="data")
    return folder


@pytest.fixture(scope="module")
def heard() -> list[tuple[Path, Recognition]]:
    recogniser = Recogniser(find_model().folder, threads=2)
    return [(path, recogniser.recognise(read_sound(path, 0))) for path in sorted(librivox().glob("*.wav"))]


def test_word_error_rate_is_at_most_2_percent(heard: list[tuple[Path, Recognition]]) -> None:
    plain = EnglishTextNormalizer()
    said = [plain(path.with_suffix(".txt").read_text()) for path, _ in heard]
    written = [plain(" ".join(line.text for line in found.utterances)) for _, found in heard]
    rate = jiwer.wer(said, written)
    print(f"word error rate on {len(heard)} LibriVox recordings: {100 * rate:.2f} %")
    assert len(heard) == 5
    assert rate <= 0.02
    assert all(found.language == "en" and found.is_language_sure for _, found in heard)


def start_errors_ms(path: Path, found: Recognition) -> list[int]:
    """Our word start minus the reference's, for the words that both have (a hyphenated word by its first half)."""
    reference = [
        (round(1000 * word["b"]), word["t"].split("(")[0])
        for word in json.loads(path.with_suffix(".json").read_text())["w"]
        if not word["t"].startswith("<")
    ]
    ours = [
        (word.start_ms, word.text.lower().strip(".,?!").replace("mr", "mister").rstrip(".").split("-")[0])
        for line in found.utterances
        for word in line.words
    ]
    matcher = difflib.SequenceMatcher(None, [text for _, text in reference], [text for _, text in ours], False)
    return [
        ours[block.b + n][0] - reference[block.a + n][0]
        for block in matcher.get_matching_blocks()
        for n in range(block.size)
    ]


def test_words_start_within_100_ms_of_the_reference(heard: list[tuple[Path, Recognition]]) -> None:
    errors = np.abs([error for path, found in heard for error in start_errors_ms(path, found)])
    median, tenth = np.median(errors), np.percentile(errors, 90)
    print(f"word starts: median {median:.0f} ms from the reference, 90 % within {tenth:.0f} ms, {len(errors)} words")
    assert len(errors) >= 65
    assert median <= 100
