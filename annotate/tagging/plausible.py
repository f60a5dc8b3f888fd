"""What a reading of a reed, its cane or its bench can be: a value outside was misheard more likely than measured.

Much narrower than ``annotate.measure.units``, which refuses only what no maker
could mean. Bounds are in the quantity's usual unit, both ends included.
"""

from __future__ import annotations

from decimal import Decimal

from annotate.errors import BadUnit
from annotate.measure.units import convert, quantity
from annotate.tagging.values import Measurement

# Each bound leaves room beyond the figures named; the room itself is common practice, no source.
PLAUSIBLE = {
    # Bassoon, wet, at rest, 1 to 2 mm; oboe less: common practice, no source.
    "tip_opening": ("0.1", "5"),
    # Thinnest a playing tip, 0.05 to 0.08 mm (Bassoon Reed Therapy, 4 April 2007, bassoonreed.blogspot.com); thickest
    # two blades of gouged cane, 1.25 to 1.30 mm each (andrewstowell.com/gouging-and-shaping). The wall of whole cane
    # can be more (2 to 7 mm, The Double Reed, "The Physical Properties and the Anatomy of Arundo Donax"), but is
    # measured before there is a reed.
    "thickness": ("0.02", "3"),
    # Gouged bassoon cane is 120 mm long (lcdoublereeds.com, gouged bassoon cane); a clip of the tip is some tenths:
    # common practice, no source.
    "length": ("0.1", "200"),
    # Bassoon tips 13.5 to 16.5 mm, a rail some tenths: common practice, no source.
    "width": ("0.2", "35"),
    # The whole reed is 50 to 60 mm (fagott100.de), an oboe's 69 to 71 mm (blog.paddlefish.net).
    "wire_distance": ("0.5", "75"),
    # Wire of gauge 21 is 0.723 mm (ASTM B258, American wire gauge); stalks of cane 7 to 35 mm (as for thickness).
    "diameter": ("0.3", "40"),
    # Rooms from desert to storm, 20 to 70 % in one player's log (bassoonoperator.blogspot.com, May 2010).
    "humidity": ("5", "100"),
    # A cold shed to hot water, °C: common practice, no source.
    "temperature": ("-20", "80"),
    # Coarse sandpaper to the finest stone: common practice, no source.
    "grit": ("40", "12000"),
    # Common practice, no source.
    "strokes": ("1", "500"),
    # A touch to two years of rest, in seconds: common practice, no source.
    "time": ("1", "63072000"),
    # Below the bassoon's lowest B flat, 58 Hz, to well above the oboe's highest A, 1760 Hz (ISO 16, A4 = 440 Hz,
    # equal temperament), so that the partials of a crow fit.
    "pitch": ("30", "5000"),
    # A minor third either way: common practice, no source.
    "cents": ("-300", "300"),
    # Pieces of cane, turns of wire: common practice, no source.
    "count": ("1", "500"),
}
# At a place on the reed: cane leaves the gouge 1.25 to 1.30 mm thick (as above), and only gets thinner.
THICKEST_PLACE_MM = Decimal(2)


def is_plausible(reading: Measurement) -> bool:
    """Whether a reading lies within the bounds of its quantity; a quantity without bounds does."""
    if reading.quantity not in PLAUSIBLE:
        return True
    try:
        usual = convert(reading.value, reading.unit, quantity(reading.quantity).units[0])
    except BadUnit:
        return False
    lowest, highest = (Decimal(edge) for edge in PLAUSIBLE[reading.quantity])
    if reading.quantity == "thickness" and reading.zone:
        highest = THICKEST_PLACE_MM
    return lowest <= usual <= highest
