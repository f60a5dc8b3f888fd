"""What the film shows: cards, notes, captions and loudness, laid out as pieces."""
