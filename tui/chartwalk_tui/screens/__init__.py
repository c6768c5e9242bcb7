"""The screens: they turn keys into calls of the engine and hand values down to the widgets."""
