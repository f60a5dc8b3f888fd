"""What a lesson says: its clips, texts and summary, from the record. No film is known here."""
