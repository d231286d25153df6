"""Answers: what the commands say, as values for JSON and as text."""
