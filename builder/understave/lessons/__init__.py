"""Lessons: a lesson's YAML and its score → which symbols stand where, what each hand plays, and when it is heard."""
