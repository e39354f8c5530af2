"""Screens, widgets and user commands; the only importer of textual."""
