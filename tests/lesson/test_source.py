"""Opened recordings: kept for the next clip, but the pictures of only one are decoded at a time."""

from annotate.intake.probe import probe
from annotate.lesson.cutting import source
from tests import media


def test_one_decoder_is_open_at_a_time() -> None:
    """Each holds 50 MB and more at 1080p; packets of many files may be read side by side."""
    first, second = media.base(), media.click()
    with source.Shelf() as shelf:
        index, _ = source.picture_stream(shelf, first, probe(first), "index")
        one, stream = source.picture_stream(shelf, first, probe(first), source.PICTURES)
        assert next(iter(source.decode_from(one, stream, source.file_time(probe(first), 500))))
        same, _ = source.picture_stream(shelf, first, probe(first), source.PICTURES)
        assert same is one
        source.picture_stream(shelf, second, probe(second), source.PICTURES)
        again, _ = source.picture_stream(shelf, first, probe(first), source.PICTURES)
        assert again is not one
        assert source.picture_stream(shelf, first, probe(first), "index")[0] is index
