"""Sound without a MIDI instrument: messages in, samples for this computer's loudspeaker out.

``tone`` and ``stroke`` compute what one note is, ``mixer`` holds the notes that sound, ``timeline``
knows which sample a moment falls on, ``stream`` puts messages there, ``device`` plays the samples.
All but ``timeline`` need numpy, ``device`` miniaudio as well: the extra ``sound``. Nothing is
imported here.

Samples are 32-bit floats from -1 to 1, ``RATE`` of them a second. Ages, lengths and positions are
counted in samples.
"""

from typing import Final

RATE: Final = 48_000
PERIOD: Final = 0.01  # seconds of samples that the device is asked to take at once
PERIODS: Final = 3  # of which it holds so many
LAG: Final = 0.03  # seconds from the moment a message is due to the sample it is placed at
# From that moment to the loudspeaker, as far as the device tells; the system may add to it. What is
# seen with the sound has to wait as long.
LATENCY: Final = LAG + (PERIODS - 1) * PERIOD
