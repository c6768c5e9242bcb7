"""Widgets: each draws one value that the engine made, and holds no rule of music."""
