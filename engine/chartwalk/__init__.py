"""The music of chartwalk: pitches, chords, charts, roads, the click and the log. No screen."""
