"""Comments: what viewers write, as text → what each of them asks: topics, symbols, places, languages."""
