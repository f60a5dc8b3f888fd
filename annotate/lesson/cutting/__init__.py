"""How films are cut and joined, to the picture and the sample; nothing of lessons is known here."""
