"""Command line: one file per command, one owner of stdout, one of stderr and exit codes."""
