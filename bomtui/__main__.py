"""Lets `python -m bomtui` start the program."""

from bomtui.cli.main import main

raise SystemExit(main())
