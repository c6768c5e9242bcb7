"""The commands beside the screens; each prints lines, or JSON with ``--json``."""
