"""``python -m chartwalk_tui`` is the ``chartwalk`` command."""

import sys

from chartwalk_tui.cli import main

if __name__ == "__main__":
    sys.exit(main())
