"""Pure music theory: spelled tones, chords, symbols, rhythms, counting. No files, HTML, YAML or prose."""
